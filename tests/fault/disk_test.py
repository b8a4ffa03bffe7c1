"""A disk that is full from the start, becomes full, or cannot be written: nothing is answered 200
that is not kept, nothing is half written, what was accepted before is finished, and it goes on by
itself when there is room again.

The full disk is played by a flag file (environment BARBEL_DISK_FULL), and by a really small file
system where one may be mounted.
"""

import contextlib
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "e2e"))

import harness  # noqa: E402
from harness import DONE, OWNER, WAITING, WORKER, until  # noqa: E402

INJECT = "inject f3 1.2kg t24"
TEXTS = tuple((OWNER if n % 2 else WORKER, "inject f%d 1kg t24" % (10 + n), "full-%d" % n)
              for n in range(6))


class Disk(harness.DaemonCase):
    def setUp(self):
        self.farm = harness.Farm(**self.settings)
        self.addCleanup(self.farm.close)
        self.flag = self.farm.folder / "full"

    def start(self):
        self.farm.start({"BARBEL_DISK_FULL": str(self.flag)})

    def post_all(self, status):
        answers = [self.farm.post(sender, text, number=number) for sender, text, number in TEXTS]
        self.assertEqual([answer.status for answer in answers], [status] * len(TEXTS),
                         self.farm.daemon.log())
        for answer in answers:
            self.assertEqual("retry-after" in answer.headers, status == 503)
            if status == 503:
                self.assertGreater(int(answer.headers["retry-after"]), 0)
            self.assertEqual(answer.body, b"")

    def counts(self):
        return {table: self.farm.one("SELECT count(*) FROM " + table)
                for table in ("arrival", "ledger", "told", "diary", "dispatch", "question",
                              "stranger", "seen", "person", "person_history")}

    def health(self, status):
        until(lambda: self.farm.get("/health").status == status, "health %d" % status)

    def all_is_well(self):
        """The same posts once more, now for good: each answered once."""
        farm = self.farm
        self.health(200)
        self.post_all(200)
        self.post_all(200)
        for sender, text, _ in TEXTS:
            tag = text.split()[1].upper()
            until(lambda: [row for row in farm.sends(sender)
                           if row["text"].startswith("New: %s 1kg injected" % tag)],
                  lambda: "the answer to %s in %r" % (text, farm.sends()))
        until(lambda: farm.rows("SELECT DISTINCT state FROM dispatch") == [(DONE,)], "all sent")
        rows = farm.sends(taken=True)
        self.assertEqual({row["reference"] for row in farm.sends()},
                         {row["reference"] for row in rows}, "a repeat has the same reference")
        self.assertEqual(len(rows), farm.one("SELECT count(*) FROM dispatch"))
        self.assertEqual(farm.one("SELECT count(*) FROM arrival WHERE body LIKE 'inject f1_ 1kg t24'"),
                         len(TEXTS))


class Flag(Disk):
    def test_full_before_there_is_a_store(self):
        farm = self.farm
        self.flag.touch()
        status, _, err = harness.run("serve", "--settings", str(farm.settings_path),
                                     env={"BARBEL_DISK_FULL": str(self.flag)})
        self.assertNotIn(status, (0, 2), err)
        self.assertIn("the disk is full", err)
        self.flag.unlink()
        self.start()
        self.all_is_well()

    def test_full_from_the_start(self):
        farm = self.farm
        self.start()
        self.assertEqual(farm.daemon.stop(), 0)
        self.flag.touch()
        self.start()
        before = self.counts()
        for _ in range(2):
            self.post_all(503)
        self.health(503)
        self.assertEqual(self.counts(), before)
        self.flag.unlink()
        self.all_is_well()

    def test_full_in_the_middle(self):
        farm = self.farm
        self.start()
        self.assertStatus(farm.post(OWNER, INJECT), 200)
        farm.answer(OWNER)
        until(lambda: farm.rows("SELECT state, receipt FROM dispatch") ==
              [(DONE, harness.DELIVERED)], "its receipt")
        self.health(200)
        before = self.counts()
        self.flag.touch()
        for _ in range(3):
            self.post_all(503)
        self.assertStatus(farm.post(harness.STRANGER, "hello"), 503)
        self.health(503)
        self.assertEqual(self.counts(), before, "nothing half written")
        self.assertEqual(farm.get("/metrics").status, 200)
        # Refusals need no disk.
        self.assertStatus(farm.post(OWNER, "today", spoil="signature"), 401)
        self.assertIn("event=disk-full", farm.daemon.log())
        self.flag.unlink()
        self.all_is_well()
        self.assertStatus(farm.post(WORKER, "temp f3 24"), 200)

    def test_full_while_a_text_is_under_way(self):
        farm = self.farm
        self.start()
        farm.json.control({"mode": "slow", "slow_s": 0.7, "receipt_withhold": True})
        self.assertStatus(farm.post(OWNER, INJECT), 200)
        farm.answer(OWNER)
        self.flag.touch()
        until(lambda: "event=sent" in farm.daemon.log(), "the provider's answer")
        self.post_all(503)
        self.assertEqual(farm.rows("SELECT state FROM dispatch"), [(WAITING,)])
        farm.json.control({"mode": "ok", "receipt_withhold": False})
        self.flag.unlink()
        # What the provider had said was kept meanwhile: it is not sent again.
        until(lambda: farm.rows("SELECT state, tries FROM dispatch") == [(DONE, 1)], "its end")
        self.assertEqual(len(farm.sends()), 1)
        self.all_is_well()

    def test_killed_while_full(self):
        farm = self.farm
        self.start()
        self.assertStatus(farm.post(OWNER, INJECT), 200)
        farm.answer(OWNER)
        self.flag.touch()
        self.post_all(503)
        farm.daemon.kill()
        self.flag.unlink()
        self.start()
        self.all_is_well()


