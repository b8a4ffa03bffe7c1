#!/usr/bin/env python3
"""The load source: posts texts to the daemon as a provider would, in the forms of
deploy/profiles/json.conf (signed) or form.conf (a secret in a header).

    source.py --url http://127.0.0.1:PORT/in/json --secret-file FILE \\
              --from +447700900123 --text "inject f3 1.2kg"

One text: prints "status N" and, where there is one, the answer's Retry-After; exits 0 if it was
answered 200, else 1. With --count N it posts N texts over --connections M kept connections and
prints one JSON object: counts by status, rate, latencies in milliseconds. "{n}" in the text
becomes the text's number.

As a module: post_message(...) posts one text, load(...) many.
"""

import argparse
import collections
import http.client
import json
import secrets
import socket
import sys
import threading
import time
import urllib.parse

import webhook

RECEIVER = "+447700900000"
Answer = collections.namedtuple("Answer", "status headers body")


def body_of(form, sender, text, number, receiver=RECEIVER, sent_s=None, by_machine=None):
    """The body and its Content-Type. number: the provider's id of the message."""
    if form == "json":
        note = {"written_by": sender, "written_to": receiver, "words": text}
        if number is not None:
            note["number"] = number
        if sent_s is not None:
            note["written_at"] = time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(sent_s))
        if by_machine is not None:
            note["by_machine"] = by_machine
        return json.dumps({"note": note}).encode("utf-8"), "application/json"
    fields = {"written_by": sender, "written_to": receiver, "words": text}
    if number is not None:
        fields["number"] = number
    if sent_s is not None:
        fields["written_at"] = "%d" % sent_s
    return (urllib.parse.urlencode(fields).encode("ascii"),
            "application/x-www-form-urlencoded")


def headers_of(form, secret, body, kind, webhook_id=None, at_s=None, spoil=None):
    """spoil: None, "signature" (one octet of it changed), "missing" (none sent), "body" (signed
    over another body), "secret" (another secret)."""
    headers = {"Content-Type": kind}
    if form == "form":
        word = secret + "x" if spoil else secret
        if spoil != "missing":
            headers["Carrier-Word"] = word
        return headers
    webhook_id = webhook_id or "w-" + secrets.token_hex(12)
    at_s = int(time.time()) if at_s is None else at_s
    if spoil == "secret":
        secret = "whsec_" + "A" * 43 + "="
    signed = webhook.headers(secret, webhook_id, at_s, body + b" " if spoil == "body" else body)
    if spoil == "signature":
        value = signed["webhook-signature"]
        signed["webhook-signature"] = value[:5] + ("A" if value[5] != "A" else "B") + value[6:]
    if spoil != "missing":
        headers.update(signed)
    return headers


def post(url, body, headers, timeout_s=10.0):
    """Posts bytes; status 0 when there was no whole answer."""
    parts = urllib.parse.urlsplit(url)
    connection = http.client.HTTPConnection(parts.hostname, parts.port, timeout=timeout_s)
    try:
        connection.request("POST", parts.path, body, headers)
        answer = connection.getresponse()
        return Answer(answer.status, dict((k.lower(), v) for k, v in answer.getheaders()),
                      answer.read())
    except (OSError, http.client.HTTPException):
        return Answer(0, {}, b"")
    finally:
        connection.close()


def post_message(url, secret, sender, text, form="json", number=None, receiver=RECEIVER,
                 sent_s=None, by_machine=None, webhook_id=None, at_s=None, spoil=None,
                 timeout_s=10.0):
    """Posts one text. number: None makes a new id; "" sends none."""
    if number is None:
        number = "m-" + secrets.token_hex(12)
    if sent_s is None:
        sent_s = int(time.time())
    body, kind = body_of(form, sender, text, number or None, receiver, sent_s, by_machine)
    return post(url, body, headers_of(form, secret, body, kind, webhook_id, at_s, spoil), timeout_s)


# -- many ------------------------------------------------------------------------------------------

def request_bytes(url, body, headers):
    parts = urllib.parse.urlsplit(url)
    lines = ["POST %s HTTP/1.1" % parts.path, "Host: %s" % parts.netloc]
    lines += ["%s: %s" % pair for pair in headers.items()]
    lines += ["Content-Length: %d" % len(body), "", ""]
    return "\r\n".join(lines).encode("ascii") + body


