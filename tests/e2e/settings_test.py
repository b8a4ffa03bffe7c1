"""Settings: every mistake named with its line and nothing started; one daemon a store; SIGHUP takes
new settings, or keeps the old ones; check."""

import re
import unittest

import harness
from harness import OWNER, WORKER, farm_text, until

NEW_OWNER = "+447700900011"

# A whole settings file, each line right or with the mistake that must be told for it.
MISTAKES = (
    ('store = 7;', 'store'),
    ('ballast_mib = 99999;', 'ballast_mib'),
    ('listen = { address = "127.0.0.1"; port = 70000; };', 'port'),
    ('host = { address = "127.0.0.1"; prot = 8081; port = 0; };', '"port" was meant'),
    ('country = "ZZ";', 'ZZ'),
    ('zone = "Africa/Nowhere";', 'Africa/Nowhere'),
    ('langage = "en";', '"language" was meant'),
    ('countries = ( "GB", "QQ", 5 );', 'QQ'),
    ('texts_per_hour = 0;', 'texts_per_hour'),
    ('body_days = "ninety";', 'body_days'),
    ('profiles = ( "profiles/json.conf", "profiles/json.conf", "profiles/none.conf" );',
     'two profiles'),
    ('farms = (', None),
    ('  { name = "One"; people = ( { number = "12"; role = "owner"; } ); },', 'telephone number'),
    ('  { name = "Two"; people = ( { number = "+447700900001"; role = "ownr"; } ); },',
     'owner was meant'),
    ('  { name = "Three"; people = ( { number = "+447700900001"; role = "worker"; } ); },',
     'no owner'),
    ('  { name = "Four"; zone = "Moon/Base"; people = ( { number = "+447700900001"; role = "owner";'
     ' }, { number = "+447700900001"; role = "worker"; } ); },', 'Moon/Base'),
    ('  { name = "Four"; people = ( { number = "+447700900001"; role = "owner"; } ); },',
     'stands above'),
    ('  { name = ""; people = ( { number = "+447700900001"; role = "owner"; } ); }', 'letters'),
    (');', None),
)


class Mistakes(unittest.TestCase):
    def setUp(self):
        self.farm = harness.Farm()
        self.addCleanup(self.farm.close)

    def commands(self):
        """What both say: the same mistakes, and neither starts."""
        return [harness.run(command, "--settings", str(self.farm.settings_path))
                for command in ("check", "serve")]

    def test_every_mistake_with_its_line(self):
        farm = self.farm
        farm.write_settings("".join(line + "\n" for line, _ in MISTAKES))
        for status, out, err in self.commands():
            self.assertEqual(status, 2, err)
            self.assertEqual(out, "")
            for number, (line, wanted) in enumerate(MISTAKES, 1):
                if wanted:
                    told = [row for row in err.splitlines()
                            if row.startswith("%s:%d: " % (farm.settings_path, number))]
                    self.assertTrue(any(wanted in row for row in told),
                                    "line %d, %s: wanted %r in %r of\n%s" %
                                    (number, line, wanted, told, err))
            self.assertIn("profiles/none.conf", err)
            self.assertNotIn("event=listening", err)
        self.assertFalse(farm.store_path.exists(), "nothing was started")

    def test_syntax(self):
        self.farm.write_settings(self.farm.settings() + "\nfarms = ((;\n")
        for status, _, err in self.commands():
            self.assertEqual(status, 2)
            self.assertRegex(err, re.escape(str(self.farm.settings_path)) + r":\d+: ")

    def test_no_file(self):
        self.farm.settings_path.unlink()
        for status, _, err in self.commands():
            self.assertEqual(status, 2)
            self.assertIn(str(self.farm.settings_path), err)

    def test_secrets(self):
        secrets = self.farm.folder / "profiles" / "secrets"
        (secrets / "json-in").chmod(0o644)
        (secrets / "json-send").write_text("\n")
        (secrets / "form-in").unlink()
        for status, _, err in self.commands():
            self.assertEqual(status, 2)
            self.assertIn("chmod 600", err)
            self.assertIn("form-in", err)
            self.assertIn("json.conf", err)
            for secret in harness.SECRETS.values():
                self.assertNotIn(secret, err)
        (secrets / "json-in").chmod(0o600)

    def test_command_lines(self):
        for arguments in (("serve",), ("check",), ("serve", "--settings"), ("serve", "--other", "x"),
                          ("check", "--settings", "a", "b"), ("nothing",), ()):
            self.assertEqual(harness.run(*arguments)[0], 2, arguments)
        self.assertEqual(harness.run("--version")[0], 0)

    def test_check_of_right_settings(self):
        farm = self.farm
        for _ in range(2):  # without a store, then with one
            status, out, err = harness.run("check", "--settings", str(farm.settings_path))
            self.assertEqual((status, err), (0, ""))
            self.assertIn("1 farm ", out)
            if not farm.store_path.exists():
                self.assertIn("first start", out)
                farm.start()
                self.assertEqual(farm.daemon.stop(), 0)

    def test_check_of_a_damaged_store(self):
        farm = self.farm
        farm.start()
        self.assertEqual(farm.daemon.stop(), 0)
        octets = bytearray(farm.store_path.read_bytes())
        octets[4096 * 3:4096 * 3 + 2000] = b"\xa5" * 2000
        farm.store_path.write_bytes(octets)
        status, _, err = harness.run("check", "--settings", str(farm.settings_path))
        self.assertNotEqual(status, 0)
        self.assertIn("damaged", err)