@contextlib.contextmanager
def small_disk(mib):
    """A file system of so many MiB, or None with the reason where none may be mounted."""
    folder = tempfile.mkdtemp(prefix="barbel-disk-")
    try:
        done = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=%dm" % mib, "tmpfs", folder],
                              stdout=subprocess.PIPE, stderr=subprocess.STDOUT, timeout=20)
        why = done.stdout.decode(errors="replace").strip() if done.returncode else None
    except OSError as wrong:
        why = str(wrong)
    try:
        yield (None, why) if why else (pathlib.Path(folder), None)
    finally:
        if not why:
            subprocess.run(["umount", folder], check=True, timeout=20)
        shutil.rmtree(folder, ignore_errors=True)


def fill(path):
    """Takes all the room there is."""
    with open(path, "wb", buffering=0) as file:
        for size in (65536, 4096, 512, 1):
            with contextlib.suppress(OSError):
                while True:
                    file.write(b"\0" * size)


class Small(Disk):
    settings = {"ballast_mib": 1}

    def setUp(self):
        super().setUp()
        self.disks = contextlib.ExitStack()
        self.disk, why = self.disks.enter_context(small_disk(6))
        self.addCleanup(self.disks.close)
        if why:
            print("no small disk here, mount says: %s; the flag file alone plays it" % why)
            self.disk = None
        else:
            self.farm.close()
            self.farm = harness.Farm(store=self.disk / "barbel.db", **self.settings)
        self.addCleanup(self.farm.close)  # before the disk is taken away

    def full(self):
        if self.disk:
            fill(self.disk / "filler")
        else:
            self.flag.touch()

    def room(self):
        if self.disk:
            (self.disk / "filler").unlink()
        else:
            self.flag.unlink()

    def test_a_small_disk(self):
        farm = self.farm
        self.start()
        ballast = pathlib.Path(str(farm.store_path) + "-ballast")
        self.assertEqual(ballast.stat().st_size, 1 << 20)
        farm.json.control({"mode": "fail", "retry_after": 3})
        self.assertStatus(farm.post(OWNER, INJECT), 200)
        until(lambda: farm.one("SELECT tries FROM dispatch") == 1, "a try that failed")
        farm.json.control({"mode": "ok"})
        self.full()
        before = self.counts()
        for _ in range(3):
            self.post_all(503)
            self.full()  # what SQLite gave back in between is taken again
        self.health(503)
        self.assertEqual({name: n for name, n in self.counts().items()
                          if name not in ("told", "diary")},
                         {name: n for name, n in before.items() if name not in ("told", "diary")})
        self.room()
        until(lambda: farm.rows("SELECT state FROM dispatch") == [(DONE,)],
              lambda: "the text accepted before: %r\n%s" %
              (farm.rows("SELECT state, tries, reason FROM dispatch"), farm.daemon.log()))
        self.all_is_well()
        self.assertEqual(ballast.stat().st_size, 1 << 20, "the ballast is made again")

    def test_the_ballast_finishes_what_was_accepted(self):
        farm = self.farm
        self.start()
        ballast = pathlib.Path(str(farm.store_path) + "-ballast")
        farm.json.control({"mode": "fail", "retry_after": 3})
        self.assertStatus(farm.post(OWNER, INJECT), 200)
        until(lambda: farm.one("SELECT tries FROM dispatch") == 1, "a try that failed")
        farm.json.control({"mode": "ok"})
        self.full()
        # A write meets the full disk sooner or later: what the log has room for is still taken.
        for n in range(400):
            answer = farm.post(WORKER, "inject f%d 1kg t24" % (100 + n), number="more-%d" % n)
            if answer.status != 200:
                break
        self.assertStatus(answer, 503)
        if self.disk:
            self.assertFalse(ballast.exists(), "it is given up")
            until(lambda: farm.rows("SELECT state FROM dispatch WHERE phone = ?", OWNER) ==
                  [(DONE,)], "the text accepted before, though the disk is full")
            self.assertStatus(farm.post(WORKER, "today"), 503)
            self.health(503)
        self.room()
        self.all_is_well()


class ReadOnly(Disk):
    def prefix(self):
        """Root writes whatever the modes say; without that right modes count for it, too."""
        if os.geteuid():
            return ()
        return ("setpriv", "--inh-caps=-dac_override", "--bounding-set=-dac_override")

    def refused(self):
        daemon = harness.Daemon(self.farm, prefix=self.prefix())
        self.assertFalse(daemon.listening(), "it must not start")
        status = daemon.wait_end()
        self.assertNotIn(status, (0, 2), daemon.log())
        self.assertGreater(status, 0, daemon.log())
        return daemon.log()

    def test_a_store_that_cannot_be_written(self):
        farm = self.farm
        self.start()
        self.assertStatus(farm.post(OWNER, INJECT), 200)
        farm.answer(OWNER)
        self.assertEqual(farm.daemon.stop(), 0)
        farm.store_path.chmod(0o400)
        self.assertIn("cannot be written", self.refused())
        farm.store_path.chmod(0o600)
        farm.folder.chmod(0o500)
        try:
            self.assertIn("cannot be written", self.refused())
        finally:
            farm.folder.chmod(0o700)
        farm.start()
        self.all_is_well()

    def test_a_folder_that_is_not_there(self):
        self.farm.store_path = self.farm.folder / "nowhere" / "barbel.db"
        self.farm.write_settings(self.farm.settings().replace(
            str(self.farm.folder / "barbel.db"), str(self.farm.store_path)))
        log = self.refused()
        self.assertIn("nowhere", log)
        self.assertIn("does not exist", log)


if __name__ == "__main__":
    unittest.main()
