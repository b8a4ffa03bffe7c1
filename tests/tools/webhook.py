"""Signing as Standard Webhooks 1.0.0 says, for the test tools: headers webhook-id,
webhook-timestamp and webhook-signature; the signature is "v1," and base64 of HMAC-SHA-256 over
id "." timestamp "." body, with the key that "whsec_" + base64 holds.

Written apart from the daemon's own code on purpose: each is the other's check.
"""

import base64
import hashlib
import hmac

PREFIX = "whsec_"


def key_of(secret):
    """The key bytes of a secret as it is written in a secret file."""
    secret = secret.strip()
    if not secret.startswith(PREFIX):
        raise ValueError("a signing secret begins with " + PREFIX)
    key = base64.b64decode(secret[len(PREFIX):], validate=True)
    if not 24 <= len(key) <= 64:
        raise ValueError("a signing key has 24 to 64 bytes, this one %d" % len(key))
    return key


def signature(secret, message_id, at_s, body):
    signed = ("%s.%d." % (message_id, at_s)).encode("ascii") + body
    digest = hmac.new(key_of(secret), signed, hashlib.sha256).digest()
    return "v1," + base64.b64encode(digest).decode("ascii")


def headers(secret, message_id, at_s, body):
    return {
        "webhook-id": message_id,
        "webhook-timestamp": "%d" % at_s,
        "webhook-signature": signature(secret, message_id, at_s, body),
    }


def read_secret(path):
    with open(path, encoding="ascii") as file:
        return file.read().strip()
