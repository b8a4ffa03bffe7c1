"""A provider in trouble, and a daemon that ends: every try of a text has the same reference, a
phone has one text in flight, receipts may come as they like, and a restart loses and doubles
nothing."""

import collections
import json
import time
import unittest

import harness
from harness import DELIVERED, DONE, FAILED, NEVER, OTHER, OWNER, WAITING, WORKER, until


class Provider(harness.DaemonCase):
    def taken_once(self, tries):
        """The owner's one answer in the end, and every try with one reference."""
        farm = self.farm
        answer = farm.answer(OWNER, seconds=40)
        until(lambda: farm.rows("SELECT state, reference FROM dispatch") ==
              [(DONE, answer["reference"])], lambda: "its end: %r, tries %r, log\n%s" % (
                  farm.rows("SELECT state, reference FROM dispatch"), farm.sends(OWNER),
                  farm.daemon.log()), 40)
        rows = farm.sends(OWNER)
        self.assertEqual({row["reference"] for row in rows}, {answer["reference"]})
        self.assertEqual({row["text"] for row in rows}, {answer["text"]})
        self.assertEqual({row["key"] for row in rows}, {'"%s"' % answer["reference"]})
        self.assertGreaterEqual(len(rows), tries)
        return rows

    def receipts(self, withhold):
        self.farm.json.control({"receipt_withhold": withhold})

    def test_slow(self):
        self.farm.json.control({"mode": "slow", "slow_s": 1.0})
        self.assertStatus(self.farm.post(OWNER, "today"), 200)
        self.assertEqual(len(self.taken_once(1)), 1, "slow is not failed")

    def test_not_now(self):
        self.receipts(True)
        self.farm.json.control({"mode": "fail", "status": 503, "retry_after": 2, "for": 2})
        self.assertStatus(self.farm.post(OWNER, "today"), 200)
        rows = self.taken_once(3)
        self.assertEqual([row["taken"] for row in rows], [False, False, True])
        for before, after in zip(rows, rows[1:]):
            # Whole seconds: asked in the middle of one, 2 seconds on may be 1 and a little.
            self.assertGreater(after["at"] - before["at"], 1.0, "Retry-After is honoured")

    def test_refused_for_good(self):
        farm = self.farm
        farm.json.control({"mode": "refuse", "for": 1})
        self.assertStatus(farm.post(OWNER, "today"), 200)
        until(lambda: farm.one("SELECT state FROM dispatch") == NEVER, "the end of a text refused")
        # What comes later finds the provider well; the refused one is not tried again.
        self.assertStatus(farm.post(OWNER, "today"), 200)
        farm.answer(OWNER)
        self.assertEqual(len({row["reference"] for row in farm.sends(OWNER)}), 2)
        self.assertEqual(len(farm.sends(OWNER)), 2)

    def test_cut_after_reading(self):
        self.receipts(True)
        self.farm.json.control({"mode": "cut", "for": 1})
        self.assertStatus(self.farm.post(OWNER, "today"), 200)
        rows = self.taken_once(2)
        self.assertEqual([row["repeat"] for row in rows], [False, True])

    def test_garbage(self):
        self.receipts(True)
        self.farm.json.control({"mode": "garbage", "for": 1})
        self.assertStatus(self.farm.post(OWNER, "today"), 200)
        rows = self.taken_once(2)
        self.assertEqual(rows[1]["number"], rows[0]["number"])

    def test_a_receipt_is_faster_than_the_try(self):
        farm = self.farm
        # Taken, no answer, but its receipt comes: nothing more is sent.
        farm.json.control({"mode": "cut", "for": 1})
        self.assertStatus(farm.post(OWNER, "today"), 200)
        until(lambda: farm.one("SELECT receipt FROM dispatch") == DELIVERED, "the receipt")
        self.assertEqual(farm.one("SELECT state FROM dispatch"), DONE)
        self.assertStatus(farm.post(OWNER, "today"), 200)
        farm.answer(OWNER, 2)
        counts = collections.Counter(row["reference"] for row in farm.sends(OWNER))
        self.assertEqual(len(counts), 2)

    def test_one_in_flight_for_each_phone(self):
        farm = self.farm
        slow_s = 0.4
        # Without receipts: one that is faster than the answer ends the text and frees the phone.
        farm.json.control({"mode": "slow", "slow_s": slow_s, "receipt_withhold": True})
        for n in range(3):
            for phone in (OWNER, WORKER):
                self.assertStatus(farm.post(phone, "today", number="%s-%d" % (phone, n)), 200)
        began = {}
        for phone in (OWNER, WORKER):
            farm.answer(phone, 3)
            began[phone] = [row["at"] for row in farm.sends(phone)]
            for before, after in zip(began[phone], began[phone][1:]):
                self.assertGreater(after - before, slow_s * 0.95, "two in flight for one phone")
        self.assertLess(began[WORKER][0] - began[OWNER][0], slow_s * 2,
                        "phones do not wait for each other")

    def test_receipts_as_they_like(self):
        farm = self.farm
        self.receipts(True)
        self.assertStatus(farm.post(OWNER, "today"), 200)
        answer = farm.answer(OWNER)
        until(lambda: farm.one("SELECT state FROM dispatch") == DONE, "taken")

        def receipt(state, mark=answer["reference"], number=answer["number"]):
            body = json.dumps({"news": {"number": number, "mark": mark,
                                        "outcome": state}}).encode()
            self.assertStatus(farm.post_bytes(body, path="/receipt/json"), 200, state)
            return farm.one("SELECT receipt FROM dispatch")

        # Only upwards: pending, failed, delivered (3GPP TS 23.040, 9.2.3.15 names the states).
        steps = (("on its way", 2), ("given up", FAILED), ("given up", FAILED),
                 ("on its way", FAILED), ("handed over", DELIVERED), ("given up", DELIVERED),
                 ("on its way", DELIVERED), ("handed over", DELIVERED), ("unheard of", DELIVERED))
        for state, wanted in steps:
            self.assertEqual(receipt(state), wanted, state)
        # Nobody knows these: 200 all the same, and counted.
        self.assertEqual(receipt("handed over", "f" * 32, "n-999"), DELIVERED)
        self.assertEqual(farm.counter("receipt_unknown"), 1)
        # By one of the two names alone.
        self.assertEqual(receipt("handed over", answer["reference"], ""), DELIVERED)
        self.assertEqual(receipt("handed over", "", answer["number"]), DELIVERED)
        self.assertEqual(farm.counter("receipt_unknown"), 1)
        self.assertEqual(self.waiting_or_sent(OWNER), 1)

    def test_the_same_receipt_five_times(self):
        farm = self.farm
        farm.json.control({"receipt_count": 5})
        self.assertStatus(farm.post(OWNER, "today"), 200)
        farm.answer(OWNER)
        until(lambda: len(farm.json.of_kind("receipt")) == 5, "five receipts")
        self.assertEqual([row["statuses"][-1] for row in farm.json.of_kind("receipt")], [200] * 5)
        self.assertEqual(farm.one("SELECT receipt FROM dispatch"), DELIVERED)


