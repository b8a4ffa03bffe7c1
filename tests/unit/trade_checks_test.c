/* The runner of tests/checks itself: texts that it must refuse or fail, each with the file, the
 * line and the reason, and one that it must pass. A runner that let these through would let a wrong
 * table through. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>
#include <cmocka.h>

#define GOOD                                                                                       \
    "case: a\nsource: by hand\ngiven: what=first_look at=18:30 water=24@18:30\n"                   \
    "want: time=06:30+1\n"

enum { HOLDS = 0, FAILS = 1, REFUSED = 2 };

static const struct {
    const char *text;
    int exit_status;
    int line;         /* 0: no line is named */
    const char *says; /* NULL: nothing */
} cases[] = {
    {GOOD, HOLDS, 0, NULL},
    {"# a comment\n\n\n" GOOD "\r\n" GOOD, HOLDS, 0, NULL},
    {"case: a\nsource: s\ngiven: what=eggs weight_g=1\nwant: least=600 most=600\n", HOLDS, 0, NULL},
    {"case: a\nsource: s\ngiven: what=first_look at=18:30 water=24@18:30\nwant: time=06:31+1\n"
     "tolerance: 1\n",
     HOLDS, 0, NULL},

    /* forms that hold, values that do not */
    {"case: a\nsource: s\ngiven: what=first_look at=18:30 water=24@18:30\nwant: time=06:31+1\n",
     FAILS, 4, "a: got 06:30:00+1, wanted 06:31:00+1"},
    {"case: a\nsource: s\ngiven: what=first_look at=18:30 water=24@18:30\nwant: time=06:30\n",
     FAILS, 4, "wanted 06:30:00+0"},
    {"\n" GOOD "\ncase: b\nsource: s\ngiven: what=eggs weight_g=1\nwant: value=601\n", FAILS, 10,
     "b: got 600, wanted 601"},
    {"case: a\nsource: s\ngiven: what=latency degc=24.5\nwant: value=11.6\ntolerance: 0.1\n", FAILS,
     4, "got 11.489"},
    {"case: a\nsource: s\ngiven: what=eggs weight_g=1\nwant: least=601\n", FAILS, 4,
     "wanted 601 to inf"},
    {"case: a\nsource: s\ngiven: what=latency degc=19\nwant: value=22\n", FAILS, 4,
     "got cold, wanted ok"},
    {"case: a\nsource: s\ngiven: what=latency degc=24\nwant: status=cold\n", FAILS, 4,
     "got ok, wanted cold"},
    {"case: a\nsource: s\ngiven: what=plausible weight_g=1 female_g=2\nwant: answer=yes\n", FAILS,
     4, "got no, wanted yes"},

    /* files that are not in the form */
    {"", REFUSED, 1, "no case in this file"},
    {"# only a comment\n\n", REFUSED, 3, "no case in this file"},
    {"case: a\ngiven: what=eggs weight_g=1\nwant: value=600\n", REFUSED, 1,
     "a case without 'source:'"},
    {"case: a\nsource:\ngiven: what=eggs weight_g=1\nwant: value=600\n", REFUSED, 2,
     "'source' is empty"},
    {"case: a\nsource: s\ngiven: what=eggs weight_g=1\n", REFUSED, 1, "a case without 'want:'"},
    {"case: a\nsource: s\nwant: value=600\n", REFUSED, 1, "a case without 'given:'"},
    {"source: s\ngiven: what=eggs weight_g=1\nwant: value=600\n", REFUSED, 1,
     "a case without 'case:'"},
    {"case: a\nsource: s\ngiven: what=latency degc=22\nwant: value=15.5\n", REFUSED, 1,
     "needs a 'tolerance:'"},
    {"case: a\nsource: s\ngiven: what=latency degc=22\nwant: value=15.5\ntolerance: -1\n", REFUSED,
     5, "not negative"},
    {"case: a\nsource: s\ngiven: what=latency degc=22\nwant: value=15.5\ntolerance: some\n",
     REFUSED, 5, "not a number"},
    {"case: a\nsource: s\ngiven: what=eggs weight_g=1\nwant: least=1\ntolerance: 1\n", REFUSED, 1,
     "a tolerance goes with"},
    {GOOD "remark: x\n", REFUSED, 5, "unknown field 'remark'"},
    {GOOD "want: time=06:30+1\n", REFUSED, 5, "'want' twice"},
    {GOOD "case: b\n", REFUSED, 5, "'case' twice"},
    {GOOD "a line of nothing\n", REFUSED, 5, "not a field"},
    {"case: a\nsource: s\ngiven: what=dream weight_g=1\nwant: value=600\n", REFUSED, 3,
     "unknown calculation 'dream'"},
    {"case: a\nsource: s\ngiven: weight_g=1\nwant: value=600\n", REFUSED, 1, "no what="},
    {"case: a\nsource: s\ngiven: what=eggs mass=1\nwant: value=600\n", REFUSED, 3,
     "unknown key 'mass'"},
    {"case: a\nsource: s\ngiven: what=eggs weight_g=1 weight_g=2\nwant: value=600\n", REFUSED, 3,
     "'weight_g' twice"},
    {"case: a\nsource: s\ngiven: what=eggs weight_g=1 degc=24\nwant: value=600\n", REFUSED, 1,
     "'eggs' does not take 'degc'"},
    {"case: a\nsource: s\ngiven: what=eggs\nwant: value=600\n", REFUSED, 1,
     "'eggs' needs 'weight_g'"},
    {"case: a\nsource: s\ngiven: what=eggs weight_g=1x\nwant: value=600\n", REFUSED, 3,
     "not a number: '1x'"},
    {"case: a\nsource: s\ngiven: what=eggs weight_g=nan\nwant: value=600\n", REFUSED, 3,
     "not a number"},
    {"case: a\nsource: s\ngiven: what=eggs weight_g\nwant: value=600\n", REFUSED, 3,
     "not KEY=VALUE"},
    {"case: a\nsource: s\ngiven: what=eggs weight_g=1\nwant: worth=600\n", REFUSED, 4,
     "unknown key 'worth'"},
    {"case: a\nsource: s\ngiven: what=eggs weight_g=1\nwant: time=06:30\n", REFUSED, 1,
     "not what 'eggs' can be wanted to give"},
    {"case: a\nsource: s\ngiven: what=eggs weight_g=1\nwant: value=600 least=1\n", REFUSED, 1,
     "not what 'eggs' can be wanted to give"},
    {"case: a\nsource: s\ngiven: what=latency degc=24\nwant: status=ok\n", REFUSED, 4,
     "status is cold"},
    {"case: a\nsource: s\ngiven: what=plausible weight_g=1 female_g=9\nwant: answer=perhaps\n",
     REFUSED, 4, "answer is yes or no"},
    {"case: a\nsource: s\ngiven: what=book name=moonlight\nwant: value=1\n", REFUSED, 3,
     "no 'moonlight' in the book"},
    {"case: a\nsource: s\ngiven: what=plan at=24:00 water=24@18:30\nwant: time=06:30\n", REFUSED, 3,
     "not a time"},
    {"case: a\nsource: s\ngiven: what=plan at=06:00+x water=24@18:30\nwant: time=06:30\n", REFUSED,
     3, "not a time"},
    {"case: a\nsource: s\ngiven: what=plan at=06:00 water=24\nwant: time=06:30\n", REFUSED, 3,
     "a reading is"},
    {"case: a\nsource: s\ngiven: what=plan at=06:00 water=24@18:30,22@18:30\nwant: time=06:30\n",
     REFUSED, 3, "readings are not in order"},
    {"case: a\nsource: s\ngiven: what=fit_own degc=26 series=1:2,1:3\nwant: value=1\n", REFUSED, 3,
     "the series is not in order"},
    {"case: a\nsource: s\ngiven: what=fit_own degc=26 series=1-2\nwant: value=1\n", REFUSED, 3,
     "a point is A:B"},
    {"case: a\nsource: s\ngiven: what=square_first first_percent=10 second_percent=45 "
     "wanted_percent=50\nwant: value=14\n",
     FAILS, 4, "got -1, wanted 14"},

    /* a mistake does not hide the case behind it, and a failure not the mistake */
    {"case: a\nsource: s\n\ncase: b\nsource: s\ngiven: what=eggs weight_g=1\nwant: value=1\n",
     REFUSED, 7, "b: got 600, wanted 1"},
};

