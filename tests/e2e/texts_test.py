"""Texts and their answers over the real daemon: the evening, the way back by the link a text came
by, deliveries that come twice, texts that nobody can read, strangers, machines and echoes."""

import re
import time
import unittest

import harness
from harness import (ASIDE, DELIVERED, HOST, IGNORED, LIMITED, OTHER, OWNER, READ, STRANGE, STRANGER,
                     WORKER, note, one_part, until)

INJECT = "inject f3 1.2kg t24"


def clock(at_s):
    return time.strftime("%H:%M", time.gmtime(at_s))


class Evening(harness.DaemonCase):
    def test_a_receipt_faster_than_the_answer(self):
        """By the form's way a receipt names the text by a number that only the answer tells."""
        farm = self.farm
        farm.form.control({"mode": "slow", "slow_s": 0.5})
        self.assertStatus(farm.post(WORKER, "today", "form"), 200)
        until(lambda: farm.one("SELECT receipt FROM dispatch WHERE phone = ?", WORKER) == DELIVERED,
              "the receipt that came half a second before its text was known to be taken")

    def test_the_evening(self):
        farm = self.farm
        began_s = time.time()
        self.assertStatus(farm.post(OWNER, INJECT), 200)
        answer = farm.answer(OWNER)
        self.assertLess(time.time() - began_s, 5, "an answer within 5 seconds")
        text = answer["text"]
        self.assertTrue(text.startswith("New: F3 1.2kg injected "), text)
        self.assertTrue(one_part(text), text)
        # 12 h from needle to first look at 24 C: FAO Fisheries Technical Paper 362, from memory of
        # it; hours are shown on five minutes, so one step to each side.
        looks = {clock(began_s + 12 * 3600 + step * 300 - (began_s % 300)) for step in (-1, 0, 1, 2)}
        look = re.search(r"First look (?:\w+ )?(\d\d:\d\d)", text)
        self.assertIn(look and look.group(1), looks, text)
        self.assertEqual((answer["by"], answer["sender"], answer["alphabet"]),
                         ("json", HOST, "short"))
        self.assertRegex(answer["reference"], r"^[0-9a-f]{32}$")
        self.assertEqual(answer["key"], '"%s"' % answer["reference"])
        # The receipt comes home and is counted for this text.
        until(lambda: farm.rows("SELECT state, receipt, provider_id FROM dispatch") ==
              [(harness.DONE, DELIVERED, answer["number"])],
              lambda: "the receipt: %r" % farm.rows("SELECT state, receipt FROM dispatch"))

        # The other phone of the farm, through the other provider: a header secret, no signature.
        self.assertStatus(farm.post(WORKER, "today", "form"), 200)
        there = farm.answer(WORKER)
        self.assertEqual(there["by"], "form")
        self.assertTrue(there["text"].startswith("F3 look "), there["text"])
        self.assertTrue(one_part(there["text"]))
        until(lambda: farm.one("SELECT receipt FROM dispatch WHERE phone = ?", WORKER) == DELIVERED,
              "the receipt in the form's way, by the provider's number")
        # Both in one ledger, each by its own person.
        self.assertStatus(farm.post(WORKER, "temp f3 24", "form"), 200)
        self.assertTrue(farm.answer(WORKER, 2)["text"].startswith("F3 tank 24C"))
        people = farm.rows("SELECT DISTINCT p.phone FROM ledger l JOIN person p ON p.id = l.person"
                           " ORDER BY l.seq")
        self.assertEqual({phone for phone, in people}, {OWNER, WORKER})

    def test_back_by_the_link_it_came_by(self):
        farm = self.farm
        for count, form in enumerate(("form", "json", "form"), 1):
            self.assertStatus(farm.post(OTHER, "today", form), 200)
            self.assertEqual(farm.answer(OTHER, count)["by"], form)

    def test_stop_is_kept(self):
        farm = self.farm
        self.assertStatus(farm.post(WORKER, "STOP"), 200)
        self.assertIn("START", farm.answer(WORKER)["text"])
        # The owner is told, with the whole number: it is his worker's.
        self.assertIn(WORKER, farm.answer(OWNER)["text"])
        self.assertEqual(farm.one("SELECT stopped FROM person WHERE phone = ?", WORKER), 1)


