"""Kills: the daemon ends by SIGKILL at each named point of the source while texts come in, and is
started again. What was answered 200 is in the ledger once; each text has one answer, and every try
of it has the same reference. Only a text that was being read when the process died is set aside.

A point of the source that is not in the list here, or one that is never passed, fails the test.
"""

import collections
import contextlib
import pathlib
import re
import signal
import sys
import threading
import time
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "e2e"))

import harness  # noqa: E402
from harness import ASIDE, DONE, READ, farm_text, until  # noqa: E402

FARMS, PHONES, BATCH, WORKERS = 4, 2, 8, 4
BATCHES_MOST = 6  # how many texts share a round depends on the machine: until the point is passed

# Where, and at which passing; the start passes some of them a few times before the first text.
KILLS = (
    ("store-migrate-step", 1), ("store-begin", 9), ("desk-begun", 2), ("desk-taken", 2),
    ("desk-commit", 2), ("desk-committed", 2), ("round-committed", 3), ("store-commit-before", 9),
    ("store-commit-after", 9), ("turn-before", 3), ("turn-after", 2), ("store-arrival", 2),
    ("store-ledger", 3), ("store-told", 3), ("store-diary", 2), ("store-dispatch", 3),
    ("send-started", 3), ("send-answered", 2), ("store-attempt", 4), ("store-receipt", 3),
    ("vfs-wal-write", 30), ("vfs-wal-sync", 8), ("store-checkpoint", 1), ("vfs-db-write", 1),
    ("vfs-db-write", 6), ("vfs-db-sync", 1), ("store-commit-after", 1), ("vfs-wal-write", 1),
    ("desk-committed", 5), ("send-answered", 7), ("desk-code", 3),
)
SETS_ASIDE = ("turn-before", "turn-after")  # the text was being read


def phone(farm, person):
    return "+447700900%d%02d" % (farm + 1, person)


def points_of_the_source():
    found = set()
    for path in sorted((harness.SOURCE_DIR / "src").rglob("*.c")):
        found |= set(re.findall(r'\bPOINT\("([a-z-]+)"\)', path.read_text("utf-8")))
    return found


