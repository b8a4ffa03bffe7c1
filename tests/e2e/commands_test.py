"""The commands beside serve and check: sms (3GPP TS 23.038 and 23.040), phone with a daemon and
without one, and what rehearse refuses."""

import pathlib
import re
import select
import subprocess
import unittest

import harness
from harness import OWNER, WORKER, run

FISH = "\U0001f41f"
B_HOOK = "ɓ"  # Hausa's hooked b: in no table of TS 23.038
# Lengths of one part and of joined ones: TS 23.040 9.2.3.24.1; an escape pair and a surrogate pair
# are never split, so the 6th and the last but two need one part more than division says.
SIZES = (
    ("", "gsm7 units 0 parts 0"),
    ("a" * 160, "gsm7 units 160 parts 1"),
    ("a" * 161, "gsm7 units 161 parts 2"),
    ("a" * 306, "gsm7 units 306 parts 2"),
    ("a" * 307, "gsm7 units 307 parts 3"),
    ("a" * 152 + "€" + "a" * 152, "gsm7 units 306 parts 3"),
    ("€" * 80, "gsm7 units 160 parts 1"),
    ("€" * 81, "gsm7 units 162 parts 2"),
    ("{}", "gsm7 units 4 parts 1"),
    ("Ça", "gsm7 units 2 parts 1"),
    ("ça", "ucs2 units 2 parts 1"),
    (B_HOOK * 70, "ucs2 units 70 parts 1"),
    (B_HOOK * 71, "ucs2 units 71 parts 2"),
    (B_HOOK * 134, "ucs2 units 134 parts 2"),
    (B_HOOK * 135, "ucs2 units 135 parts 3"),
    (B_HOOK * 66 + FISH + B_HOOK * 66, "ucs2 units 134 parts 3"),
    (FISH, "ucs2 units 2 parts 1"),
    ("e\u0301", "gsm7 units 1 parts 1"),  # composed first: Unicode NFC
    ("1\u202f000", "ucs2 units 5 parts 1"),
    ("`", "ucs2 units 1 parts 1"),
    ("\t", "ucs2 units 1 parts 1"),
)


class Sms(unittest.TestCase):
    def test_sizes(self):
        for text, wanted in SIZES:
            self.assertEqual(run("sms", text), (0, wanted + "\n", ""), text[:5])

    def test_refusals(self):
        for arguments in ((), ("a", "b"), (b"\xff",), (b"\xed\xa0\x80",), (b"\xc0\xaf",)):
            status, out, err = run("sms", *arguments)
            self.assertEqual((status, out), (2, ""), arguments)
            self.assertTrue(err.startswith("barbel: "), err)


class Phone(harness.DaemonCase):
    def phone(self, number, text, *more):
        return run("phone", "--settings", str(self.farm.settings_path), "--as", number, *more,
                   stdin=text.encode())

    def test_through_the_daemon(self):
        farm = self.farm
        status, out, err = self.phone(OWNER, "inject f3 1.2kg t24\ntoday\n")
        self.assertEqual((status, err), (0, ""))
        answers = [line for line in out.splitlines() if line.startswith("< ")]
        self.assertEqual(len(answers), 2, out)
        self.assertIn("F3 1.2kg injected", answers[0])
        self.assertTrue(answers[1].startswith("< F3 look"), answers[1])
        self.assertEqual(farm.sends(), [], "what is given at the prompt is not sent")
        self.assertEqual(farm.rows("SELECT DISTINCT state, receipt FROM dispatch"),
                         [(harness.DONE, harness.DELIVERED)])
        # The next text of this phone comes from its provider, and so does the answer go.
        self.assertStatus(farm.post(OWNER, "today"), 200)
        self.assertTrue(farm.answer(OWNER)["text"].startswith("F3 look"))

    def test_without_a_line_end(self):
        status, out, _ = self.phone(OWNER, "today")
        self.assertEqual(status, 0)
        self.assertTrue(out.startswith("< "), out)

    def test_a_provider_s_texts_wait_for_nobody(self):
        """A phone at the prompt and texts by a provider at the same time."""
        farm = self.farm
        with subprocess.Popen([harness.BARBEL, "phone", "--settings", str(farm.settings_path),
                               "--as", OWNER], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                              stderr=subprocess.PIPE) as prompt:
            prompt.stdin.write(b"inject f3 1.2kg t24\n")
            prompt.stdin.flush()
            ready, _, _ = select.select([prompt.stdout], [], [], harness.WAIT_S)
            if not ready:
                prompt.kill()
                self.fail("no answer at the prompt before the next line is typed")
            self.assertIn(b"F3 1.2kg injected", prompt.stdout.readline())
            self.assertStatus(farm.post(WORKER, "today"), 200)
            self.assertTrue(farm.answer(WORKER)["text"].startswith("F3 look"))
            prompt.stdin.close()
            self.assertEqual(prompt.wait(15), 0)

    def test_alone(self):
        farm = self.farm
        self.assertEqual(farm.daemon.stop(), 0)
        status, out, err = self.phone(OWNER, "inject f3 1.2kg t24\ntoday\n")
        self.assertEqual((status, err), (0, ""))
        answers = [line for line in out.splitlines() if line.startswith("< ")]
        self.assertEqual(len(answers), 2, out)
        self.assertIn("F3 1.2kg injected", answers[0])
        # For others it waits in the store, a minute at most after the daemon is there again.
        status, out, err = self.phone(WORKER, "stop\n")
        self.assertEqual((status, err), (0, ""))
        self.assertIn("START", out)
        self.assertEqual(farm.sends(), [])
        self.assertEqual(farm.rows("SELECT state, next_s - made_s <= 60, body LIKE ? FROM dispatch"
                                   " WHERE phone = ? ORDER BY id DESC LIMIT 1",
                                   "%" + WORKER + "%", OWNER), [(harness.WAITING, 1, 1)])

    def test_command_lines(self):
        self.assertEqual(self.phone("12", "")[0], 2)
        self.assertEqual(run("phone", "--as", OWNER)[0], 2)
        self.assertEqual(run("phone", "--settings", "/nowhere/settings.conf", "--as", OWNER)[0], 2)


