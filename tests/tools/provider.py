#!/usr/bin/env python3
"""The loopback provider: takes sends in the form of deploy/profiles/json.conf (POST /errands) or
form.conf (POST /carry), records them, and posts receipts back.

    provider.py --form json --record FILE [--mode MODE] [--receipts URL --secret-file FILE] ...

Prints "port N" once it listens on 127.0.0.1, and ends on SIGTERM, SIGINT or after --seconds.

Modes (what a send meets; more at run time by POST /control):
    ok       taken, with a number
    slow     taken, answered after slow_s seconds
    refuse   status (default 422), not taken
    fail     status (default 503) with Retry-After when retry_after is set, not taken
    cut      taken, but the connection is closed without an answer
    garbage  taken, but the answer is 200 with a body that means nothing
A reference that was taken before is answered alike with the same number, and not taken again.

POST /control takes a JSON object with any of the settings below and answers with all of them;
"for": N makes the mode hold for the next N sends only, "ok" after that. GET /control shows them
and the counts.

The record has one JSON object a line, "kind" being "send" or "receipt".
"""

import argparse
import http.client
import http.server
import json
import signal
import socket
import sys
import threading
import time
import urllib.parse

import webhook

MODES = ("ok", "slow", "refuse", "fail", "cut", "garbage")
PATHS = {"json": "/errands", "form": "/carry"}
SETTINGS = {
    "mode": "ok",
    "for": None,  # sends that the mode still holds for; None: all
    "slow_s": 1.0,
    "status": None,  # of refuse and fail; None: 422 and 503
    "retry_after": None,
    "receipt_count": 1,  # how often each receipt is posted
    "receipt_delay_s": 0.0,
    "receipt_withhold": False,
    "receipt_state": None,  # None: delivered
}
DELIVERED = {"json": "handed over", "form": "0"}


def read_send(form, body):
    """A send's fields under names that do not depend on the form."""
    if form == "json":
        errand = json.loads(body.decode("utf-8"))["errand"]
        return {
            "to": errand["goes_to"],
            "text": errand["words"],
            "reference": errand["mark"],
            "sender": errand["comes_from"],
            "alphabet": errand["writing"],
            "fields": errand,
        }
    fields = dict(urllib.parse.parse_qsl(body.decode("utf-8"), keep_blank_values=True,
                                         strict_parsing=True))
    return {
        "to": "+" + fields["goes_to"],
        "text": fields["words"],
        "reference": fields["mark"],
        "sender": fields["from"],
        "alphabet": fields["letters"],
        "fields": {k: v for k, v in fields.items() if k != "whose"},
        "secret": fields["whose"],
    }


class Server(http.server.ThreadingHTTPServer):
    daemon_threads = True
    request_queue_size = 128

    def handle_error(self, request, client_address):
        if not isinstance(sys.exc_info()[1], OSError):  # a client that left is no news
            super().handle_error(request, client_address)