class Twice(harness.DaemonCase):
    def test_the_same_id_again(self):
        farm = self.farm
        for _ in range(3):  # each newly signed, with an id of its own
            self.assertStatus(farm.post(OWNER, INJECT, number="n1"), 200)
        farm.answer(OWNER)
        self.assertEqual((self.arrivals(), self.waiting_or_sent(OWNER)), (1, 1))
        self.assertEqual(farm.rows("SELECT DISTINCT body FROM arrival"), [(INJECT,)])
        ledger = self.ledger()
        self.assertStatus(farm.post(OWNER, INJECT, number="n1"), 200)
        self.assertEqual((self.ledger(), self.waiting_or_sent(OWNER)), (ledger, 1))
        # By the other link the same id is another message: today reads what the first one did.
        self.assertStatus(farm.post(OWNER, "today", "form", number="n1"), 200)
        self.assertEqual(farm.answer(OWNER, 2)["by"], "form")

    def test_an_id_begun_anew(self):
        farm = self.farm
        self.assertStatus(farm.post(OWNER, INJECT, number="n1"), 200)
        farm.answer(OWNER)
        # A provider counts from the beginning again: another text, or another phone's, is no repeat.
        self.assertStatus(farm.post(OWNER, "inject f9 1.4kg t24", number="n1"), 200)
        self.assertIn("F9", farm.answer(OWNER, 2)["text"])
        self.assertStatus(farm.post(WORKER, "inject f9 1.4kg t24", number="n1"), 200)
        self.assertIn("F9", farm.answer(WORKER)["text"])
        self.assertEqual(self.arrivals(), 3)
        # Under a signature's id that was used it is not believed.
        self.assertStatus(farm.post(OWNER, "today", number="n2", webhook_id="w2"), 200)
        self.assertStatus(farm.post(OWNER, "today f9", number="n2", webhook_id="w2"), 401)
        self.assertEqual(self.arrivals(), 4)

    def test_a_signature_used_again(self):
        farm = self.farm
        self.assertStatus(farm.post(OWNER, "today", number="n1", webhook_id="w1"), 200)
        # Exactly the same delivery again stands already.
        self.assertStatus(farm.post(OWNER, "today", number="n1", webhook_id="w1"), 200)
        self.assertStatus(farm.post(OWNER, "today", number="n2", webhook_id="w1"), 401)
        self.assertEqual((self.arrivals(), self.waiting_or_sent(OWNER)), (1, 1))
        # Seen ids are rows: a restart opens no door.
        self.assertEqual(farm.daemon.stop(), 0)
        farm.start()
        self.assertStatus(farm.post(OWNER, "today", number="n2", webhook_id="w1"), 401)
        self.assertStatus(farm.post(OWNER, "today", number="n2", webhook_id="w2"), 200)
        self.assertEqual(self.arrivals(), 2)

    def test_without_an_id(self):
        farm = self.farm
        now_s = int(time.time())
        for _ in range(2):
            self.assertStatus(farm.post(OWNER, "today", number="", sent_s=now_s - 60), 200)
        self.assertEqual((self.arrivals(), self.waiting_or_sent(OWNER)), (1, 1))
        # The same words sent at another time are a new message, and so are those of another phone.
        self.assertStatus(farm.post(OWNER, "today", number="", sent_s=now_s - 59), 200)
        self.assertStatus(farm.post(WORKER, "today", number="", sent_s=now_s - 60), 200)
        self.assertEqual(self.arrivals(), 3)
        self.assertEqual((self.waiting_or_sent(OWNER), self.waiting_or_sent(WORKER)), (2, 1))
        # With neither id nor time nobody could tell the two apart.
        self.assertStatus(farm.post_bytes(note(OWNER, "today")), 400)


class Unreadable(harness.DaemonCase):
    def test_bad_texts(self):
        farm = self.farm
        self.assertStatus(farm.post(OWNER, INJECT), 200)
        farm.answer(OWNER)
        ledger = self.ledger()
        texts = (
            "",
            "   \r\n\t ",
            "\x01\x02\x7f\x1b[2J\x08",
            "x" * 2000,
            "inject f3 " * 200,
            "\U0001f41f\U0001f41f\U0001f525",
            "‮​﻿",
            "%s%n%p {tag} \\x00 ' OR 1=1 --",
            "é" * 700,
            "-" * 160,
            "9" * 160,
        )
        for n, text in enumerate(texts):
            with self.subTest(text=text[:20]):
                before = self.waiting_or_sent(WORKER)
                self.assertStatus(farm.post(WORKER, text, number="bad-%d" % n), 200)
                said = self.waiting_or_sent(WORKER) - before
                self.assertIn(said, (0, 1), "one answer at most")
                self.assertEqual(self.ledger(), ledger, "nothing recorded")
                self.assertEqual(
                    farm.one("SELECT fate FROM arrival ORDER BY id DESC LIMIT 1") in (READ, ASIDE),
                    True)
        self.assertEqual(farm.one("SELECT count(*) FROM arrival WHERE fate = ?", ASIDE), 0,
                         "read, not set aside:\n" + farm.daemon.log())
        wanted = self.waiting_or_sent(WORKER)
        self.assertGreater(wanted, 0)
        farm.answer(WORKER, wanted)
        for row in farm.sends(WORKER):
            self.assertTrue(one_part(row["text"].encode("ascii", "replace").decode()), row["text"])
        # The farm lives on.
        self.assertStatus(farm.post(WORKER, "temp f3 24"), 200)
        self.assertEqual(self.ledger(), ledger + 1)

    def test_nul(self):
        # What is no character does not lose the text around it.
        body = note(OWNER, "today", "n1").replace(b"today", b"\\ud83dtoday\\u0000")
        self.assertStatus(self.farm.post_bytes(body), 200)
        self.farm.answer(OWNER)
        self.assertStatus(self.farm.post_bytes(note(OWNER, "today", "n2").replace(b"tod", b"t\0d")),
                          400)
        self.assertLessEqual(self.waiting_or_sent(OWNER), 1)
        self.assertEqual(self.ledger(), 0)


