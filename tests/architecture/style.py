"""style: habits of the source that a machine can hold. See "Rules" in DEVELOPERS.md.

Limits: it reads text, not syntax trees. Calls are names before a bracket; the length of a function
is counted from the line of its opening brace to that of its closing one.
"""

import re

from source import blank, line_of

FILE_LINES_MOST = 650
FUNCTION_LINES_MOST = 90

# Call -> where it is allowed ('src/main/' a room, 'src/base/point.c' a file), and what else to do.
NOWHERE = ()
BANNED = {}


def ban(names, allowed, instead):
    for name in names.split():
        BANNED[name] = (allowed, instead)


ban('strcpy strcat strncpy strncat stpcpy sprintf vsprintf gets', NOWHERE, 'use a buf or snprintf')
ban('strtok strtok_r', NOWHERE, 'use slice_cut')
ban('sscanf vsscanf scanf fscanf atoi atol atoll atof', NOWHERE, 'use slice_int')
ban('strtol strtoll strtoul strtoull strtoimax strtoumax', ('src/base/point.c',), 'use slice_int')
ban('alloca', NOWHERE, 'use the arena')
ban('localtime gmtime ctime asctime ctime_r asctime_r mktime timegm strftime strptime', NOWHERE,
    'use zone')
ban('localtime_r', ('src/base/zone_load.c',), 'use zone')
ban('gmtime_r', ('src/base/log.c',), 'use zone')
ban('time clock_gettime gettimeofday', ('src/main/', 'src/base/log.c'),
    'the hour is an argument, read once a turn')
ban('rand srand rand_r random srandom drand48 lrand48', NOWHERE, 'random bytes are an argument')
ban('exit _exit _Exit quick_exit abort', ('src/main/',), 'only main exits: return an err')
ban('system popen', NOWHERE, 'no shell')
ban('getenv secure_getenv', ('src/main/', 'src/base/zone_load.c'), 'only main reads the environment')
ban('setenv unsetenv putenv', ('src/base/zone_load.c',), 'the environment is left alone')
ban('setlocale newlocale uselocale gettext ngettext', NOWHERE,
    'the language is an argument, never the process\'s')
ban('printf puts putchar perror', ('src/main/',), 'only main prints: use a buf or LOG')

# Words that stand for unfinished work. Put together here, so that this file does not hold them.
UNFINISHED = re.compile(r'\b(' + '|'.join(a + b for a, b in (
    ('TO', 'DO'), ('FIX', 'ME'), ('XX', 'X'), ('HA', 'CK'))) + r')\b')

C_PLACES = ('src', 'tests')
CODE = ('.c', '.h', '.def', '.py', '.sh', '.cmake', '.conf', '.po', '.txt', '.json', '.service')
PHONE_PLACES = ('README.md', 'DEVELOPERS.md', 'fixtures', 'deploy', 'grammar', 'tests/rehearsals')

# International, then the two ways to write a British mobile without the plus sign.
PHONES = (
    (re.compile(r'(?<![\w+])\+(?!447700900[0-9]{3}(?![0-9]))[1-9][0-9](?:[ -]?[0-9]){5,13}(?![0-9])'),
     re.compile(r'\+447700900[0-9]{3}$')),
    (re.compile(r'(?<![\w.+])(?:00)?447[0-9]{9}(?!\w)'), re.compile(r'(00)?447700900[0-9]{3}$')),
    (re.compile(r'(?<![\w.+])07[0-9]{3} ?[0-9]{6}(?!\w)'), re.compile(r'07700900[0-9]{3}$')),
)


def check_calls(name, code, problems):
    for m in re.finditer(r'(?<![\w.>])(\w+)\s*\(', code):
        call = m.group(1)
        if call not in BANNED:
            continue
        allowed, instead = BANNED[call]
        if call == 'clock_gettime' and name.startswith(('src/gate/', 'src/link/')) \
                and re.match(r'\s*CLOCK_MONOTONIC\b', code[m.end():]):
            continue  # how long a connection is silent; no hour of anybody's day
        if not name.startswith(allowed or ('no such place',)):
            problems.append('%s:%d: %s: %s' % (name, line_of(code, m.start()), call, instead))


def check_lengths(name, code, problems):
    lines = code.rstrip('\n').count('\n') + 1
    if lines > FILE_LINES_MOST:
        problems.append('%s:1: %d lines; a file is one subject, %d at most'
                        % (name, lines, FILE_LINES_MOST))
    flat = re.sub(r'^[ \t]*#(?:[^\n]*\\\n)*[^\n]*', lambda m: re.sub(r'[^\n]', ' ', m.group(0)),
                  code, flags=re.MULTILINE)
    depth, begin, begins_at, is_function = 0, 0, 0, False
    for m in re.finditer(r'[{};]', flat):
        sign = m.group(0)
        if sign == '{':
            if depth == 0:
                head = flat[begin:m.start()].rstrip()
                is_function = head.endswith(')') and '=' not in head
                begins_at = m.start()
            depth += 1
        elif sign == '}':
            depth -= 1
            if depth == 0 and is_function:
                first, last = line_of(flat, begins_at), line_of(flat, m.start())
                if last - first + 1 > FUNCTION_LINES_MOST:
                    problems.append('%s:%d: a function of %d lines; one thought is %d at most'
                                    % (name, first, last - first + 1, FUNCTION_LINES_MOST))
        if depth == 0:
            begin = m.end()


def check_c(source, name, problems):
    text = source.text(name)
    code = blank(text)
    if name.endswith('.c') and not text.startswith('/*'):
        problems.append('%s:1: does not begin with a comment that says what it is for' % name)
    for m in re.finditer(r'\btypedef\s+(struct|union)\b', code):
        problems.append('%s:%d: typedef %s: say struct where it is used'
                        % (name, line_of(code, m.start()), m.group(1)))
    for m in re.finditer(r'[^\x00-\x7f]+', code):
        problems.append('%s:%d: letters outside ASCII in code' % (name, line_of(code, m.start())))
    if name.startswith('src/'):
        check_calls(name, code, problems)
        check_lengths(name, code, problems)


def check_phones(source, problems):
    for place in PHONE_PLACES:
        if not source.exists(place):
            continue
        for name in source.files(place):
            text = source.text(name)
            for form, free in PHONES:
                for m in form.finditer(text):
                    if not free.match(re.sub(r'[ -]', '', m.group(0))):
                        problems.append('%s:%d: %s is outside +447700900000..+447700900999, the '
                                        'numbers kept free for fiction'
                                        % (name, line_of(text, m.start()), m.group(0)))


def check(source):
    problems = []
    for place in C_PLACES:
        for name in source.files(place, ('.c', '.h')):
            check_c(source, name, problems)
    for place in ('src', 'tests', 'deploy', 'grammar', 'CMakeLists.txt', 'README.md',
                  'DEVELOPERS.md'):
        if not source.exists(place):
            continue
        for name in source.files(place, CODE + ('.md',)):
            for m in UNFINISHED.finditer(source.text(name)):
                problems.append('%s:%d: the word %s: finish it or leave it out'
                                % (name, line_of(source.text(name), m.start()), m.group(0)))
    check_phones(source, problems)
    return problems