class Restart(harness.DaemonCase):
    def test_the_answer_outlives_the_daemon(self):
        farm = self.farm
        ports = farm.json.port, farm.form.port
        farm.stop_providers()
        self.assertStatus(farm.post(OWNER, "inject f3 1.2kg t24"), 200)
        self.assertStatus(farm.post(WORKER, "today", "form"), 200)
        until(lambda: farm.one("SELECT count(*) FROM dispatch WHERE tries > 0") == 2,
              "a first try at a provider that is not there")
        references = set(farm.rows("SELECT reference FROM dispatch"))
        self.assertEqual(farm.daemon.stop(), 0)
        self.assertEqual({state for state, in farm.rows("SELECT state FROM dispatch")}, {WAITING})
        farm.start_providers(*ports)
        farm.start()
        self.assertIn("F3 1.2kg injected", farm.answer(OWNER, seconds=40)["text"])
        self.assertEqual(farm.answer(WORKER, seconds=40)["by"], "form")
        until(lambda: farm.rows("SELECT DISTINCT state FROM dispatch") == [(DONE,)], "both ends")
        self.assertEqual({(row["reference"],) for row in farm.sends()}, references)
        self.assertEqual(len(farm.sends(taken=True)), 2, "once each")

    def test_killed_while_a_text_is_under_way(self):
        farm = self.farm
        farm.json.control({"mode": "slow", "slow_s": 5.0, "receipt_withhold": True})
        self.assertStatus(farm.post(OWNER, "today"), 200)
        farm.answer(OWNER)  # the provider has it, the daemon does not know
        farm.daemon.kill()
        farm.json.control({"mode": "ok"})
        farm.start()
        until(lambda: farm.one("SELECT state FROM dispatch") == DONE, "its end")
        rows = farm.sends(OWNER)
        self.assertEqual([row["repeat"] for row in rows], [False, True])
        self.assertEqual(len({row["reference"] for row in rows}), 1)

    def test_a_term_finishes_what_is_under_way(self):
        farm = self.farm
        farm.json.control({"mode": "slow", "slow_s": 1.0, "receipt_withhold": True})
        self.assertStatus(farm.post(OWNER, "today"), 200)
        farm.answer(OWNER)
        self.assertEqual(farm.daemon.stop(), 0)
        self.assertEqual(farm.rows("SELECT state, tries FROM dispatch"), [(DONE, 1)])
        farm.start()
        self.assertEqual(len(farm.sends(OWNER)), 1)

    def test_an_idle_daemon_ends_at_once(self):
        self.assertEqual(self.farm.get("/health").status, 200)
        began_s = time.monotonic()
        self.assertEqual(self.farm.daemon.stop(), 0)
        self.assertLess(time.monotonic() - began_s, 3)


if __name__ == "__main__":
    unittest.main()
