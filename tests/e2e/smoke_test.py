"""The shortest whole way: a signed text over HTTP, its answer at the provider, the receipt home,
health and metrics, a clean end."""

import unittest

import harness
from harness import DELIVERED, OWNER, until


class Smoke(harness.DaemonCase):
    def test_one_text(self):
        farm = self.farm
        self.assertStatus(farm.post(OWNER, "inject f3 1.2kg t24"), 200)
        answer = farm.answer(OWNER)
        self.assertIn("F3 1.2kg injected", answer["text"])
        until(lambda: farm.one("SELECT receipt FROM dispatch") == DELIVERED, "the receipt")
        self.assertEqual(farm.get("/health").status, 200)
        self.assertEqual(farm.get("/metrics").status, 200)
        self.assertEqual(farm.daemon.stop(), 0)


if __name__ == "__main__":
    unittest.main()
