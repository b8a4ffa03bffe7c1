"""purity: what the object code of the pure rooms asks of the world, read with nm.

A pure room may call its own room, the rooms that the table allows, the libraries that the table
names, and the short list of C library functions below, which depend on their arguments only.
Whatever it reaches in another room is followed object by object, so that a clock behind a helper
is found as well. It may keep no variable that can be written. On the same archives: a global name
begins with its room or with a noun of that room.

In: the archives of one build without sanitizers or coverage (those add calls of their own).
Limits: a call through a pointer that another room hands in is not seen; this is how impure things
are meant to come in.
"""

import os
import re
import subprocess

from source import LIBRARIES

ARGUMENTS_ONLY = set('''
    memcpy memcmp memmove memset memchr strlen strnlen strcmp strncmp strchr strrchr strstr
    snprintf qsort bsearch
    exp exp2 expm1 log log2 log10 log1p pow sqrt cbrt hypot floor ceil trunc round lround llround
    fabs fmin fmax fmod sin cos tan asin acos atan atan2 sinh cosh tanh
    __memcpy_chk __memmove_chk __memset_chk __snprintf_chk __stack_chk_fail
    __udivti3 __umodti3 __divti3 __modti3 _GLOBAL_OFFSET_TABLE_
    '''.split())

# Rooms below the pure ones that are not pure themselves (base, sms) hold buffers and arenas.
MEMORY = set('malloc calloc realloc free vsnprintf __vsnprintf_chk'.split())

# Functions of base that a pure room may not call, whatever their code looks like today.
IMPURE = re.compile(r'^(log_(event|least|phone)|zone_load|point_\w+)$')

WRITABLE = re.compile(r'^\.(data|bss|tdata|tbss)\b(?!\.rel\.ro)|^\*COM\*$|^COMMON$')


class Member:
    """One object file of an archive."""

    def __init__(self, room, name):
        self.room, self.name = room, name
        self.defines, self.wants, self.writable = [], [], []


def read_archive(nm, room, path):
    """nm's System V form: name |value|class|type|size|line|section."""
    done = subprocess.run([nm, '-A', '--format=sysv', path], text=True, capture_output=True,
                          check=True)
    members = {}
    for line in done.stdout.split('\n'):
        cells = [c.strip() for c in line.split('|')]
        if len(cells) != 7:
            continue
        _, member, symbol = cells[0].rsplit(':', 2)
        kind, section = cells[2], cells[6]
        m = members.setdefault(member, Member(room, member))
        if kind in ('U', 'w', 'v'):
            m.wants.append(symbol)
            continue
        if kind.isupper():
            m.defines.append(symbol)
        if WRITABLE.match(section) and cells[3] in ('OBJECT', 'TLS', 'COMMON'):
            m.writable.append(symbol)
    return list(members.values())


def check_pure(room, rooms, members, defined, problems):
    """Follows everything that the objects of one pure room reach. `defined`: symbol -> Member."""
    todo = [(m, '') for m in members if m.room == room.name]  # member, and the calls that led to it
    seen = {m for m, _ in todo}
    while todo:
        member, because = todo.pop(0)
        at = rooms[member.room]
        where = 'lib%s.a(%s): ' % (member.room, member.name)
        behind = ', reached from the pure room %s through %s' % (room.name, because) \
            if because else ''
        for symbol in member.wants:
            to = defined.get(symbol)
            if to and IMPURE.match(symbol):
                problems.append('%s%s may not be called in a pure room%s'
                                % (where, symbol, behind))
            elif to:
                if to.room != at.name and to.room not in {u.split('/')[0] for u in at.uses}:
                    problems.append('%s%s is defined in %s, which %s may not use%s'
                                    % (where, symbol, to.room, at.name, behind))
                elif to not in seen:
                    seen.add(to)
                    todo.append((to, because + ' > ' + symbol if because else symbol))
            elif symbol in ARGUMENTS_ONLY or (symbol in MEMORY and not at.pure):
                continue
            elif not any(symbol.startswith(LIBRARIES[l][1]) for l in at.libraries
                         if l in LIBRARIES):
                problems.append('%s%s is not allowed in a pure room%s' % (where, symbol, behind))


def check_names(source, members, problems):
    """`room_noun_verb`; or, instead of the room, a noun that is the room's own: the first word of
    one of its files (or its plural) or of a struct that one of its headers defines."""
    for room in sorted({m.room for m in members}):
        firsts = {room}
        for name in source.files('src/' + room):
            first = os.path.basename(name).split('.')[0].split('_')[0]
            firsts |= {first, first + 's'}
            if name.endswith('.h'):
                firsts |= set(re.findall(r'^struct ([a-z0-9]+)\w* \{', source.text(name), re.M))
        for m in members:
            for symbol in m.defines:
                if m.room == room and symbol.split('_')[0] not in firsts:
                    problems.append('lib%s.a(%s): %s begins with neither %s nor a noun of that '
                                    'room (a file, a struct in a header)'
                                    % (room, m.name, symbol, room))


def check(source, nm, archives):
    """archives: {room: path of its static archive}."""
    problems = []
    rooms = source.table(problems)
    members, defined = [], {}
    for name, path in sorted(archives.items()):
        if name not in rooms:
            problems.append('%s: room %s is not in the table of DEVELOPERS.md' % (path, name))
            continue
        members += read_archive(nm, name, path)
    for m in members:
        for symbol in m.defines:
            defined[symbol] = m
    pure = [r for r in rooms.values() if r.pure]
    if not pure:
        problems.append('DEVELOPERS.md: the table names no pure room')
    for room in pure:
        if room.name not in archives:
            problems.append('src/%s: a pure room, but this build has no archive of it' % room.name)
            continue
        check_pure(room, rooms, members, defined, problems)
        for m in members:
            if m.room == room.name:
                problems += ['lib%s.a(%s): %s can be written; a pure room keeps nothing'
                             % (m.room, m.name, s) for s in m.writable]
    check_names(source, members, problems)
    return problems
