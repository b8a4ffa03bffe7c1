"""The harness of the end-to-end and fault tests: a folder with settings, profiles and secrets, two
loopback providers on free ports (json.conf and form.conf of deploy/profiles), and the daemon as its
own process. Nothing waits by sleeping: `until` looks again until a deadline.

Environment: BARBEL, the program. Standard library only.
"""

import contextlib
import http.client
import json
import os
import pathlib
import re
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
import tempfile
import time
import unittest
import urllib.parse

HERE = pathlib.Path(__file__).resolve().parent
SOURCE_DIR = HERE.parent.parent
sys.path.insert(0, str(HERE.parent / "tools"))

import provider as provider_tool  # noqa: E402
import source  # noqa: E402
import webhook  # noqa: E402

BARBEL = os.environ["BARBEL"]
WAIT_S = 15.0  # for anything that must happen
OWNER, WORKER, OTHER = "+447700900001", "+447700900002", "+447700900003"
HOST = "+447700900000"  # the number that is texted
STRANGER = "+447700900501"

SECRETS = {
    "json-send": "send-secret-of-the-json-provider",
    "json-in": "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw",  # the published example key
    "form-send": "send-secret-of-the-form-provider",
    "form-in": "word-of-the-carrier",
    "form-receipt": "word-of-the-receipts",
}
SETTINGS = """store = "{store}";
ballast_mib = {ballast_mib};
listen = {{ address = "127.0.0.1"; port = 0; }};
host = {{ address = "127.0.0.1"; port = 0; }};
profiles = ( "profiles/json.conf", "profiles/form.conf" );
country = "GB";
zone = "UTC";
language = "en";
countries = ( "{countries}" );
texts_per_hour = {texts_per_hour};
farms = (
{farms}
);
"""
# enum store_fate and enum store_receipt of src/store/store.h; states of the table dispatch.
READ, ASIDE, STRANGE, LIMITED, IGNORED = 1, 2, 3, 4, 5
DELIVERED, FAILED = 1, 3
WAITING, DONE, NEVER = 0, 1, 3


class Late(AssertionError):
    """Something did not happen before its deadline."""


def until(look, what, seconds=WAIT_S, every_s=0.01):
    """Looks until it is true and returns that; `what` may be a call that tells the state."""
    deadline = time.monotonic() + seconds
    while True:
        value = look()
        if value:
            return value
        if time.monotonic() > deadline:
            raise Late("within %g s: %s" % (seconds, what() if callable(what) else what))
        time.sleep(every_s)


def farm_text(name, people, zone="UTC"):
    rows = ", ".join('{ number = "%s"; role = "%s"; }' % pair for pair in people)
    return '  { name = "%s"; zone = "%s"; people = ( %s ); }' % (name, zone, rows)


RIVERSIDE = farm_text("Riverside", ((OWNER, "owner"), (WORKER, "worker"), (OTHER, "worker")))


class Daemon:
    """`barbel serve` as a process of its own."""

    def __init__(self, farm, env=None, prefix=()):
        self.farm = farm
        farm.starts += 1
        self.log_path = farm.folder / ("daemon-%d.log" % farm.starts)
        self.port = self.host_port = None
        with open(self.log_path, "wb") as log:
            self.process = subprocess.Popen(
                [*prefix, BARBEL, "serve", "--settings", str(farm.settings_path)],
                stdin=subprocess.DEVNULL, stdout=log, stderr=log, cwd="/",
                env=dict(os.environ, **(env or {})))

    def log(self):
        return self.log_path.read_text(encoding="utf-8", errors="surrogateescape")

    def ended(self):
        return self.process.poll() is not None

    def listening(self):
        """Waits for it; False if the process ended first."""
        def look():
            found = re.search(r"event=listening .*\bport=(\d+) host_port=(-?\d+)", self.log())
            return found or self.ended()

        found = until(look, lambda: "event=listening in the log:\n" + self.log(), every_s=0.005)
        if found is True:
            return False
        self.port, self.host_port = int(found.group(1)), int(found.group(2))
        self.farm.json.receipts = self.url("/receipt/json")
        self.farm.form.receipts = self.url("/receipt/form")
        return True

    def url(self, path, host=False):
        return "http://127.0.0.1:%d%s" % (self.host_port if host else self.port, path)

    def wait_end(self, seconds=WAIT_S):
        try:
            return self.process.wait(seconds)
        except subprocess.TimeoutExpired:
            raise Late("within %g s: the daemon's end. Its log:\n%s" % (seconds, self.log()))

    def stop(self, seconds=WAIT_S):
        """SIGTERM; the exit status."""
        if not self.ended():
            self.process.send_signal(signal.SIGTERM)
        return self.wait_end(seconds)

    def kill(self):
        if not self.ended():
            self.process.kill()
        self.process.wait()

    def hang_up(self):
        self.process.send_signal(signal.SIGHUP)