class Provider:
    """One provider on a free port; start() and stop() for tests that import this module."""

    def __init__(self, form="json", port=0, record=None, receipts=None, receipt_secret=None,
                 send_secret=None, **settings):
        unknown = set(settings) - set(SETTINGS)
        if unknown:
            raise ValueError("no such setting: " + ", ".join(sorted(unknown)))
        self.form = form
        self.receipts = receipts
        self.receipt_secret = receipt_secret
        self.send_secret = send_secret
        self.settings = dict(SETTINGS, **settings)
        self.lock = threading.Lock()
        self.lines = []
        self.taken = {}  # reference -> number
        self.file = open(record, "a", encoding="utf-8") if record else None
        self.timers = []
        self.server = Server(("127.0.0.1", port), Handler)
        self.server.provider = self
        self.port = self.server.server_address[1]
        self.thread = None

    def start(self):
        self.thread = threading.Thread(target=self.server.serve_forever, args=(0.05,), daemon=True)
        self.thread.start()
        return self

    def stop(self):
        self.server.shutdown()
        self.server.server_close()
        with self.lock:
            timers, self.timers = self.timers, []
        for timer in timers:
            timer.cancel()
        if self.file:
            with self.lock:
                self.file.close()
                self.file = None

    def url(self):
        return "http://127.0.0.1:%d%s" % (self.port, PATHS[self.form])

    def note(self, line):
        line = dict(line, at=time.time())
        with self.lock:
            self.lines.append(line)
            if self.file:
                self.file.write(json.dumps(line, ensure_ascii=False) + "\n")
                self.file.flush()

    def of_kind(self, kind):
        with self.lock:
            return [line for line in self.lines if line["kind"] == kind]

    def sends(self):
        return self.of_kind("send")

    def control(self, changes):
        unknown = set(changes) - set(SETTINGS)
        if unknown or changes.get("mode", "ok") not in MODES:
            raise ValueError("no such setting or mode")
        with self.lock:
            self.settings.update(changes)
            if "mode" in changes and "for" not in changes:
                self.settings["for"] = None

    def state(self):
        sends = self.sends()
        with self.lock:
            counts = {"sends": len(sends), "taken": len(self.taken)}
            return dict(self.settings, **counts)

    def next_settings(self):
        """The settings for one send, counting down "for"."""
        with self.lock:
            settings = dict(self.settings)
            if settings["for"] is not None:
                if settings["for"] <= 0:
                    settings["mode"] = self.settings["mode"] = "ok"
                    self.settings["for"] = None
                else:
                    self.settings["for"] -= 1
            return settings

    def take(self, reference):
        """The number of a reference, and whether it was taken before."""
        with self.lock:
            repeat = reference in self.taken
            if not repeat:
                self.taken[reference] = "n-%d" % (len(self.taken) + 1)
            return self.taken[reference], repeat

    def plan_receipts(self, settings, reference, number):
        if not self.receipts or settings["receipt_withhold"]:
            return
        state = settings["receipt_state"] or DELIVERED[self.form]
        for again in range(settings["receipt_count"]):
            timer = threading.Timer(settings["receipt_delay_s"], self.post_receipt,
                                    (reference, number, state, again))
            timer.daemon = True
            with self.lock:
                self.timers.append(timer)
            timer.start()

    def post_receipt(self, reference, number, state, again=0):
        """Posts one receipt; tried again for a while as long as it is not answered 2xx."""
        if self.form == "json":
            body = json.dumps({"news": {"number": number, "mark": reference, "outcome": state}})
            kind = "application/json"
        else:
            body = urllib.parse.urlencode(
                {"number": number, "outcome": state, "word": self.receipt_secret})
            kind = "application/x-www-form-urlencoded"
        body = body.encode("utf-8")
        url = urllib.parse.urlsplit(self.receipts)
        statuses = []
        for attempt in range(5):
            head = {"Content-Type": kind}
            if self.form == "json":
                # Each try is a delivery of its own and is signed anew.
                name = "r-%s-%d-%d-%d" % (number, again, attempt, time.monotonic_ns())
                head.update(webhook.headers(self.receipt_secret, name, int(time.time()), body))
            connection = http.client.HTTPConnection(url.hostname, url.port, timeout=5)
            try:
                connection.request("POST", url.path, body, head)
                statuses.append(connection.getresponse().status)
            except (OSError, http.client.HTTPException):
                statuses.append(0)
            finally:
                connection.close()
            if 200 <= statuses[-1] <= 299:
                break
            time.sleep(0.2 * (attempt + 1))
        self.note({"kind": "receipt", "reference": reference, "number": number, "state": state,
                   "statuses": statuses})
        return statuses[-1]