class Running(harness.DaemonCase):
    def test_a_second_daemon_on_the_store(self):
        farm = self.farm
        first = farm.daemon
        status, _, err = harness.run("serve", "--settings", str(farm.settings_path))
        self.assertNotIn(status, (0, 2), err)
        self.assertIn("another barbel runs on this store", err)
        self.assertStatus(farm.post(OWNER, "today"), 200)
        farm.answer(OWNER)
        self.assertIs(farm.daemon, first)
        self.assertTrue((farm.folder / "barbel.db-door").is_socket(), "the first one's door stays")

    def test_a_port_that_is_taken(self):
        farm = self.farm
        other = harness.Farm()
        self.addCleanup(other.close)
        other.write_settings(other.settings().replace(
            "port = 0;", "port = %d;" % farm.daemon.port, 1))
        status, _, err = harness.run("serve", "--settings", str(other.settings_path))
        self.assertNotIn(status, (0, 2), err)
        self.assertIn(str(farm.daemon.port), err)

    def reloads(self, count):
        until(lambda: farm_log_count(self.farm, "event=reload") >= count,
              lambda: "a reload in\n" + self.farm.daemon.log())

    def test_good_settings(self):
        farm = self.farm
        self.assertStatus(farm.post(NEW_OWNER, "today"), 200)
        self.assertIn("hatcheries", farm.answer(NEW_OWNER)["text"])
        farm.write_settings(farm.settings().replace(
            "farms = (", "farms = (\n" + farm_text("Hill", ((NEW_OWNER, "owner"),)) + ","))
        farm.daemon.hang_up()
        self.reloads(1)
        self.assertStatus(farm.post(NEW_OWNER, "inject f1 1kg t24"), 200)
        self.assertIn("F1 1kg injected", farm.answer(NEW_OWNER, 2)["text"])
        # The other farm has not seen it.
        self.assertStatus(farm.post(OWNER, "today"), 200)
        self.assertNotIn("F1", farm.answer(OWNER)["text"])

    def test_bad_settings(self):
        farm = self.farm
        good = farm.settings()
        farm.write_settings(good.replace('role = "owner"', 'role = "king"'))
        farm.daemon.hang_up()
        self.reloads(1)
        self.assertIn("settings.conf:", farm.daemon.log())
        self.assertIn("king", farm.daemon.log())
        self.assertStatus(farm.post(OWNER, "today"), 200)
        farm.answer(OWNER)
        farm.write_settings(good.replace("texts_per_hour = 60", "texts_per_hour = 1"))
        farm.daemon.hang_up()
        self.reloads(2)
        self.assertStatus(farm.post(OWNER, "today"), 200)
        self.assertEqual(farm.counter("limited"), 1)

    def test_new_secrets_while_sends_are_under_way(self):
        farm = self.farm
        farm.json.control({"mode": "slow", "slow_s": 1.0})
        self.assertStatus(farm.post(OWNER, "today"), 200)
        farm.answer(OWNER)
        path = farm.folder / "profiles" / "secrets" / "json-in"
        path.write_text("whsec_" + "A" * 43 + "=\n")
        farm.daemon.hang_up()
        self.reloads(1)
        self.assertStatus(farm.post(WORKER, "today"), 401)
        path.write_text(harness.SECRETS["json-in"] + "\n")
        # The first generation is kept while its send is under way: a reload asked for meanwhile is
        # not lost, it waits for that.
        farm.daemon.hang_up()
        self.reloads(2)
        self.assertStatus(farm.post(WORKER, "today"), 200)
        farm.answer(WORKER)


def farm_log_count(farm, text):
    return farm.daemon.log().count(text)


if __name__ == "__main__":
    unittest.main()