class Line:
    """One kept connection that reads as little of an answer as must be."""

    def __init__(self, url, timeout_s):
        parts = urllib.parse.urlsplit(url)
        self.address = (parts.hostname, parts.port)
        self.timeout_s = timeout_s
        self.socket = None
        self.rest = b""

    def close(self):
        if self.socket:
            self.socket.close()
        self.socket, self.rest = None, b""

    def ask(self, request):
        """The answer's status; 0 when the connection failed."""
        try:
            if not self.socket:
                self.socket = socket.create_connection(self.address, self.timeout_s)
                self.socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            self.socket.sendall(request)
            return self.read()
        except OSError:
            self.close()
            return 0

    def read(self):
        data = self.rest
        while b"\r\n\r\n" not in data:
            more = self.socket.recv(65536)
            if not more:
                raise OSError("closed")
            data += more
        head, _, data = data.partition(b"\r\n\r\n")
        fields = head.lower()
        length = 0
        if b"\r\ncontent-length:" in fields:
            length = int(fields.split(b"\r\ncontent-length:")[1].split(b"\r\n")[0])
        while len(data) < length:
            more = self.socket.recv(65536)
            if not more:
                raise OSError("closed")
            data += more
        self.rest = data[length:]
        if b"\r\nconnection: close" in fields:
            self.close()
        return int(head.split(b" ", 2)[1])


def percentile(ordered, share):
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))] if ordered else None


def load(url, secret, senders, text, count, connections, form="json", receiver=RECEIVER,
         timeout_s=30.0, tries=1, on_answer=None):
    """Posts `count` texts over `connections` kept connections, sender and text by number n. A text
    not answered 200 is posted again, the same bytes newly signed, up to `tries` times. Returns
    counts by last status, the rate and latencies. on_answer(n, number, status) is called for each
    (from several threads)."""
    lock = threading.Lock()
    state = {"next": 0}
    statuses = collections.Counter()
    latencies = []

    def work():
        line = Line(url, timeout_s)
        mine, my_latencies = collections.Counter(), []
        while True:
            with lock:
                n = state["next"]
                state["next"] += 1
            if n >= count:
                break
            number = "l-%d-%s" % (n, secrets.token_hex(8))
            body, kind = body_of(form, senders[n % len(senders)], text.replace("{n}", str(n)),
                                 number, receiver, int(time.time()))
            status = 0
            for _ in range(tries):
                request = request_bytes(url, body, headers_of(form, secret, body, kind))
                began = time.perf_counter()
                status = line.ask(request)
                my_latencies.append((time.perf_counter() - began) * 1000)
                if status == 200:
                    break
            mine[status] += 1
            if on_answer:
                on_answer(n, number, status)
        line.close()
        with lock:
            statuses.update(mine)
            latencies.extend(my_latencies)

    began = time.perf_counter()
    threads = [threading.Thread(target=work) for _ in range(connections)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    took_s = time.perf_counter() - began
    latencies.sort()
    return {
        "count": count,
        "connections": connections,
        "statuses": {str(status): n for status, n in sorted(statuses.items())},
        "seconds": round(took_s, 3),
        "rate_per_s": round(count / took_s, 1),
        "latency_ms": {
            "p50": round(percentile(latencies, 0.5), 3),
            "p90": round(percentile(latencies, 0.9), 3),
            "p99": round(percentile(latencies, 0.99), 3),
            "most": round(latencies[-1], 3),
        },
    }


def main():
    parser = argparse.ArgumentParser(description="posts texts to the daemon")
    parser.add_argument("--url", required=True)
    parser.add_argument("--secret-file", required=True)
    parser.add_argument("--form", choices=("json", "form"), default="json")
    parser.add_argument("--from", dest="sender", action="append", required=True,
                        help="may be given several times: they take turns")
    parser.add_argument("--to", default=RECEIVER)
    parser.add_argument("--text", required=True)
    parser.add_argument("--number", help="the message's id; empty: none is sent")
    parser.add_argument("--sent", type=int, help="the network's send time, UTC seconds")
    parser.add_argument("--by-machine", action="store_true", default=None)
    parser.add_argument("--webhook-id", help="to use one again")
    parser.add_argument("--time-off", type=int, default=0,
                        help="seconds added to the signed timestamp")
    parser.add_argument("--spoil", choices=("signature", "missing", "body", "secret"))
    parser.add_argument("--count", type=int, default=1)
    parser.add_argument("--connections", type=int, default=1)
    parser.add_argument("--tries", type=int, default=1)
    parser.add_argument("--timeout", type=float, default=10.0, help="seconds")
    a = parser.parse_args()
    secret = webhook.read_secret(a.secret_file)
    if a.count > 1:
        result = load(a.url, secret, a.sender, a.text, a.count, a.connections, a.form, a.to,
                      a.timeout, a.tries)
        print(json.dumps(result), flush=True)
        return 0 if result["statuses"] == {"200": a.count} else 1
    answer = post_message(a.url, secret, a.sender[0], a.text, a.form, a.number, a.to, a.sent,
                          a.by_machine, a.webhook_id, int(time.time()) + a.time_off, a.spoil,
                          a.timeout)
    print("status %d" % answer.status, flush=True)
    if "retry-after" in answer.headers:
        print("retry-after %s" % answer.headers["retry-after"], flush=True)
    return 0 if answer.status == 200 else 1


if __name__ == "__main__":
    sys.exit(main())