class Farm:
    """Folder, settings, profiles, secrets and the two providers."""

    def __init__(self, folder=None, farms=RIVERSIDE, countries="GB", texts_per_hour=60,
                 ballast_mib=1, store=None):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="barbel-e2e-", dir=folder))
        self.store_path = pathlib.Path(store) if store else self.folder / "barbel.db"
        self.settings_path = self.folder / "settings.conf"
        self.starts = 0
        self.daemon = None
        self.json = self.form = None
        self.start_providers()
        secrets = self.folder / "profiles" / "secrets"
        secrets.mkdir(parents=True)
        for name, secret in SECRETS.items():
            path = secrets / name
            path.touch(mode=0o600)
            path.write_text(secret + "\n", encoding="ascii")
        self.write_profiles()
        self.write_settings(SETTINGS.format(
            store=self.store_path, ballast_mib=ballast_mib, countries=countries,
            texts_per_hour=texts_per_hour, farms=farms))

    def start_providers(self, json_port=0, form_port=0, **settings):
        """Anew after stop_providers, on the same ports when they are given."""
        self.json = provider_tool.Provider(
            "json", json_port, receipt_secret=SECRETS["json-in"],
            send_secret=SECRETS["json-send"], **settings).start()
        self.form = provider_tool.Provider(
            "form", form_port, receipt_secret=SECRETS["form-receipt"],
            send_secret=SECRETS["form-send"], **settings).start()

    def stop_providers(self):
        for one in (self.json, self.form):
            if one:
                one.stop()

    def write_profiles(self):
        for name, one in (("json", self.json), ("form", self.form)):
            text = (SOURCE_DIR / "deploy" / "profiles" / (name + ".conf")).read_text("utf-8")
            text, count = re.subn(r'url = "[^"]*"', 'url = "%s"' % one.url(), text)
            assert count == 1, name
            (self.folder / "profiles" / (name + ".conf")).write_text(text, encoding="utf-8")

    def write_settings(self, text):
        self.settings_path.write_text(text, encoding="utf-8")

    def settings(self):
        return self.settings_path.read_text("utf-8")

    def start(self, env=None):
        """The daemon, listening."""
        self.daemon = Daemon(self, env)
        if not self.daemon.listening():
            raise AssertionError("the daemon ended: %d\n%s" %
                                 (self.daemon.process.returncode, self.daemon.log()))
        return self.daemon

    def close(self):
        if self.daemon:
            self.daemon.kill()
        self.stop_providers()
        shutil.rmtree(self.folder, ignore_errors=True)

    # -- texts in and out

    def post(self, sender, text, form="json", **more):
        return source.post_message(self.daemon.url("/in/" + form), SECRETS[form + "-in"], sender,
                                   text, form, **more)

    def post_bytes(self, body, kind="application/json", path="/in/json", spoil=None, drop=(),
                   **more):
        """Signed octets that need not be a message."""
        headers = source.headers_of("json", SECRETS["json-in"], body, kind, spoil=spoil, **more)
        for name in drop:
            del headers[name]
        return source.post(self.daemon.url(path), body, headers)

    def sends(self, to=None, taken=None):
        """What both providers were given, in order."""
        rows = [dict(row, by=name) for name, one in (("json", self.json), ("form", self.form))
                for row in one.sends()]
        return sorted((row for row in rows
                       if (to is None or row["to"] == to) and
                       (taken is None or (row["taken"] and not row["repeat"]) == taken)),
                      key=lambda row: row["at"])

    def answer(self, to, count=1, seconds=WAIT_S):
        """Waits until `count` texts to this phone were taken; the last of them."""
        return until(lambda: len(self.sends(to, True)) >= count and self.sends(to, True),
                     lambda: "%d texts to a phone, the providers have %r. Log:\n%s" %
                     (count, self.sends(to), self.daemon.log()), seconds)[count - 1]

    # -- the store and the host's address

    @contextlib.contextmanager
    def database(self):
        database = sqlite3.connect("file:%s?mode=ro" % self.store_path, uri=True, timeout=5)
        try:
            yield database
        finally:
            database.close()

    def rows(self, query, *values):
        with self.database() as database:
            return database.execute(query, values).fetchall()

    def one(self, query, *values):
        return self.rows(query, *values)[0][0]

    def counter(self, name):
        return sum(value for value, in self.rows("SELECT value FROM counter WHERE name = ?", name))

    def get(self, path, host=True):
        return get(self.daemon.url(path, host))


