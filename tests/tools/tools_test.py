#!/usr/bin/env python3
"""The test tools held against something outside them: published vectors for the signing, the
provider's modes and receipts through a real socket, the source against a small server of its own.
"""

import hashlib
import hmac
import http.client
import http.server
import json
import os
import signal
import subprocess
import sys
import tempfile
import threading
import time
import unittest
import urllib.parse

HERE = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, HERE)

import provider as provider_module  # noqa: E402
import source  # noqa: E402
import webhook  # noqa: E402

# Invented: 32 bytes 01 02 ... 20 in base64.
SECRET = "whsec_AQIDBAUGBwgJCgsMDQ4PEBESExQVFhcYGRobHB0eHyA="
PATIENCE_S = 8.0


def wait_for(what, condition):
    end = time.monotonic() + PATIENCE_S
    while not condition():
        if time.monotonic() > end:
            raise AssertionError("never came: " + what)
        time.sleep(0.01)


class Taker:
    """A small server that keeps what it is posted and answers with the statuses it is given."""

    def __init__(self, statuses=(200,)):
        taker = self
        self.got = []
        self.statuses = list(statuses)
        self.lock = threading.Lock()

        class Handler(http.server.BaseHTTPRequestHandler):
            protocol_version = "HTTP/1.1"

            def log_message(self, format, *args):
                pass

            def do_POST(self):
                body = self.rfile.read(int(self.headers["Content-Length"]))
                with taker.lock:
                    taker.got.append((self.path, dict(self.headers), body))
                    status = taker.statuses.pop(0) if len(taker.statuses) > 1 \
                        else taker.statuses[0]
                self.send_response(status)
                self.send_header("Content-Length", "2")
                self.send_header("Retry-After", "3")
                self.end_headers()
                self.wfile.write(b"ok")

        self.server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.server.daemon_threads = True
        self.port = self.server.server_address[1]
        threading.Thread(target=self.server.serve_forever, args=(0.05,), daemon=True).start()

    def url(self, path):
        return "http://127.0.0.1:%d%s" % (self.port, path)

    def stop(self):
        self.server.shutdown()
        self.server.server_close()


class Signing(unittest.TestCase):
    def test_published_vector(self):
        # The example of the Standard Webhooks libraries (Apache-2.0).
        self.assertEqual(
            webhook.signature("whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw",
                              "msg_p5jXN8AQM9LWM0D4loKWxJek", 1614265330,
                              b'{"test": 2432232314}'),
            "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=")

    def test_rfc_4231_case_2(self):
        self.assertEqual(
            hmac.new(b"Jefe", b"what do ya want for nothing?", hashlib.sha256).hexdigest(),
            "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843")

    def test_secrets(self):
        self.assertEqual(webhook.key_of(SECRET + "\n"), bytes(range(1, 33)))
        for wrong in ("AQID", "whsec_AQID", "whsec_!!!!"):
            with self.assertRaises(ValueError):
                webhook.key_of(wrong)


def send_json(port, reference="ab12", text="F3: look now", secret="word"):
    body = json.dumps({"errand": {
        "goes_to": "+447700900123", "comes_from": "+447700900000", "words": text,
        "writing": "short", "mark": reference, "keep_hours": 12, "tell_me": True}})
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
    try:
        connection.request("POST", "/errands", body, {
            "Content-Type": "application/json", "Authorization": "Bearer " + secret,
            "Idempotency-Key": '"%s"' % reference})
        answer = connection.getresponse()
        return answer.status, answer.getheader("Retry-After"), answer.read()
    finally:
        connection.close()


