"""Plays rehearsals and compares both sides of the conversation.

  play.py BARBEL SCRIPT            with SCRIPT.expected beside it
  play.py BARBEL README.md         every block ```conversation of it: its > lines are the script
  play.py --write BARBEL SCRIPT    writes SCRIPT.expected anew (read the difference before keeping it)
"""
import difflib
import re
import subprocess
import sys


def play(barbel, script, options):
    done = subprocess.run([barbel, "rehearse", *options, "-"], input=script.encode(),
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE, timeout=50)
    if done.returncode:
        sys.exit("exit %d: %s" % (done.returncode, done.stderr.decode(errors="replace")))
    return done.stdout.decode()


def compare(name, wanted, got):
    if wanted == got:
        return True
    sys.stdout.writelines(difflib.unified_diff(
        wanted.splitlines(True), got.splitlines(True), name + " (wanted)", name + " (got)"))
    return False


def options_of(script):
    first = script.split("\n", 1)[0]
    return first[len("# options:"):].split() if first.startswith("# options:") else []


def play_readme(barbel, path):
    """A conversation as people read it: the lines that come in are the script."""
    text = open(path, encoding="utf-8").read()
    blocks = re.findall(r"^```conversation\n(.*?)^```$", text, re.M | re.S)
    if not blocks:
        sys.exit("%s: no ```conversation block" % path)
    right = True
    for block in blocks:
        script = "".join(re.sub(r"^(\S+ \S+) > ", r"\1 ", line) for line in block.splitlines(True)
                         if re.match(r"^\S+ \S+ > ", line))
        last = re.match(r"^\S+ \S+", block.splitlines()[-1]).group(0)
        got = play(barbel, script + last + "\n", [])
        right = compare(path, block, got) and right
    return right


def main(arguments):
    write = arguments[0] == "--write"
    barbel, path = arguments[1:] if write else arguments
    if path.endswith(".md"):
        return play_readme(barbel, path)
    script = open(path, encoding="utf-8").read()
    got = play(barbel, script, options_of(script))
    if write:
        open(path + ".expected", "w", encoding="utf-8").write(got)
        return True
    return compare(path, open(path + ".expected", encoding="utf-8").read(), got)


if __name__ == "__main__":
    sys.exit(0 if main(sys.argv[1:]) else 1)
