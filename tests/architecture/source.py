"""source: the tree that is checked, and the little of C that the checks need to see.

In: the root folder of a checkout. Out: files, their text, the text without comments or strings,
and the table of rooms in DEVELOPERS.md. A problem is a line "file:line: what is wrong".
"""

import os
import re

PIECES = re.compile(
    r'//[^\n]*|/\*.*?\*/|"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])*\'', re.DOTALL)
INCLUDE = re.compile(r'^[ \t]*#[ \t]*include[ \t]*(?:"([^"\n]*)"|<([^>\n]*)>)', re.MULTILINE)

# The name used in the table -> how its headers begin, its symbols begin, and CMake names it.
LIBRARIES = {
    'curl': ('curl/', 'curl_', 'CURL'),
    'sqlite3': ('sqlite3', 'sqlite3_', 'SQLITE'),
    'PCRE2': ('pcre2', 'pcre2_', 'PCRE2'),
    'libmicrohttpd': ('microhttpd', 'MHD_', 'MICROHTTPD'),
    'jansson': ('jansson', 'json_', 'JANSSON'),
    'libsodium': ('sodium', 'sodium_', 'SODIUM'),
    'utf8proc': ('utf8proc', 'utf8proc_', 'UTF8PROC'),
    'libconfig': ('libconfig', 'config_', 'CONFIG'),
}


class Room:
    def __init__(self, name, line, uses, libraries, pure):
        self.name, self.line, self.uses = name, line, uses
        self.libraries, self.pure = libraries, pure


def blank(text, keep_strings=False):
    """The text with comments (and strings) replaced by spaces; lines and columns stay."""
    def shape(match):
        piece = match.group(0)
        if piece[0] in '"\'':
            if keep_strings:
                return piece
            return piece[0] + ' ' * (len(piece) - 2) + piece[0]
        return re.sub(r'[^\n]', ' ', piece)
    return PIECES.sub(shape, text)


def line_of(text, at):
    return text.count('\n', 0, at) + 1


class Source:
    def __init__(self, root):
        self.root = os.path.abspath(root)
        self.texts = {}

    def path(self, name):
        return os.path.join(self.root, name)

    def text(self, name):
        if name not in self.texts:
            with open(self.path(name), encoding='utf-8', errors='surrogateescape') as f:
                self.texts[name] = f.read()
        return self.texts[name]

    def exists(self, name):
        return os.path.exists(self.path(name))

    def files(self, folder, endings=None):
        """Names relative to the root, in order; `folder` may also be one file."""
        if os.path.isfile(self.path(folder)):
            return [folder]
        found = []
        for at, folders, names in os.walk(self.path(folder)):
            folders[:] = sorted(n for n in folders if n not in ('build', '__pycache__', '.git'))
            for n in sorted(names):
                if endings is None or n.endswith(endings):
                    found.append(os.path.relpath(os.path.join(at, n), self.root))
        return found

    def room_names(self):
        """The folders of src/ that hold C."""
        return sorted({n.split('/')[1] for n in self.files('src', ('.c', '.h', '.def'))
                       if n.count('/') >= 2})

    def includes(self, name):
        """(line, 'room/file.h' or None, 'system.h' or None) of every #include."""
        text = blank(self.text(name), keep_strings=True)
        return [(line_of(text, m.start()), m.group(1), m.group(2)) for m in INCLUDE.finditer(text)]

    def table(self, problems):
        """The table of rooms in DEVELOPERS.md: {name: Room}."""
        rooms = {}
        where = 'DEVELOPERS.md'
        if not self.exists(where):
            problems.append(where + ': missing')
            return rooms
        wanted = ['room', 'may include', 'libraries', 'pure']
        inside = False
        for number, line in enumerate(self.text(where).split('\n'), 1):
            if not line.startswith('|'):
                inside = False
                continue
            cells = [c.strip().replace('`', '') for c in line.strip().strip('|').split('|')]
            if cells == wanted:
                inside = True
                continue
            if not inside or set(''.join(cells)) <= set('-: '):
                continue
            if len(cells) != 4:
                problems.append('%s:%d: %d cells in a row of the table of rooms, not 4'
                                % (where, number, len(cells)))
                continue
            parts = [[p.strip() for p in c.split(',') if p.strip()] for c in cells]
            name = cells[0]
            if name in rooms:
                problems.append('%s:%d: room %s stands twice' % (where, number, name))
            if cells[3] not in ('', 'pure'):
                problems.append('%s:%d: the last cell of %s is "pure" or empty, not "%s"'
                                % (where, number, name, cells[3]))
            rooms[name] = Room(name, number, set(parts[1]), set(parts[2]), cells[3] == 'pure')
        if not rooms:
            problems.append('%s: no table "| %s |"' % (where, ' | '.join(wanted)))
        for room in rooms.values():
            if room.uses == {'all'}:
                room.uses = set(rooms) & set(self.room_names()) - {room.name}
        return rooms
