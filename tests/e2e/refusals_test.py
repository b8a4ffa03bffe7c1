"""What is refused, with what status, and how little is told: Standard Webhooks 1.0.0 for the
signature, RFC 9110 and 9112 for the rest. Health and metrics on the host's address only, the
metrics in the text form of OpenMetrics 1.0."""

import re
import socket
import time
import unittest

import harness
from harness import HOST, OWNER, note


class Refusals(harness.DaemonCase):
    def tearDown(self):
        self.assertEqual(self.arrivals(), 0, "nothing of it was stored")
        super().tearDown()

    def refuse(self, answer, status, what=""):
        self.assertStatus(answer, status, what)
        self.assertEqual(answer.body, b"", "no detail")

    def test_signatures(self):
        for spoil in ("signature", "body", "secret", "missing"):
            self.refuse(self.farm.post(OWNER, "today", spoil=spoil), 401, spoil)
        for name in ("webhook-id", "webhook-timestamp", "webhook-signature"):
            self.refuse(self.farm.post_bytes(note(OWNER, "today", "n1"), drop=(name,)), 401, name)
        self.refuse(self.farm.post(OWNER, "today", "form", spoil="secret"), 401)
        self.refuse(self.farm.post(OWNER, "today", "form", spoil="missing"), 401)

    def test_the_hour_of_a_signature(self):
        now_s = int(time.time())
        # 301 s old stays so; one ahead comes nearer while it travels.
        self.refuse(self.farm.post(OWNER, "today", at_s=now_s - 301), 401)
        self.refuse(self.farm.post(OWNER, "today", at_s=now_s + 303), 401)
        self.refuse(self.farm.post(OWNER, "today", at_s=0), 401)
        self.refuse(self.farm.post(OWNER, "today", at_s=99999999999999999999), 401)

    def test_receipts_are_guarded_too(self):
        body = b'{"news": {"number": "n-1", "outcome": "handed over"}}'
        self.refuse(self.farm.post_bytes(body, path="/receipt/json", spoil="signature"), 401)
        self.refuse(self.farm.post_bytes(b'{"news": {}}', path="/receipt/json"), 400)
        form = "application/x-www-form-urlencoded"
        self.refuse(self.farm.post_bytes(b"number=n-1&outcome=0&word=wrong", form,
                                         path="/receipt/form"), 401)

    def test_bodies(self):
        whole = note(OWNER, "today", "n1")
        for what, body in (
                ("cut", whole[:-3]), ("nothing", b""), ("not JSON", b"number=n1&words=today"),
                ("invalid UTF-8", whole.replace(b"today", b"tod\xff\xfe")),
                ("overlong UTF-8", whole.replace(b"today", b"tod\xc0\xaf")),
                ("a name twice", whole.replace(b'"words"', b'"words": "a", "words"')),
                ("no sender", whole.replace(b"written_by", b"written_bx")),
                ("text is a number", whole.replace(b'"today"', b"{}")),
                ("a list", b"[]"), ("null", b"null")):
            self.refuse(self.farm.post_bytes(body), 400, what)
        for kind in ("application/x-www-form-urlencoded", "text/plain", ""):
            self.refuse(self.farm.post_bytes(whole, kind), 400, kind)
        deep = b"[" * 5000 + b"]" * 5000
        self.assertIn(self.farm.post_bytes(deep).status, (400, 413))

    def test_paths_and_methods(self):
        farm = self.farm
        self.refuse(farm.post_bytes(note(OWNER, "today", "n1"), path="/in/other"), 404)
        self.refuse(farm.post_bytes(note(OWNER, "today", "n1"), path="/in/door"), 404)
        for target in (b"/in/json?x=1", b"/in/json/", b"/in/", b"/in/js%6fn", b"//in/json"):
            status, _ = harness.raw(farm.daemon.port, b"POST " + target + b" HTTP/1.1\r\nHost: h\r\n"
                                    b"Content-Length: 0\r\n\r\n")
            self.assertEqual(status, 404, target)
        self.refuse(farm.post_bytes(note(OWNER, "today", "n1"), path="/"), 404)
        answer = farm.get("/in/json", host=False)
        self.refuse(answer, 405)
        self.assertEqual(answer.headers["allow"], "POST")
        # The host's pages are not on the public address, nor the links on the host's.
        for path in ("/health", "/metrics"):
            self.refuse(farm.get(path, host=False), 404, path)
        status, _ = harness.raw(farm.daemon.host_port, b"POST /in/json HTTP/1.1\r\nHost: h\r\n"
                                b"Content-Length: 0\r\n\r\n")
        self.assertEqual(status, 404)

    def test_lengths(self):
        port = self.farm.daemon.port
        head = b"POST /in/json HTTP/1.1\r\nHost: h\r\nContent-Type: application/json\r\n"
        for what, rest, wanted in (
                ("chunked", b"Transfer-Encoding: chunked\r\n\r\n2\r\n{}\r\n0\r\n\r\n", 411),
                ("both", b"Content-Length: 2\r\nTransfer-Encoding: chunked\r\n\r\n{}", 411),
                ("no length", b"\r\n", 411),
                ("huge", b"Content-Length: 99999999\r\n\r\n", 413),
                ("beyond 64 bits", b"Content-Length: 99999999999999999999999\r\n\r\n", 413),
                ("a sign", b"Content-Length: +2\r\n\r\n{}", 400),
                ("two lengths", b"Content-Length: 2\r\nContent-Length: 3\r\n\r\n{}", 400),
                ("head too large", b"X: " + b"a" * 9000 + b"\r\n\r\n", 431)):
            with self.subTest(what):
                status, data = harness.raw(port, head + rest)
                self.assertEqual(status, wanted, data)
                body = data.split(b"\r\n\r\n", 1)[1]
                if what in ("beyond 64 bits", "a sign"):  # a fixed page of the HTTP library's own
                    self.assertNotIn(b"barbel", body)
                else:
                    self.assertEqual(body, b"", "no detail")

    def test_slow_clients_hold_up_nobody(self):
        port = self.farm.daemon.port
        idle = [socket.create_connection(("127.0.0.1", port), 5) for _ in range(50)]
        try:
            for connection in idle:
                connection.sendall(b"POST /in/json HTTP/1.1\r\nHost: h\r\nContent-Length: 500\r\n\r\n{")
            self.refuse(self.farm.post(OWNER, "today", spoil="signature"), 401)
        finally:
            for connection in idle:
                connection.close()


