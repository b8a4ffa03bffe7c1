"""self_test: each check complains about a small bad tree made for it, and about a good one not.

A case is a set of files over the good tree below and a piece of the complaint that must come, and
it must be the only kind of complaint: one case, one fault.
"""

import os
import shutil
import subprocess
import tempfile

import includes
import purity
import style
from source import Source

TABLE = '''# House

| room | may include | libraries | pure |
| --- | --- | --- | --- |
| base | | | |
| farm | base | PCRE2 | pure |
| main | all | | |
'''

GOOD = {
    'DEVELOPERS.md': TABLE,
    'CMakeLists.txt': 'barbel_room(base)\nbarbel_room(farm base PkgConfig::PCRE2)\n',
    'src/base/slice.h': '#ifndef S\n#define S\n#include <stddef.h>\nsize_t slice_len(const char *);'
                        '\n#endif\n',
    'src/base/slice.c': '/* slice: a length. */\n#include "base/slice.h"\n#include <string.h>\n'
                        'size_t slice_len(const char *p) {\n    return strlen(p);\n}\n',
    'src/base/log.c': '/* log: a clock. */\n#include <time.h>\n#include <stdlib.h>\n'
                      'long log_event(void);\nlong log_event(void) {\n'
                      '    struct timespec t;\n    clock_gettime(CLOCK_REALTIME, &t);\n'
                      '    return t.tv_sec;\n}\n',
    'src/farm/fold.h': '#ifndef F\n#define F\nint farm_fold(const char *p);\n#endif\n',
    'src/farm/fold.c': '/* fold: a sum. time(NULL) in a comment is no call. */\n'
                       '#include "farm/fold.h"\n#include "base/slice.h"\n#include <math.h>\n'
                       'static const char *const words[] = {"exit(1)", "{"};\n'
                       'int farm_fold(const char *p) {\n'
                       '    return (int)slice_len(p) + (int)exp((double)words[0][0]);\n}\n',
    'tests/more.c': '/* more: the habits of calls are those of src alone. */\nint x;\n',
    'src/main/main.c': '/* main: begins. */\n#include "farm/fold.h"\n#include <stdlib.h>\n'
                       'int main(void) {\n    exit(farm_fold(""));\n}\n',
    'fixtures/demo.txt': '+447700900123 is free for fiction, 2026-01-05 18:30 +1 is no number\n',
}


def source_with(line, top=''):
    """farm/fold.c with one more function that holds the line."""
    return GOOD['src/farm/fold.c'] + top + 'int farm_more(int x);\nint farm_more(int x) {\n    ' \
        + line + '\n}\n'


def fold(line, top=''):
    return {'src/farm/fold.c': source_with(line, top)}


# What must be found, the files that hold it, and the words of the complaint.
INCLUDES = [
    ('a room may not look up', {'src/base/up.h': '#include "farm/fold.h"\n'},
     'base may not include "farm/fold.h"'),
    ('a library outside its room', {'src/base/db.c': '/* db */\n#include <sqlite3.h>\n'},
     'base may not use sqlite3'),
    ('a library nobody named', {'src/base/x.c': '/* x */\n#include <expat.h>\n'},
     '<expat.h> is neither'),
    ('a room without a row', {'src/shed/a.c': '/* a */\n#include <stddef.h>\n'},
     'src/shed: room missing in the table'),
    ('a row without a room', {'DEVELOPERS.md': TABLE + '| barn | base | | |\n'},
     'room barn does not exist'),
    ('a permission without a room', {'DEVELOPERS.md': TABLE.replace('| farm | base |',
                                                                    '| farm | base, barn/x.h |')},
     'farm may include barn/x.h, which does not exist'),
    ('rooms that go round', {'DEVELOPERS.md': TABLE.replace('| base | |', '| base | farm |'),
                             'CMakeLists.txt': ''},
     'comes back to itself'),
    ('no table', {'DEVELOPERS.md': '# House\n'}, 'no table'),
    ('a link that the table forbids',
     {'CMakeLists.txt': 'barbel_room(base PkgConfig::CURL)\nbarbel_room(farm base '
                        'PkgConfig::PCRE2)\n'},
     'base is linked with the libraries {curl}'),
    ('a link to a room that the table forbids',
     {'CMakeLists.txt': 'barbel_room(base farm)\nbarbel_room(farm base PkgConfig::PCRE2)\n'},
     'base is linked with {farm}'),
    ('a header that leans on another',
     {'src/farm/lean.h': '#ifndef L\n#define L\nsize_t farm_lean(void);\n#endif\n'},
     'src/farm/lean.h: does not compile alone'),
    ('a header without a guard', {'src/farm/twice.h': 'struct twice {\n    int x;\n};\n'},
     'src/farm/twice.h: does not compile alone'),
    ('a source that includes another header first',
     {'src/farm/fold.c': '/* fold */\n#include <math.h>\n#include "farm/fold.h"\n'},
     'not with its own header'),
    ('a header by half a name', {'src/farm/b.c': '/* b */\n#include "fold.h"\n'},
     'not as "room/file.h"'),
    ('a header that is not there', {'src/farm/b.c': '/* b */\n#include "base/gone.h"\n'},
     'which does not exist'),
]