class Text:
    def __init__(self, n):
        self.farm = n % FARMS
        self.sender = phone(self.farm, n // FARMS % PHONES)
        self.tag = "f%d" % (n + 1)
        self.body = "inject %s 1.2kg t24" % self.tag
        self.number = "text-%d" % n
        self.status = None

    def answers(self, rows):
        head = "New: %s 1.2kg injected " % self.tag.upper()
        return [row for row in rows if row["text"].startswith(head)]


class Kills(harness.DaemonCase):
    settings = {
        "texts_per_hour": 100000,
        "farms": ",\n".join(farm_text("Farm %d" % n, [
            (phone(n, person), "worker" if person else "owner") for person in range(PHONES)])
            for n in range(FARMS)),
    }

    def setUp(self):
        self.farm = harness.Farm(**self.settings)
        self.addCleanup(self.farm.close)
        self.texts = []

    def start(self, env=None):
        self.farm.daemon = harness.Daemon(self.farm, env)
        return self.farm.daemon.listening()

    def send(self, text, deadline):
        """Until it is answered 200, the same message newly signed each time."""
        while time.monotonic() < deadline and text.status != 200:
            if self.farm.daemon.port is None:
                time.sleep(0.005)
                continue
            text.status = self.farm.post(text.sender, text.body, number=text.number).status
            if text.status not in (0, 200, 503):
                return

    def batch(self):
        """Texts from several connections at once; whatever dies is started again."""
        texts = [Text(len(self.texts) + n) for n in range(BATCH)]
        self.texts += texts
        queue, lock = collections.deque(texts), threading.Lock()
        deadline = time.monotonic() + 30

        def work():
            while True:
                with lock:
                    if not queue:
                        return
                    text = queue.popleft()
                self.send(text, deadline)

        workers = [threading.Thread(target=work) for _ in range(WORKERS)]
        for worker in workers:
            worker.start()
        while any(worker.is_alive() for worker in workers):
            self.raise_the_dead()
            workers[0].join(0.005)
        for worker in workers:
            worker.join()
        self.assertEqual([text.status for text in texts], [200] * BATCH, self.farm.daemon.log())

    def raise_the_dead(self):
        daemon = self.farm.daemon
        if daemon.ended():
            self.assertEqual(daemon.process.returncode, -signal.SIGKILL, daemon.log())
            self.deaths += 1
            self.assertTrue(self.start(), self.farm.daemon.log())

    def dies(self, seconds):
        """Some points are passed a little later: by a try, a receipt, an idle moment."""
        def died():
            self.raise_the_dead()
            return self.deaths

        with contextlib.suppress(harness.Late):
            until(died, "its death", seconds)
        return self.deaths > 0

    def test_every_point(self):
        self.assertEqual(points_of_the_source(), {name for name, _ in KILLS})
        for name, nth in KILLS:
            # The log is moved into the file at a clean end; a start after a death finds one to move.
            if self.farm.daemon and name.startswith("vfs-db"):
                self.farm.daemon.kill()
            elif self.farm.daemon:
                self.assertEqual(self.farm.daemon.stop(), 0, self.farm.daemon.log())
            self.deaths = 0
            self.start({"BARBEL_KILL_AT": "%s:%d" % (name, nth)})
            for _ in range(BATCHES_MOST):
                self.batch()
                if self.dies(2):
                    break
            else:
                self.fail("the point %s was not passed %d times. Log:\n%s" %
                          (name, nth, self.farm.daemon.log()))
            self.assertEqual(self.deaths, 1, name)
            self.batch()  # and now nothing is in the way
        until(lambda: self.farm.rows("SELECT DISTINCT state FROM dispatch") == [(DONE,)],
              lambda: "the end of all texts: %r" % self.farm.rows(
                  "SELECT state, tries, reason FROM dispatch WHERE state <> ?", DONE), 60)
        self.assertEqual(self.farm.daemon.stop(), 0)
        self.check_texts()

    def check_texts(self):
        farm, count = self.farm, len(self.texts)
        asides = sum(name in SETS_ASIDE for name, _ in KILLS)
        arrivals = {body: (number, fate) for number, body, fate in
                    farm.rows("SELECT id, body, fate FROM arrival")}
        self.assertEqual(farm.one("SELECT count(*) FROM arrival"), count, "none lost, none twice")
        self.assertEqual(set(arrivals), {text.body for text in self.texts})
        fates = collections.Counter(fate for _, fate in arrivals.values())
        self.assertEqual(fates, {READ: count - asides, ASIDE: asides})
        entries = collections.defaultdict(list)
        for arrival, kind, subject_kind in farm.rows(
                "SELECT arrival, kind, subject_kind FROM ledger ORDER BY farm, seq"):
            entries[arrival].append((kind, subject_kind))
        sends = farm.sends()
        wanted = None
        references = set()
        for text in self.texts:
            number, fate = arrivals[text.body]
            answers = text.answers(sends)
            mine = {row["reference"] for row in answers}
            if fate == ASIDE:
                self.assertEqual((entries[number], mine), ([], set()), "not read: " + text.body)
                continue
            wanted = wanted or entries[number]
            self.assertEqual(entries[number], wanted, "in the ledger once: " + text.body)
            self.assertEqual(len(mine), 1, "one answer: %s %r" % (text.body, answers))
            self.assertEqual({row["to"] for row in answers}, {text.sender})
            self.assertEqual(len({row["text"] for row in answers}), 1)
            references |= mine
        self.assertEqual(len(references), count - asides, "no reference for two answers")
        sorry = {row["reference"] for row in sends if row["text"].startswith("Sorry")}
        self.assertEqual(len(sorry), asides, "each set aside has its apology, once")
        # What the provider took is what the store says was sent, and nothing beside it.
        self.assertEqual({row["reference"] for row in sends}, references | sorry)
        self.assertEqual({(reference,) for reference in references | sorry},
                         set(farm.rows("SELECT reference FROM dispatch")))
        for farm_id, head in farm.rows("SELECT id, head FROM farm"):
            self.assertEqual(farm.rows("SELECT count(*), max(seq), min(seq) FROM ledger"
                                       " WHERE farm = ?", farm_id), [(head, head, 1)])


if __name__ == "__main__":
    unittest.main()