class Providing(unittest.TestCase):
    def start(self, **options):
        p = provider_module.Provider(**options).start()
        self.addCleanup(p.stop)
        return p

    def test_taken_and_recorded(self):
        with tempfile.TemporaryDirectory() as folder:
            record = os.path.join(folder, "record")
            p = self.start(record=record, send_secret="word")
            status, _, body = send_json(p.port)
            self.assertEqual((status, json.loads(body)),
                             (200, {"errand": {"taken": True, "number": "n-1"}}))
            again = send_json(p.port)
            self.assertEqual(again[2], body)  # the same reference: the same number
            self.assertEqual(send_json(p.port, secret="other")[0], 401)
            with open(record, encoding="utf-8") as file:
                lines = [json.loads(line) for line in file]
        self.assertEqual([x["kind"] for x in lines], ["send", "send", "wrong"])
        first = lines[0]
        self.assertEqual((first["to"], first["text"], first["reference"], first["taken"],
                          first["repeat"], first["key"]),
                         ("+447700900123", "F3: look now", "ab12", True, False, '"ab12"'))
        self.assertTrue(lines[1]["repeat"])
        self.assertLess(abs(first["at"] - time.time()), 60)
        self.assertEqual(p.state()["taken"], 1)

    def test_modes(self):
        p = self.start()
        p.control({"mode": "refuse"})
        self.assertEqual(send_json(p.port)[0], 422)
        p.control({"mode": "fail", "retry_after": 7})
        self.assertEqual(send_json(p.port)[:2], (503, "7"))
        p.control({"mode": "fail", "status": 500, "retry_after": None})
        self.assertEqual(send_json(p.port)[:2], (500, None))
        p.control({"mode": "garbage"})
        status, _, body = send_json(p.port, "cd34")
        self.assertEqual(status, 200)
        with self.assertRaises(ValueError):
            json.loads(body.decode("latin-1"))
        p.control({"mode": "cut"})
        with self.assertRaises((OSError, http.client.HTTPException)):
            send_json(p.port, "ef56")
        p.control({"mode": "slow", "slow_s": 0.3})
        began = time.monotonic()
        self.assertEqual(send_json(p.port, "0a78")[0], 200)
        self.assertGreaterEqual(time.monotonic() - began, 0.3)
        p.control({"mode": "fail", "status": None, "for": 2})
        self.assertEqual([send_json(p.port)[0] for _ in range(4)], [503, 503, 200, 200])
        self.assertEqual([x["taken"] for x in p.sends()],
                         [False, False, False, True, True, True, False, False, True, True])

    def test_wrong_bodies(self):
        p = self.start()
        answer = source.post(p.url(), b"{", {"Content-Type": "application/json"})
        self.assertEqual(answer.status, 400)
        self.assertEqual(source.post(p.url() + "x", b"{}", {}).status, 404)
        self.assertEqual(p.sends(), [])

    def test_control(self):
        p = self.start()
        url = "http://127.0.0.1:%d/control" % p.port
        answer = source.post(url, b'{"mode": "slow", "slow_s": 2}', {})
        self.assertEqual(answer.status, 200)
        self.assertEqual(json.loads(answer.body)["slow_s"], 2)
        for wrong in (b'{"mode": "odd"}', b'{"speed": 1}', b"[]", b"{"):
            self.assertEqual(source.post(url, wrong, {}).status, 400, wrong)
        self.assertEqual(p.state()["mode"], "slow")

    def test_signed_receipts(self):
        taker = Taker([503, 200])
        self.addCleanup(taker.stop)
        p = self.start(receipts=taker.url("/receipt/json"), receipt_secret=SECRET,
                       receipt_count=2)
        send_json(p.port)
        wait_for("two receipts", lambda: len(p.of_kind("receipt")) == 2)
        self.assertEqual(len(taker.got), 3)  # one was answered 503 and came again
        for path, headers, body in taker.got:
            self.assertEqual(path, "/receipt/json")
            self.assertEqual(json.loads(body), {
                "news": {"number": "n-1", "mark": "ab12", "outcome": "handed over"}})
            self.assertEqual(headers["webhook-signature"],
                             webhook.signature(SECRET, headers["webhook-id"],
                                               int(headers["webhook-timestamp"]), body))
        self.assertEqual(len({headers["webhook-id"] for _, headers, _ in taker.got}), 3)

    def test_receipts_withheld_late_and_failed(self):
        taker = Taker()
        self.addCleanup(taker.stop)
        p = self.start(receipts=taker.url("/receipt/json"), receipt_secret=SECRET,
                       receipt_withhold=True)
        send_json(p.port, "a1")
        p.control({"receipt_withhold": False, "receipt_delay_s": 0.3, "receipt_state": "given up"})
        began = time.monotonic()
        send_json(p.port, "b2")
        wait_for("the late receipt", lambda: len(taker.got) == 1)
        self.assertGreaterEqual(time.monotonic() - began, 0.3)
        self.assertEqual(json.loads(taker.got[0][2])["news"],
                         {"number": "n-2", "mark": "b2", "outcome": "given up"})

    def test_form(self):
        taker = Taker()
        self.addCleanup(taker.stop)
        p = self.start(form="form", send_secret="word", receipts=taker.url("/receipt/form"),
                       receipt_secret="other word")
        fields = {"whose": "word", "goes_to": "447700900123", "from": "+447700900001",
                  "letters": "plain", "mark": "ab12", "words": "a & b = \u00e9"}
        answer = source.post(p.url(), urllib.parse.urlencode(fields).encode(), {})
        self.assertEqual(answer.status, 200)
        self.assertEqual(urllib.parse.parse_qs(answer.body.decode()),
                         {"taken": ["yes"], "number": ["n-1"]})
        send = p.sends()[0]
        self.assertEqual((send["to"], send["text"]), ("+447700900123", "a & b = \u00e9"))
        self.assertNotIn("word", json.dumps(send).replace("words", ""))  # no secret is recorded
        wait_for("the receipt", lambda: taker.got)
        self.assertEqual(urllib.parse.parse_qs(taker.got[0][2].decode()),
                         {"number": ["n-1"], "outcome": ["0"], "word": ["other word"]})
        fields["whose"] = "x"
        self.assertEqual(source.post(p.url(), urllib.parse.urlencode(fields).encode(), {}).status,
                         401)

    def test_as_a_program(self):
        child = subprocess.Popen([sys.executable, os.path.join(HERE, "provider.py"),
                                  "--mode", "fail", "--for", "1", "--seconds", "30"],
                                 stdout=subprocess.PIPE, text=True)
        try:
            word, port = child.stdout.readline().split()
            self.assertEqual(word, "port")
            self.assertEqual(send_json(int(port))[0], 503)
            self.assertEqual(send_json(int(port))[0], 200)
            child.send_signal(signal.SIGTERM)
            self.assertEqual(child.wait(PATIENCE_S), 0)
        finally:
            if child.poll() is None:
                child.kill()
                child.wait()
            child.stdout.close()