PURITY = [
    ('a clock', fold('return (int)time(0) + x;', '#include <time.h>\n'),
     'libfarm.a(fold.o): time is not allowed'),
    ('a file', fold('return x + !fopen("a", "r");', '#include <stdio.h>\n'),
     'libfarm.a(fold.o): fopen is not allowed'),
    ('memory of its own', fold('return !farm_at(x);',
                               '#include <stdlib.h>\nvoid *farm_at(int n);\n'
                               'void *farm_at(int n) {\n    return malloc((size_t)n);\n}\n'),
     'libfarm.a(fold.o): malloc is not allowed'),
    ('letters by the locale', fold('return isalpha(x);', '#include <ctype.h>\n'),
     '__ctype_b_loc is not allowed'),
    ('the log', fold('return x + (int)log_event();', 'long log_event(void);\n'),
     'log_event may not be called'),
    ('a clock behind a helper',
     fold('return x + (int)slice_now();', 'long slice_now(void);\n')
     | {'src/base/slice.c': GOOD['src/base/slice.c'] + '#include <time.h>\nlong slice_now(void);\n'
                            'long slice_now(void) {\n    return (long)time(0);\n}\n'},
     'libbase.a(slice.o): time is not allowed in a pure room, reached from the pure room farm'),
    ('a library of another room', fold('return sqlite3_threadsafe() + x;',
                                       'int sqlite3_threadsafe(void);\n'),
     'sqlite3_threadsafe is not allowed'),
    ('a memory between calls', fold('static int sum;\n    return sum += x;'),
     'sum.0 can be written'),
    ('a name of another room', {'src/farm/fold.c': GOOD['src/farm/fold.c']
                                + 'int pond_sum(void);\nint pond_sum(void) {\n    return 1;\n}\n'},
     'pond_sum begins with neither'),
]

STYLE = [
    ('a struct under another name', {'src/farm/fold.h': 'typedef struct { int x; } thing;\n'},
     'src/farm/fold.h:1: typedef struct'),
    ('strcpy', fold('return strcpy(a, b) == a;'), 'src/farm/fold.c:11: strcpy'),
    ('strtol', fold('return strtol("1", 0, 10);'), 'strtol'),
    ('a clock', fold('return time(0);'), 'time: the hour is an argument'),
    ('the hour of the day in the gate', {'src/gate/g.c': '/* g */\nint gate_now(void) {\n    return '
                                         'clock_gettime(CLOCK_REALTIME, 0);\n}\n'},
     'src/gate/g.c:3: clock_gettime'),
    ('localtime', fold('return localtime(0)->tm_year;'), 'localtime'),
    ('rand', fold('return rand();'), 'rand'),
    ('an exit outside main', fold('exit(1);'), 'exit: only main exits'),
    ('the shell', fold('return system("ls");'), 'system: no shell'),
    ('a long file', {'src/farm/long.c': '/* long */\n' + 'int farm_x;\n' * 650},
     '651 lines; a file is one subject'),
    ('a long function', fold('return x;' + '\n' * 90), 'a function of 9'),
    ('no opening comment', {'src/farm/b.c': 'int farm_b;\n'},
     'src/farm/b.c:1: does not begin with a comment'),
    ('a name outside ASCII', {'src/farm/b.c': '/* b */\nint farm_\u00e9;\n'}, 'outside ASCII'),
    ('unfinished work', {'src/farm/b.c': '/* b. TO' + 'DO: more */\n'}, 'finish it or leave it out'),
    ('unfinished work in a test', {'tests/a.py': '# FIX' + 'ME\n'}, 'finish it or leave it out'),
    ('somebody\'s number', {'fixtures/demo.txt': 'call +254712' + '345678\n'}, 'outside +4477'),
    ('somebody\'s number with spaces', {'README.md': 'call +44 7911 ' + '123456\n'},
     'outside +4477'),
    ('somebody\'s number without its plus', {'grammar/a.po': 'from=447911' + '123456\n'},
     'outside +4477'),
    ('somebody\'s number at home', {'deploy/a.conf': '07911 ' + '123456\n'}, 'outside +4477'),
]


def write(root, files):
    for name, text in files.items():
        path = os.path.join(root, name)
        os.makedirs(os.path.dirname(path), exist_ok=True)
        with open(path, 'w', encoding='utf-8') as f:
            f.write(text)


def archives(root, cc, ar):
    """Compiles base and farm as a build would. {room: archive}"""
    made = {}
    for room in ('base', 'farm'):
        objects = []
        for name in Source(root).files('src/' + room, '.c'):
            objects.append(os.path.join(root, os.path.basename(name)[:-2] + '.o'))
            subprocess.run([cc, '-std=c17', '-O1', '-D_POSIX_C_SOURCE=200809L', '-c', '-I',
                            os.path.join(root, 'src'), os.path.join(root, name), '-o',
                            objects[-1]], check=True)
        made[room] = os.path.join(root, 'lib%s.a' % room)
        subprocess.run([ar, 'rcs', made[room]] + objects, check=True)
    return made


def run(cc, nm, ar):
    checks = (
        ('includes', INCLUDES, lambda root: includes.check(Source(root), cc)),
        ('purity', PURITY, lambda root: purity.check(Source(root), nm, archives(root, cc, ar))),
        ('style', STYLE, lambda root: style.check(Source(root))),
    )
    problems, count = [], 0
    for check, cases, call in checks:
        for about, files, wanted in [('a good tree', {}, None)] + cases:
            root = tempfile.mkdtemp(prefix='architecture-')
            try:
                write(root, GOOD)
                write(root, files)
                got = call(root)
            finally:
                shutil.rmtree(root)
            count += 1
            found = [g for g in got if wanted and wanted in g]
            if wanted and not found:
                problems.append('%s, %s: wanted "%s", got %s' % (check, about, wanted, got))
            others = [g for g in got if g not in found]
            if others:
                problems.append('%s, %s: complains about something else: %s'
                                % (check, about, others))
    print('self-test: %d trees' % count)
    return problems