class Strangers(harness.DaemonCase):
    def answers(self, sender, text="hello", **more):
        before = self.farm.one("SELECT count(*) FROM dispatch")
        self.assertStatus(self.farm.post(sender, text, **more), 200)
        return self.farm.one("SELECT count(*) FROM dispatch") - before

    def test_one_polite_answer_a_day(self):
        farm = self.farm
        # Not over midnight UTC, where the stranger's day ends.
        until(lambda: time.time() % 86400 < 86400 - 20, "a day with time left", 30)
        self.assertEqual([self.answers(STRANGER) for _ in range(3)], [1, 0, 0])
        answer = farm.answer(STRANGER)
        self.assertTrue(one_part(answer["text"]), answer["text"])
        self.assertNotIn("Riverside", answer["text"], "a stranger learns no farm's name")
        self.assertEqual(farm.rows("SELECT texts FROM stranger WHERE phone = ?", STRANGER), [(3,)])
        self.assertEqual(farm.counter("strangers"), 3)
        self.assertEqual(farm.rows("SELECT DISTINCT fate, farm FROM arrival"), [(STRANGE, None)])
        self.assertEqual(self.ledger(), 0)
        # Another one's day is his own.
        self.assertEqual(self.answers("+447700900502"), 1)

    def test_words_and_short_codes_are_not_answered(self):
        for sender in ("RIVERSIDE", "12345", "POND 1", "999", "aÉÉÉÉÉÉÉÉÉ", "+", "a\nb=c"):
            self.assertEqual(self.answers(sender), 0, sender)
        self.assertEqual(self.farm.rows("SELECT DISTINCT fate FROM arrival"), [(IGNORED,)])

    def test_machines_and_ourselves_are_not_answered(self):
        self.assertEqual(self.answers(OWNER, "today", by_machine=True), 0)
        self.assertEqual(self.answers(HOST, "today"), 0)
        self.assertEqual(self.farm.rows("SELECT DISTINCT fate FROM arrival"), [(IGNORED,)])

    def test_an_echo_is_not_answered(self):
        farm = self.farm
        self.assertEqual(self.answers(OWNER, "today"), 1)
        said = farm.answer(OWNER)["text"]
        self.assertEqual(self.answers(OWNER, said), 0)
        self.assertEqual(farm.one("SELECT fate FROM arrival ORDER BY id DESC LIMIT 1"), IGNORED)
        # From a phone that never got it, it is a text.
        self.assertEqual(self.answers(WORKER, said), 1)


class ForeignStrangers(harness.DaemonCase):
    settings = {"countries": "KE"}

    def test_no_answer_outside_the_countries(self):
        farm = self.farm
        self.assertStatus(farm.post(STRANGER, "hello"), 200)
        self.assertEqual(self.waiting_or_sent(STRANGER), 0)
        self.assertEqual(farm.counter("strangers"), 1)
        # Who is in a farm was put there by the host.
        self.assertStatus(farm.post(OWNER, "today"), 200)
        farm.answer(OWNER)


class Floods(harness.DaemonCase):
    settings = {"texts_per_hour": 3}

    def test_more_than_an_hour_s_texts(self):
        farm = self.farm
        for n in range(6):
            self.assertStatus(farm.post(OWNER, "today", number="n%d" % n), 200)
        self.assertEqual(farm.rows("SELECT fate, count(*) FROM arrival GROUP BY fate ORDER BY fate"),
                         [(READ, 3), (LIMITED, 3)])
        # The first that was too much is answered with when to text again, the others are not.
        self.assertEqual(self.waiting_or_sent(OWNER), 4)
        self.assertIn("not recorded", farm.answer(OWNER, 4)["text"])
        self.assertEqual(farm.counter("limited"), 3)
        # The limit is the phone's own; what came twice is not counted.
        for _ in range(5):
            self.assertStatus(farm.post(WORKER, "today", number="w"), 200)
        self.assertStatus(farm.post(WORKER, "today", number="w2"), 200)
        self.assertEqual(self.waiting_or_sent(WORKER), 2)


if __name__ == "__main__":
    unittest.main()
