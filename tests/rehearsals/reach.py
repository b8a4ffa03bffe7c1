"""Every reply must be met by somebody: each id of replies.def is found, by its English words and the
forms of its values, in a line that a rehearsal expects or in a text that a unit test of the turn or
the desk expects word for word. A reply that nobody ever gets is dead, and one without a test may be
wrong unseen.

  reach.py SOURCE_DIR     names what is missing, exit 1
"""
import glob
import os
import re
import sys

HOUR = r"\d\d:\d\d"
DAY = r"(?:(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun)|\d{1,2} [A-Z][a-z][a-z])"
FORMS = {
    "TAG": r"[FMBP]\d+", "WHEN": r"(?:%s )?%s" % (DAY, HOUR), "CLOCK": HOUR,
    "DATE": r"\d{1,2} [A-Z][a-z][a-z]", "WATER": r"-?\d+(?:\.\d+)?C", "WEIGHT": r"\d+(?:\.\d+)?k?g",
    "NUMBER": r"-?\d+", "DECIMAL": r"\d+(?:\.\d)?", "TEXT": r".+?", "KIND": r"[A-Z]+(?: [A-Z]+)*",
    "LANGUAGE": r"[A-Z][a-z]+", "CENTI": r"\d+(?:\.\d{1,2})?",
    "MEASURE": r"-?\d+(?:\.\d{1,2})? (?:tin|cup|scoop|bowl|bucket|bag)s?",
    "METRE": r"\d+(?:\.\d{1,2})?m",
    "AREA": r"\d+(?:\.\d)?(?:m2| ares)",
}


def catalogue(path):
    """context -> text, of a PO file."""
    found, context, part = {}, None, None
    for line in open(path, encoding="utf-8"):
        words = re.match(r'(?:(msgctxt|msgid|msgstr) )?"(.*)"$', line.rstrip("\n"))
        if not words:
            continue
        part = words.group(1) or part
        text = words.group(2).replace('\\"', '"').replace("\\n", "\n").replace("\\\\", "\\")
        if words.group(1) == "msgctxt":
            context = text
        elif part == "msgstr" and context:
            found[context] = found.get(context, "") + text
    return found


def replies(path):
    """name -> {value: form}"""
    out = {}
    for name, values in re.findall(r'^REPLY\(\w+, "([^"]+)", \d+(.*)\)$', open(path).read(), re.M):
        forms = {v: FORMS[k] for v, k in re.findall(r"(?:VAL|OPT)\(\"(\w+)\", (\w+)\)", values)}
        forms.update({v: FORMS["TEXT"] for v in re.findall(r"STR\(\"(\w+)\", \d+\)", values)})
        out[name] = forms
    return out


class Pattern:
    """A reply's words with the forms of its values. Its longest words are looked for first: nearly
    no line has them, and that is seen much faster than by an expression."""

    def __init__(self, template, forms):
        parts = re.split(r"\{(\w+)(?::short)?\}", template)
        self.words = max(parts[::2], key=len)
        self.form = re.compile("".join(re.escape(p) if i % 2 == 0 else forms[p]
                                       for i, p in enumerate(parts)), re.S)

    def all_of(self, lines):
        return any(self.words in line and self.form.fullmatch(line) for line in lines)

    def part_of(self, lines):
        return any(self.words in line and self.form.search(line) for line in lines)

    def start_of(self, lines):
        return any(self.words in line and self.form.match(line) for line in lines)


def strings(path):
    """The string literals of a C file, neighbours joined."""
    for run in re.findall(r'(?:"(?:[^"\\\n]|\\.)*"\s*)+', open(path, encoding="utf-8").read()):
        yield "".join(re.findall(r'"((?:[^"\\\n]|\\.)*)"', run)).replace('\\"', '"')


def heard(root):
    for path in glob.glob(os.path.join(root, "tests/rehearsals/*.expected")):
        for line in open(path, encoding="utf-8"):
            out = re.match(r"\S+ \S+ < \S+ (.*)$", line)
            if out:
                text = out.group(1)
                yield from [text] + text.split(" / ")
                for end in re.finditer(r"\. ", text):  # two answers of one turn, joined
                    yield from (text[:end.start()], text[end.end():])
                yield from text.split(". ")[0].split(": ", 1)[-1].split(", ")  # a list of values
    for room in ("turn", "desk"):
        for path in glob.glob(os.path.join(root, "tests/unit/%s_*_test.c" % room)):
            for text in strings(path):  # an answer of several lines is several replies
                yield from [text] + text.split("\\n")


# Only ever inside another reply, as one of its values.
INSIDE = re.compile(r"meal-|meals-|grain|no-feed-(?!do-)|table-point|order-tags-|order-way-|thing-"
                    r"|rate-(?:eggs|hatch|survive|nursery|tgc|number|decimal|percent)$")


def sentences(line):
    """Every run of whole sentences and every line of a text: answers of one turn are joined."""
    for text in re.split(r" / |\\n", line):
        ends = [0] + [m.end() for m in re.finditer(r"(?:\.|(?<=\?)) ", text)] + [len(text) + 2]
        for i, first in enumerate(ends[:-1]):
            for last in ends[i + 1:]:
                yield re.sub(r"\.? $", "", text[first:last])


def main(root):
    texts = catalogue(os.path.join(root, "grammar/en.po"))
    lines = set(heard(root))
    helps = {text for context, text in texts.items() if context.startswith("help.")}
    missing, parts = [], None
    for name, forms in replies(os.path.join(root, "src/reply/replies.def")).items():
        if name == "help-kind":  # nothing but its value: the help of a word
            met = bool(helps & lines)
        else:
            wanted = Pattern(texts["reply." + name], forms)
            met = wanted.all_of(lines)
            if name == "catch":  # a part of another text
                met = wanted.part_of(lines)
            if name in ("late-prefix", "ponds-more"):  # stand before another text
                met = wanted.start_of(lines)
        if not met and INSIDE.match(name):
            met = wanted.part_of(lines)
        if not met:
            parts = parts or {part for line in lines for part in sentences(line)}
            met = wanted.all_of(parts)
        if not met:
            missing.append(name)
    for name in missing:
        print('nobody ever gets the reply "%s"' % name)
    return not missing


if __name__ == "__main__":
    sys.exit(0 if main(sys.argv[1]) else 1)