class Posting(unittest.TestCase):
    def setUp(self):
        self.taker = Taker()
        self.addCleanup(self.taker.stop)
        self.url = self.taker.url("/in/json")

    def signature_fits(self, at):
        _, headers, body = self.taker.got[at]
        if "webhook-signature" not in headers:
            return None
        return headers["webhook-signature"] == webhook.signature(
            SECRET, headers["webhook-id"], int(headers["webhook-timestamp"]), body)

    def test_one(self):
        answer = source.post_message(self.url, SECRET, "+447700900123", "temp 28\u00b0", number="m1",
                                     sent_s=1767225600)
        self.assertEqual((answer.status, answer.headers["retry-after"], answer.body),
                         (200, "3", b"ok"))
        path, headers, body = self.taker.got[0]
        self.assertEqual((path, headers["Content-Type"]), ("/in/json", "application/json"))
        self.assertEqual(json.loads(body), {"note": {
            "written_by": "+447700900123", "written_to": source.RECEIVER, "words": "temp 28\u00b0",
            "number": "m1", "written_at": "2026-01-01T00:00:00Z"}})
        self.assertTrue(self.signature_fits(0))

    def test_spoilt(self):
        for at, spoil in enumerate(("signature", "body", "secret", "missing")):
            source.post_message(self.url, SECRET, "+447700900123", "x", spoil=spoil)
            self.assertIs(self.signature_fits(at), None if spoil == "missing" else False, spoil)
        source.post_message(self.url, SECRET, "+447700900123", "x", webhook_id="w1", at_s=12345)
        headers = self.taker.got[-1][1]
        self.assertEqual((headers["webhook-id"], headers["webhook-timestamp"]), ("w1", "12345"))
        self.assertTrue(self.signature_fits(-1))

    def test_form(self):
        source.post_message(self.taker.url("/in/form"), "word", "+447700900123", "a&b", form="form",
                            number="", sent_s=5)
        path, headers, body = self.taker.got[0]
        self.assertEqual((path, headers["Carrier-Word"]), ("/in/form", "word"))
        self.assertEqual(urllib.parse.parse_qs(body.decode()), {
            "written_by": ["+447700900123"], "written_to": [source.RECEIVER], "words": ["a&b"],
            "written_at": ["5"]})

    def test_nobody_there(self):
        self.taker.stop()
        self.assertEqual(source.post_message(self.url, SECRET, "+447700900123", "x").status, 0)
        self.taker = Taker()

    def test_load(self):
        self.taker.statuses = [503, 503, 200]
        result = source.load(self.url, SECRET, ["+447700900001", "+447700900002"], "text {n}", 40, 4,
                             tries=3)
        self.assertEqual(result["statuses"], {"200": 40})
        self.assertEqual(len(self.taker.got), 42)
        words = {json.loads(body)["note"]["words"] for _, _, body in self.taker.got}
        self.assertEqual(words, {"text %d" % n for n in range(40)})
        self.assertTrue(all(self.signature_fits(at) for at in range(42)))
        self.assertLessEqual(result["latency_ms"]["p50"], result["latency_ms"]["most"])
        self.assertGreater(result["rate_per_s"], 0)

    def test_as_a_program(self):
        with tempfile.NamedTemporaryFile("w") as file:
            file.write(SECRET + "\n")
            file.flush()
            run = [sys.executable, os.path.join(HERE, "source.py"), "--url", self.url,
                   "--secret-file", file.name, "--from", "+447700900123", "--text", "x"]
            done = subprocess.run(run, capture_output=True, text=True, timeout=30)
            self.assertEqual((done.returncode, done.stdout), (0, "status 200\nretry-after 3\n"))
            self.taker.statuses = [401]
            done = subprocess.run(run + ["--spoil", "signature"], capture_output=True, text=True,
                                  timeout=30)
            self.assertEqual((done.returncode, done.stdout.split("\n")[0]), (1, "status 401"))
            done = subprocess.run(run + ["--count", "5", "--connections", "2"],
                                  capture_output=True, text=True, timeout=30)
            self.assertEqual((done.returncode, json.loads(done.stdout)["statuses"]),
                             (1, {"401": 5}))


if __name__ == "__main__":
    unittest.main()