GOOD = "2026-03-02 18:32 %s inject f3 1.2kg t24" % OWNER
# Script, options, line and a word of the reason.
BAD_LINES = (
    ("2026-3-2 18:32 %s help" % OWNER, (), 1, "YYYY-MM-DD"),
    ("2026-02-30 18:32", (), 1, "no such day"),
    ("2026-03-02 24:01", (), 1, "no such day"),
    ("2026-03-02T18:32 %s help" % OWNER, (), 1, "YYYY"),
    ("\n# a remark\n" + GOOD + "\n2026-03-02 18:31", (), 4, "backwards"),
    (GOOD + "\nhelp", (), 2, "YYYY"),
    ("2026-03-02 18:32 07700900001 help", (), 1, "E.164"),
    ("2026-03-02 18:32 +0700900001 help", (), 1, "E.164"),
    ("2026-03-02 18:32 + help", (), 1, "E.164"),
    ("2026-03-02 18:32:00 %s help" % OWNER, (), 1, "space"),
    ("2026-03-02 18:32 %s a\udcff" % OWNER, (), 1, "UTF-8"),
    (GOOD + "\n2026-03-02 18:40 %s *123#" % OWNER, (), 2, "dialogue"),
    # Clocks in Britain went from 01:00 to 02:00 that night (Summer Time Order 2002).
    ("2026-03-29 01:30", ("--zone", "Europe/London"), 1, "skips"),
)


class Rehearse(unittest.TestCase):
    def test_bad_lines(self):
        with harness.tempfile.TemporaryDirectory() as folder:
            for script, options, line, reason in BAD_LINES:
                path = pathlib.Path(folder) / "script"
                octets = script.encode("utf-8", "surrogateescape") + b"\n"
                path.write_bytes(octets)
                for name in (str(path), "-"):
                    status, out, err = run("rehearse", *options, name, stdin=octets)
                    self.assertEqual((status, out), (2, ""), script)
                    self.assertRegex(err, r"^%s:%d: .*%s" % (re.escape(name), line, reason))
                    self.assertEqual(err.count("\n"), 1)

    def test_zones(self):
        self.assertEqual(run("rehearse", "--zone", "Europe/London", "-",
                             stdin=b"2026-03-29 02:30\n"), (0, "", ""))
        # An hour that stands twice: the first is meant, an hour before the second comes.
        status, out, _ = run("rehearse", "--zone", "Europe/London", "-", stdin=(
            "2026-10-25 01:30 %s inject f3 1.2kg t24\n" % OWNER).encode())
        self.assertEqual(status, 0)
        # 12 h at 24 C and the clock goes back an hour meanwhile.
        self.assertIn("First look 12:30", out)

    def test_line_ends_and_empty_files(self):
        wanted = run("rehearse", "-", stdin=(GOOD + "\n# end\n").encode())
        self.assertEqual(wanted[0], 0)
        self.assertEqual(len(wanted[1].splitlines()), 2)
        for stdin in (GOOD + "\r\n# end\r\n", GOOD, GOOD + "\r"):
            self.assertEqual(run("rehearse", "-", stdin=stdin.encode()), wanted)
        self.assertEqual(run("rehearse", "-", stdin=b""), (0, "", ""))
        self.assertEqual(run("rehearse", "-", stdin=b"# only remarks\n\n"), (0, "", ""))

    def test_the_same_twice(self):
        script = (GOOD + "\n2026-03-04 18:00\n").encode()
        first = run("rehearse", "--seed", "7", "-", stdin=script)
        self.assertEqual(first, run("rehearse", "--seed", "7", "-", stdin=script))
        self.assertGreater(len(first[1].splitlines()), 4)

    def test_command_lines(self):
        for arguments in ((), ("a", "b"), ("--zone", "Moon/Base", "-"), ("--country", "ZZ", "-"),
                          ("--language", "xx", "-"), ("--seed", "x", "-"), ("--other", "1", "-"),
                          ("/nowhere/script",)):
            status, out, err = run("rehearse", *arguments)
            self.assertEqual((status, out), (2, ""), arguments)
            self.assertNotEqual(err, "")


if __name__ == "__main__":
    unittest.main()