class Handler(http.server.BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    disable_nagle_algorithm = True

    def log_message(self, format, *args):
        pass

    def answer(self, status, body=b"", kind="application/json", headers=()):
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(body)))
        for name, value in headers:
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(body)

    def answer_json(self, status, value):
        self.answer(status, json.dumps(value).encode("utf-8"))

    def do_GET(self):
        if self.path == "/control":
            self.answer_json(200, self.server.provider.state())
        else:
            self.answer(404)

    def do_POST(self):
        provider = self.server.provider
        body = self.rfile.read(int(self.headers.get("Content-Length", "0")))
        if self.path == "/control":
            try:
                provider.control(json.loads(body))
                self.answer_json(200, provider.state())
            except (ValueError, AttributeError):
                self.answer_json(400, {"wrong": "no such setting or mode"})
        elif self.path == PATHS[provider.form]:
            self.take_send(provider, body)
        else:
            self.answer(404)

    def taken_answer(self, provider, number, taken=True, why=None):
        if provider.form == "json":
            errand = {"taken": taken}
            if number:
                errand["number"] = number
            if why:
                errand["why_not"] = why
            return json.dumps({"errand": errand}).encode("utf-8"), "application/json"
        fields = {"taken": "yes" if taken else "no"}
        if number:
            fields["number"] = number
        if why:
            fields["because"] = why
        return (urllib.parse.urlencode(fields).encode("ascii"),
                "application/x-www-form-urlencoded")

    def secret_is_right(self, provider, send):
        if provider.send_secret is None:
            return True
        if provider.form == "json":
            return self.headers.get("Authorization") == "Bearer " + provider.send_secret
        return send.get("secret") == provider.send_secret

    def take_send(self, provider, body):
        try:
            send = read_send(provider.form, body)
        except (ValueError, KeyError, TypeError) as wrong:
            provider.note({"kind": "wrong", "why": repr(wrong), "body": body.decode("latin-1")})
            self.answer(400, *self.taken_answer(provider, None, False, "not the form"))
            return
        if not self.secret_is_right(provider, send):
            provider.note({"kind": "wrong", "why": "secret"})
            self.answer(401, *self.taken_answer(provider, None, False, "who are you"))
            return
        send.pop("secret", None)
        settings = provider.next_settings()
        mode = settings["mode"]
        taken = mode not in ("refuse", "fail")
        number, repeat = provider.take(send["reference"]) if taken else (None, False)
        key = self.headers.get("Idempotency-Key")
        provider.note(dict(send, kind="send", mode=mode, taken=taken, repeat=repeat, number=number,
                           key=key))
        if taken and not repeat:
            provider.plan_receipts(settings, send["reference"], number)
        self.answer_send(provider, settings, mode, number)

    def answer_send(self, provider, settings, mode, number):
        if mode == "cut":
            self.close_connection = True
            try:
                self.connection.shutdown(socket.SHUT_RDWR)
            except OSError:
                pass
            return
        if mode == "garbage":
            self.answer(200, b"\x00\xff{{ not what was agreed", "text/plain")
            return
        if mode == "refuse":
            self.answer(settings["status"] or 422,
                        *self.taken_answer(provider, None, False, "will not carry this"))
            return
        if mode == "fail":
            after = settings["retry_after"]
            self.answer(settings["status"] or 503,
                        *self.taken_answer(provider, None, False, "not now"),
                        headers=[("Retry-After", str(after))] if after is not None else [])
            return
        if mode == "slow":
            time.sleep(settings["slow_s"])
        try:
            self.answer(200, *self.taken_answer(provider, number))
        except OSError:
            self.close_connection = True  # it did not wait for the answer


def main():
    parser = argparse.ArgumentParser(description="the loopback provider of the tests")
    parser.add_argument("--form", choices=("json", "form"), default="json")
    parser.add_argument("--port", type=int, default=0)
    parser.add_argument("--record", help="file that gets a JSON line for each send and receipt")
    parser.add_argument("--mode", choices=MODES, default="ok")
    parser.add_argument("--for", dest="for_", type=int, help="sends that the mode holds for")
    parser.add_argument("--slow", type=float, default=1.0, help="seconds")
    parser.add_argument("--status", type=int)
    parser.add_argument("--retry-after")
    parser.add_argument("--receipts", help="the daemon's /receipt/LINK")
    parser.add_argument("--secret-file", help="secret of the receipts' guard")
    parser.add_argument("--send-secret-file", help="secret that sends must bring")
    parser.add_argument("--receipt-count", type=int, default=1)
    parser.add_argument("--receipt-delay", type=float, default=0.0, help="seconds")
    parser.add_argument("--receipt-withhold", action="store_true")
    parser.add_argument("--receipt-state")
    parser.add_argument("--seconds", type=float, default=900.0, help="ends by itself after these")
    a = parser.parse_args()
    if a.receipts and not a.secret_file:
        parser.error("--receipts needs --secret-file")
    settings = {
        "mode": a.mode, "for": a.for_, "slow_s": a.slow, "status": a.status,
        "retry_after": a.retry_after, "receipt_count": a.receipt_count,
        "receipt_delay_s": a.receipt_delay, "receipt_withhold": a.receipt_withhold,
        "receipt_state": a.receipt_state,
    }
    provider = Provider(
        form=a.form, port=a.port, record=a.record, receipts=a.receipts,
        receipt_secret=webhook.read_secret(a.secret_file) if a.secret_file else None,
        send_secret=webhook.read_secret(a.send_secret_file) if a.send_secret_file else None,
        **settings)
    ended = threading.Event()
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, lambda *_: ended.set())
    provider.start()
    print("port %d" % provider.port, flush=True)
    ended.wait(a.seconds)
    provider.stop()
    return 0


if __name__ == "__main__":
    sys.exit(main())
