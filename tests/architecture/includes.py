"""includes: every #include under src/ is one that the table in DEVELOPERS.md allows.

Also: the table and the folders name the same rooms, no room uses itself by a round about way,
CMakeLists.txt links what the table says, each header compiles alone, and each source begins with
its own header, so that a header that leans on another is found.
"""

import concurrent.futures
import os
import re
import subprocess

from source import LIBRARIES, line_of

# What the C library and POSIX give. A header outside this list and outside LIBRARIES is a new
# dependency, and has to be written into the table first.
SYSTEM = set('''assert.h ctype.h errno.h fenv.h float.h inttypes.h limits.h math.h setjmp.h signal.h
    stdalign.h stdarg.h stdatomic.h stdbool.h stddef.h stdint.h stdio.h stdlib.h stdnoreturn.h
    string.h time.h arpa/inet.h dirent.h fcntl.h netdb.h netinet/in.h netinet/tcp.h poll.h pwd.h
    strings.h sys/epoll.h sys/eventfd.h sys/file.h sys/mman.h sys/random.h sys/resource.h
    sys/signalfd.h sys/socket.h sys/stat.h sys/statvfs.h sys/time.h sys/timerfd.h sys/types.h
    sys/uio.h sys/un.h sys/wait.h syslog.h termios.h unistd.h'''.split())


def library_of(header):
    for library, (begin, _, _) in LIBRARIES.items():
        if header.startswith(begin):
            return library
    return None


def check_table(source, rooms, problems):
    there = source.room_names()
    for name in there:
        if name not in rooms:
            problems.append('src/%s: room missing in the table of DEVELOPERS.md' % name)
    for room in rooms.values():
        where = 'DEVELOPERS.md:%d: ' % room.line
        if room.name not in there:
            problems.append(where + 'room %s does not exist under src/' % room.name)
        for use in sorted(room.uses):
            if use.split('/')[0] not in there:
                problems.append(where + '%s may include %s, which does not exist'
                                % (room.name, use))
            elif '/' in use and not source.exists('src/' + use):
                problems.append(where + '%s may include %s, which does not exist'
                                % (room.name, use))
        for library in sorted(room.libraries - set(LIBRARIES)):
            problems.append(where + '%s may use %s, which is no library that this check knows'
                            % (room.name, library))
    check_rounds(rooms, problems)


def check_rounds(rooms, problems):
    """A room that reaches itself through what it may include."""
    for name, room in rooms.items():
        seen, todo = set(), [u.split('/')[0] for u in room.uses]
        while todo:
            use = todo.pop()
            if use == name:
                problems.append('DEVELOPERS.md:%d: %s comes back to itself through its includes'
                                % (room.line, name))
                break
            if use not in seen and use in rooms:
                seen.add(use)
                todo += [u.split('/')[0] for u in rooms[use].uses]


def check_links(source, rooms, problems):
    """barbel_room(NAME USES...) of CMakeLists.txt links what the table allows, and no more."""
    where = 'CMakeLists.txt'
    if not source.exists(where):
        return
    text = re.sub(r'#[^\n]*', '', source.text(where))
    by_cmake = {cmake: name for name, (_, _, cmake) in LIBRARIES.items()}
    for m in re.finditer(r'^barbel_room\(([^)]*)\)', text, re.MULTILINE):
        name, *words = m.group(1).split()
        place = '%s:%d: ' % (where, line_of(text, m.start()))
        if name not in rooms:
            problems.append(place + 'room %s is not in the table of DEVELOPERS.md' % name)
            continue
        uses = {w for w in words if not w.startswith('PkgConfig::')}
        libraries = {by_cmake.get(w[11:], w[11:]) for w in words if w.startswith('PkgConfig::')}
        # A permission for one header ("desk/views.h") is for its structs: nothing is linked.
        allowed = {u for u in rooms[name].uses if '/' not in u}
        if uses != allowed:
            problems.append(place + '%s is linked with {%s}, the table says {%s}' % (
                name, ' '.join(sorted(uses)), ' '.join(sorted(allowed))))
        if libraries != rooms[name].libraries:
            problems.append(place + '%s is linked with the libraries {%s}, the table says {%s}' % (
                name, ' '.join(sorted(libraries)), ' '.join(sorted(rooms[name].libraries))))


def check_file(source, rooms, name, problems):
    room = rooms.get(name.split('/')[1])
    if not room:
        return  # said by check_table
    for line, own, system in source.includes(name):
        where = '%s:%d: ' % (name, line)
        if own is not None:
            if '/' not in own or own.startswith(('.', '/')):
                problems.append(where + 'includes "%s", not as "room/file.h"' % own)
                continue
            if not source.exists('src/' + own):
                problems.append(where + 'includes "%s", which does not exist' % own)
            to = own.split('/')[0]
            if to != room.name and to not in room.uses and own not in room.uses:
                problems.append(where + '%s may not include "%s"' % (room.name, own))
            continue
        library = library_of(system)
        if library:
            if library not in room.libraries:
                problems.append(where + '<%s>: %s may not use %s' % (system, room.name, library))
        elif system not in SYSTEM:
            problems.append(where + '<%s> is neither of the C library nor of a library in the table'
                            % system)


def check_own_first(source, name, problems):
    """A .c with a header of the same name includes it before anything else."""
    own = name[:-2] + '.h'
    if not source.exists(own):
        return
    includes = source.includes(name)
    first = includes[0][1] or includes[0][2] if includes else 'nothing'
    if own != 'src/' + first:
        problems.append('%s:%d: begins with %s, not with its own header "%s"' % (
            name, includes[0][0] if includes else 1, first, own[4:]))


def check_alone(source, cc, problems):
    """Every header compiles by itself, with warnings as errors."""
    command = [cc, '-std=c17', '-fsyntax-only', '-Wall', '-Wextra', '-Wstrict-prototypes',
               '-Werror', '-D_POSIX_C_SOURCE=200809L', '-I' + source.path('src'), '-x', 'c', '-']

    def one(name):
        # Included twice, so that a missing guard is found too.
        text = '#include "%s"\n' % name[4:] * 2
        done = subprocess.run(command, input=text, text=True, capture_output=True)
        return name, done.returncode, done.stderr

    with concurrent.futures.ThreadPoolExecutor(os.cpu_count() and min(os.cpu_count(), 2)) as pool:
        for name, code, said in pool.map(one, source.files('src', '.h')):
            if code:
                problems.append('%s: does not compile alone: %s' % (name, said.strip()))


def check(source, cc):
    problems = []
    rooms = source.table(problems)
    if not rooms:
        return problems
    check_table(source, rooms, problems)
    check_links(source, rooms, problems)
    for name in source.files('src', ('.c', '.h', '.def')):
        check_file(source, rooms, name, problems)
    for name in source.files('src', '.c'):
        check_own_first(source, name, problems)
    check_alone(source, cc, problems)
    return problems
