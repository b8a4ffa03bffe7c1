"""People by text over the real daemon: a phone is invited, joins, is taken off and stays off at the
next start; what is kept of a code is its HMAC-SHA-256 by the store's key, worked out here anew."""

import hashlib
import hmac
import re
import unittest

import harness
from harness import OTHER, OWNER, STRANGER, WORKER, farm_text

CODE = re.compile(r"\b(?:CODE|JOIN) (\d{6})\b")
ADD, REMOVE, JOIN = 1, 2, 3
ROLE_WORKER = 2


class People(harness.DaemonCase):
    settings = {"farms": farm_text("Riverside", ((OWNER, "owner"), (WORKER, "worker"))) + ",\n" +
                farm_text("Hill", ((OTHER, "owner"),))}

    def say(self, phone, text, *to):
        """Posts a text; the next answer to each phone of `to`, or to the sender."""
        counts = {one: len(self.farm.sends(one, True)) for one in to or (phone,)}
        self.assertStatus(self.farm.post(phone, text), 200)
        return [self.farm.answer(one, counts[one] + 1)["text"] for one in to or (phone,)]

    def code(self, text):
        found = CODE.search(text)
        self.assertTrue(found, text)
        return found.group(1)

    def roles(self, phone):
        return self.farm.rows("SELECT f.name, m.role FROM member m JOIN person p ON p.id = m.person"
                              " JOIN farm f ON f.id = m.farm WHERE p.phone = ? ORDER BY 1", phone)

    def test_join_and_remove(self):
        code = self.code(self.say(OWNER, "worker " + STRANGER)[0])
        key, = self.farm.rows("SELECT bytes FROM secret")[0]
        kept, farm = self.farm.rows("SELECT hash, farm FROM code")[0]
        meant = "%s %d %d %d %s %s" % (code, ADD, ROLE_WORKER, farm, OWNER, STRANGER)
        self.assertEqual(kept, hmac.new(key, meant.encode(), hashlib.sha256).digest())

        # From another phone, and on another farm, it is nothing.
        for phone in (WORKER, OTHER):
            self.assertIn("does not fit", self.say(phone, "code " + code)[0])
        asked, invitation = self.say(OWNER, "code " + code, OWNER, STRANGER)
        self.assertIn(STRANGER + " is asked to join", asked)
        self.assertIn("Riverside wants you", invitation)
        self.assertIn("does not fit", self.say(OWNER, "code " + code)[0])
        self.assertEqual(self.roles(STRANGER), [])
        joined, told = self.say(STRANGER, "join " + self.code(invitation), STRANGER, OWNER)
        self.assertIn("Riverside: you are WORKER now", joined)
        self.assertIn(STRANGER + " agreed", told)
        self.assertEqual(self.roles(STRANGER), [("Riverside", ROLE_WORKER)])
        self.assertIn("Hatchery water 24C", self.say(STRANGER, "temp 24")[0])

    def test_removed_stays_removed(self):
        code = self.code(self.say(OWNER, "remove " + WORKER)[0])
        _, told = self.say(OWNER, code, OWNER, WORKER)
        self.assertIn("Riverside: you are off this farm", told)
        self.assertEqual(self.roles(WORKER), [])
        self.assertEqual(self.farm.daemon.stop(), 0)
        self.farm.start()  # the settings still name him
        self.assertEqual(self.roles(WORKER), [])
        self.assertIn("event=person-was-removed", self.farm.daemon.log())
        self.assertIn("hatcheries that have joined", self.say(WORKER, "temp 24")[0])

    def test_two_farms(self):
        code = self.code(self.say(OTHER, "adviser " + OWNER)[0])
        _, invitation = self.say(OTHER, code, OTHER, OWNER)
        joined, told = self.say(OWNER, "join " + self.code(invitation), OWNER, OTHER)
        self.assertIn("Your texts still go to Riverside", joined)
        self.assertNotIn("Riverside", told)
        self.assertTrue(self.say(OWNER, "temp 24")[0].startswith("Riverside: Hatchery water 24C"))
        self.assertTrue(self.say(OWNER, "farm hill")[0].startswith("Hill: "))
        self.assertTrue(self.say(OWNER, "temp 25")[0].startswith("Hill: Hatchery water 25C"))
        self.assertIn("Only the owner", self.say(OWNER, "worker " + STRANGER)[0])
        self.assertEqual(self.farm.rows("SELECT name, head FROM farm ORDER BY 1"),
                         [("Hill", 1), ("Riverside", 1)])


if __name__ == "__main__":
    unittest.main()
