"""More texts at once than one round of the daemon holds. It is stopped while they are sent and goes
on when all are there: each must be read, none set aside, none lost. And settings that would meet
such a limit are refused before."""

import collections
import http.client
import pathlib
import signal
import socket
import sys
import time
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "e2e"))

import harness  # noqa: E402
from harness import OWNER, READ, WORKER, farm_text, run, until  # noqa: E402

source = harness.source
FARMS = 400  # more than the desk keeps folded (256)
PHONES = ["+447700900%03d" % n for n in range(1, FARMS + 1)]


class ManyFarms(harness.DaemonCase):
    settings = {"farms": ",\n".join(farm_text("F%d" % n, ((phone, "owner"),))
                                    for n, phone in enumerate(PHONES))}

    def request(self, connection, number, words):
        body, kind = source.body_of("json", PHONES[number], words, "%s-%d" % (words, number))
        connection.request("POST", "/in/json", body, source.headers_of(
            "json", harness.SECRETS["json-in"], body, kind))

    def test_a_text_of_each_in_one_round(self):
        connections = [http.client.HTTPConnection("127.0.0.1", self.farm.daemon.port, timeout=60)
                       for _ in PHONES]
        for number, one in enumerate(connections):
            self.addCleanup(one.close)
            self.request(one, number, "help")
            one.getresponse().read()
        self.farm.daemon.process.send_signal(signal.SIGSTOP)
        for number, one in enumerate(connections):
            self.request(one, number, "inject f3 1.2kg t24")
        self.farm.daemon.process.send_signal(signal.SIGCONT)
        statuses = collections.Counter()
        for one in connections:
            answer = one.getresponse()
            answer.read()
            statuses[answer.status] += 1
        self.assertEqual(statuses, {200: FARMS}, self.farm.daemon.log()[-2000:])
        self.assertEqual(self.farm.rows("SELECT fate, count(*) FROM arrival GROUP BY fate"),
                         [(READ, 2 * FARMS)])
        self.assertEqual(self.farm.one("SELECT count(DISTINCT farm) FROM ledger"), FARMS)


class Door(harness.DaemonCase):
    settings = {"texts_per_hour": 1000}

    def client(self):
        one = socket.socket(socket.AF_UNIX, socket.SOCK_STREAM)
        one.settimeout(10)
        one.connect(str(self.farm.store_path) + "-door")
        self.addCleanup(one.close)
        return one

    def count(self, phone):
        return self.farm.one("SELECT count(*) FROM arrival WHERE sender = ?", phone)

    def test_a_client_that_fills_the_round_and_one_that_is_gone(self):
        first, second = self.client(), self.client()
        # Both are let in before anything is sent, so that they stand in this order.
        time.sleep(0.2)
        self.farm.daemon.process.send_signal(signal.SIGSTOP)
        first.sendall(b"phone " + OWNER.encode() + b"\n" +
                      b"".join(b"temp f%d 20\n" % n for n in range(1, 121)))
        second.sendall(b"phone " + WORKER.encode() + b"\n" +
                       b"".join(b"hello %080d\n" % n for n in range(200)))
        second.shutdown(socket.SHUT_WR)
        self.farm.daemon.process.send_signal(signal.SIGCONT)
        until(lambda: (self.count(OWNER), self.count(WORKER)) == (120, 200),
              lambda: "120 and 200 texts, there are %d and %d" %
              (self.count(OWNER), self.count(WORKER)))


class Limits(unittest.TestCase):
    def setUp(self):
        self.farm = harness.Farm()
        self.addCleanup(self.farm.close)

    def check(self):
        status, _, error = run("check", "--settings", str(self.farm.settings_path))
        return status, error

    def people(self, count):
        text = harness.SETTINGS.format(
            store=self.farm.store_path, ballast_mib=1, countries="GB", texts_per_hour=60,
            farms=farm_text("Big", [(phone, "owner") for phone in PHONES[:count]]))
        self.farm.write_settings(text)

    def test_people_of_a_farm(self):
        self.people(64)
        self.assertEqual(self.check(), (0, ""))
        self.people(65)
        status, error = self.check()
        self.assertEqual(status, 2, error)
        self.assertIn('farm "Big" has more than 64 people', error)

    def test_a_path_that_the_door_does_not_fit_beside(self):
        text = self.farm.settings()
        room = 100 - len(str(self.farm.folder)) - len("/")
        for letters, wanted in ((room, 0), (room + 1, 2)):
            path = self.farm.folder / ("s" * letters)
            self.farm.write_settings(text.replace(str(self.farm.store_path), str(path)))
            status, error = self.check()
            self.assertEqual(status, wanted, error)
            if wanted:
                self.assertIn("the store's path is longer than 100 bytes", error)
        self.farm.write_settings(text.replace(str(self.farm.store_path),
                                              str(self.farm.folder / ("s" * room))))
        daemon = self.farm.start()
        self.assertEqual(daemon.stop(), 0)


if __name__ == "__main__":
    unittest.main()