static void write_file(const char *path, const char *text) {
    FILE *f = fopen(path, "w");
    assert_non_null(f);
    assert_int_equal(fwrite(text, 1, strlen(text), f), strlen(text));
    assert_int_equal(fclose(f), 0);
}

static int run(const char *path, char *said, size_t room) {
    char command[1200];
    snprintf(command, sizeof command, "'%s/tests/check_run' '%s' 2>&1 >/dev/null", BUILD_DIR, path);
    FILE *p = popen(command, "r");
    assert_non_null(p);
    size_t n = fread(said, 1, room - 1, p);
    said[n] = 0;
    int status = pclose(p);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

static void wrong_texts_are_refused_with_their_line(void **state) {
    (void)state;
    char path[] = BUILD_DIR "/tests/checks_XXXXXX", said[4000], place[1000];
    int fd = mkstemp(path);
    assert_true(fd >= 0);
    close(fd);
    int wrong = 0;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        write_file(path, cases[i].text);
        int exit_status = run(path, said, sizeof said);
        snprintf(place, sizeof place, "%s:%d: ", path, cases[i].line);
        bool good = exit_status == cases[i].exit_status;
        if (cases[i].says)
            good = good && strstr(said, place) && strstr(strstr(said, place), cases[i].says);
        else
            good = good && !*said;
        if (good)
            continue;
        wrong++;
        print_error("text %zu: got exit %d and '%s', wanted exit %d and '%s%s'\n%s", i, exit_status,
                    said, cases[i].exit_status, place, cases[i].says ? cases[i].says : "",
                    cases[i].text);
    }
    unlink(path);
    assert_int_equal(wrong, 0);
}

static void a_file_that_is_not_there_is_refused(void **state) {
    (void)state;
    char said[400];
    assert_int_equal(run("/nowhere/at/all.chk", said, sizeof said), REFUSED);
    assert_non_null(strstr(said, "/nowhere/at/all.chk:0: cannot be opened"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wrong_texts_are_refused_with_their_line),
        cmocka_unit_test(a_file_that_is_not_there_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
