#!/usr/bin/python3
"""check: holds the architecture that DEVELOPERS.md describes.

    check.py includes  ROOT --cc GCC                the table of rooms against every #include
    check.py purity    ROOT --nm NM ROOM=ARCHIVE... what the pure rooms ask of the world
    check.py style     ROOT                         habits that a machine can hold
    check.py format    ROOT --clang-format PROGRAM  every C file is as the formatter writes it
    check.py self-test --cc GCC --nm NM --ar AR     each check complains about bad little trees

Exit: 0 nothing found, 1 problems (one a line on standard output), 2 wrong use.
"""

import argparse
import subprocess
import sys

sys.dont_write_bytecode = True

import includes  # noqa: E402
import purity    # noqa: E402
import style     # noqa: E402
from source import Source  # noqa: E402


def check_format(source, program):
    problems = []
    names = [n for place in ('src', 'tests') for n in source.files(place, ('.c', '.h'))]
    if not names:
        return ['src: no C file found']
    for at in range(0, len(names), 40):
        done = subprocess.run([program, '--dry-run', '-Werror'] + names[at:at + 40],
                              cwd=source.root, text=True, capture_output=True)
        if done.returncode:
            problems += [line for line in done.stderr.split('\n') if ': error: ' in line] \
                or [done.stderr.strip()]
    return problems


def main():
    p = argparse.ArgumentParser()
    p.add_argument('what', choices=('includes', 'purity', 'style', 'format', 'self-test'))
    p.add_argument('root', nargs='?')
    p.add_argument('archives', nargs='*', metavar='ROOM=ARCHIVE')
    p.add_argument('--cc', default='gcc')
    p.add_argument('--nm', default='nm')
    p.add_argument('--ar', default='ar')
    p.add_argument('--clang-format', default='clang-format')
    a = p.parse_intermixed_args()
    if a.what == 'self-test':
        import self_test
        problems = self_test.run(a.cc, a.nm, a.ar)
    elif not a.root:
        p.error('ROOT is missing')
    elif a.what == 'includes':
        problems = includes.check(Source(a.root), a.cc)
    elif a.what == 'purity':
        pairs = [x.split('=', 1) for x in a.archives]
        if any(len(x) != 2 for x in pairs):
            p.error('archives are given as ROOM=ARCHIVE')
        problems = purity.check(Source(a.root), a.nm, dict(pairs))
    elif a.what == 'style':
        problems = style.check(Source(a.root))
    else:
        problems = check_format(Source(a.root), a.clang_format)
    for line in problems:
        print(line)
    if problems:
        print('%s: %d problems' % (a.what, len(problems)))
    return 1 if problems else 0


if __name__ == '__main__':
    sys.exit(main())