SAMPLE = re.compile(r"^([a-zA-Z_:][a-zA-Z0-9_:]*)(?:\{[^{}]*\})? (-?[0-9.e+-]+)$")


def read_metrics(text):
    """OpenMetrics 1.0 as far as it is used here: one TYPE for a family before its samples, no
    family twice, a counter's sample ends in _total, nothing behind # EOF."""
    assert text.endswith("# EOF\n") and text.count("# EOF") == 1, text[-40:]
    kinds, values, current = {}, {}, None
    for line in text[:-len("# EOF\n")].splitlines():
        words = line.split(" ")
        if words[:2] == ["#", "TYPE"]:
            current = words[2]
            assert current not in kinds, "twice: " + line
            assert words[3] in ("counter", "gauge"), line
            kinds[current] = words[3]
        elif line.startswith("#"):
            assert words[1] == "HELP" and words[2] == current, line
        else:
            found = SAMPLE.match(line)
            assert found, line
            wanted = current + ("_total" if kinds[current] == "counter" else "")
            assert found.group(1) == wanted and wanted not in values, line
            values[wanted] = float(found.group(2))
    return values


class HostPages(harness.DaemonCase):
    def test_health(self):
        answer = self.farm.get("/health")
        self.assertEqual((answer.status, answer.body), (200, b"ok"))

    def test_metrics(self):
        farm = self.farm
        self.assertStatus(farm.post(OWNER, "today"), 200)
        farm.answer(OWNER)
        self.assertStatus(farm.post(OWNER, "today", spoil="signature"), 401)
        self.assertStatus(farm.post(harness.STRANGER, "hello"), 200)
        farm.answer(harness.STRANGER)
        harness.raw(farm.daemon.port, b"GET /nowhere HTTP/1.1\r\nHost: h\r\n\r\n")
        harness.until(lambda: read_metrics(farm.get("/metrics").body.decode("ascii"))
                      ["barbel_sends_done_total"] == 2, "two texts counted as taken")
        answer = farm.get("/metrics")
        self.assertEqual(answer.headers["content-type"].split(";")[0],
                         "application/openmetrics-text")
        self.assertIn("version=1.0.0", answer.headers["content-type"])
        values = read_metrics(answer.body.decode("ascii"))
        self.assertEqual(values["barbel_store_strangers"], 1)
        self.assertEqual(values["barbel_refused_client_total"], 1)
        self.assertEqual(values["barbel_digest_differences_total"], 0)
        self.assertGreaterEqual(values["barbel_turns_total"], 2)
        self.assertNotIn(HOST.encode()[1:], answer.body)


if __name__ == "__main__":
    unittest.main()