def get(url):
    """A GET; status 0 when there was no whole answer."""
    parts = urllib.parse.urlsplit(url)
    connection = http.client.HTTPConnection(parts.hostname, parts.port, timeout=10)
    try:
        connection.request("GET", parts.path)
        answer = connection.getresponse()
        return source.Answer(answer.status,
                             {k.lower(): v for k, v in answer.getheaders()}, answer.read())
    except (OSError, http.client.HTTPException):
        return source.Answer(0, {}, b"")
    finally:
        connection.close()


def raw(port, octets, seconds=10.0):
    """Octets as they stand; the status and the whole answer."""
    with socket.create_connection(("127.0.0.1", port), seconds) as connection:
        connection.sendall(octets)
        data = b""
        while b"\r\n\r\n" not in data:
            more = connection.recv(65536)
            if not more:
                break
            data += more
    found = re.match(rb"HTTP/1\.1 (\d{3})", data)
    return (int(found.group(1)) if found else 0), data


def run(*arguments, stdin=b"", seconds=30.0, env=None):
    """A command of the program: exit status, standard output and error."""
    done = subprocess.run([BARBEL, *arguments], input=stdin, stdout=subprocess.PIPE,
                          stderr=subprocess.PIPE, timeout=seconds,
                          env=dict(os.environ, **(env or {})))
    return done.returncode, done.stdout.decode("utf-8"), done.stderr.decode("utf-8", "replace")


def note(sender, words, number=None, sent=None, receiver=HOST, **more):
    """A body in the form of json.conf, as octets."""
    fields = {"written_by": sender, "written_to": receiver, "words": words, **more}
    if number is not None:
        fields["number"] = number
    if sent is not None:
        fields["written_at"] = sent
    return json.dumps({"note": fields}).encode("utf-8")


WHOLE_NUMBER = re.compile(r"(?:\+|00)?44 ?7700 ?900\d{3}|07700 ?900\d{3}")


class DaemonCase(unittest.TestCase):
    """A farm and its daemon for each test. In the end, always: it stops with 0, the store is
    sound, no phone's whole number and no text stood in the log, no kept state was wrong."""

    settings = {}

    def setUp(self):
        self.farm = Farm(**self.settings)
        self.addCleanup(self.farm.close)
        self.farm.start()

    def tearDown(self):
        if self.farm.daemon and not self.farm.daemon.ended():
            self.assertEqual(self.farm.daemon.stop(), 0, self.farm.daemon.log())
        self.check_store()
        self.check_logs()

    def check_store(self):
        if not self.farm.store_path.exists():
            return
        self.assertEqual(self.farm.rows("PRAGMA integrity_check"), [("ok",)])
        self.assertEqual(self.farm.rows("PRAGMA foreign_key_check"), [])

    def check_logs(self):
        bodies = [body for body, in self.farm.rows("SELECT body FROM arrival")
                  if body and len(body) > 10] if self.farm.store_path.exists() else []
        bodies += [row["text"] for row in self.farm.sends()]
        for path in sorted(self.farm.folder.glob("daemon-*.log")):
            octets = path.read_bytes()
            for number in range(len(octets)):
                if octets[number] < 32 and octets[number] != 10:
                    self.fail("%s: octet %d is %d" % (path.name, number, octets[number]))
            text = octets.decode("utf-8")
            self.assertIsNone(WHOLE_NUMBER.search(text), text)
            self.assertNotIn("event=digest", text)
            self.assertNotIn("why=bug", text)
            for body in bodies:
                self.assertNotIn(body, text)

    def ledger(self):
        return self.farm.one("SELECT count(*) FROM ledger")

    def waiting_or_sent(self, phone):
        """Texts to a phone that the daemon made; they commit with the text that caused them."""
        return self.farm.one("SELECT count(*) FROM dispatch WHERE phone = ?", phone)

    def arrivals(self):
        return self.farm.one("SELECT count(*) FROM arrival")

    def assertStatus(self, answer, status, what=""):
        self.assertEqual(answer.status, status, "%s\n%s" % (what, self.farm.daemon.log()))


def one_part(text):
    """Whether a text is one part by 3GPP TS 23.038: 160 septets of the default alphabet, ten
    characters counting two. Letters with accents are left out on purpose: English needs none."""
    double = "^{}\\[~]|"
    plain = ("@$_\n\r !\"#%&'()*+,-./0123456789:;<=>?"
             "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz")
    return (all(c in plain or c in double for c in text) and
            sum(2 if c in double else 1 for c in text) <= 160)
