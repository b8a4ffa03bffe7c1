/* The table of failures: a full row for each, and rows that do not contradict themselves. */
#include "base_help.h"

#include <sysexits.h>

static void rows_are_full(void **unused) {
    (void)unused;
    for (int i = 0; i < ERR_COUNT; i++) {
        const struct err_info *info = err_info((enum err)i);
        assert_non_null(info->name);
        assert_non_null(info->text);
        assert_true(info->name[0] && info->text[0]);
        for (const char *p = info->name; *p; p++)
            assert_true((*p >= 'a' && *p <= 'z') || (*p >= '0' && *p <= '9') || *p == '-');
        for (int k = 0; k < i; k++)
            assert_string_not_equal(info->name, err_info((enum err)k)->name);
        assert_in_range(info->level, LOG_DEBUG, LOG_ERROR);
    }
}

/* Exit statuses: 2 for wrong use, else those of BSD's sysexits.h, which shells and systemd know by
 * name. Statuses of HTTP are of RFC 9110: the sender's mistakes are 4xx and 503 says "later". */
static void rows_agree(void **unused) {
    (void)unused;
    for (int i = 1; i < ERR_COUNT; i++) {
        const struct err_info *info = err_info((enum err)i);
        if (info->exit_status != 2)
            assert_in_range(info->exit_status, EX__BASE, EX__MAX);
        assert_true((info->http_status >= 400 && info->http_status < 500) ||
                    info->http_status == 503);
        if (info->again) /* a sender that is told 4xx does not come again */
            assert_int_equal(info->http_status, 503);
        if (info->level == LOG_ERROR && info->http_status != 503)
            assert_int_equal(i, ERR_USAGE); /* our own failures are no sender's mistake */
    }
    assert_int_equal(err_info(ERR_OK)->http_status, 200);
    assert_int_equal(err_info(ERR_OK)->exit_status, 0);
    assert_false(err_info(ERR_OK)->again);
}

static void named_rows(void **unused) {
    (void)unused;
    static const struct {
        enum err e;
        int http_status, exit_status;
        bool again;
    } cases[] = {
        {ERR_TOO_LONG, 413, EX_DATAERR, false},  {ERR_SYNTAX, 400, EX_DATAERR, false},
        {ERR_NOT_FOUND, 404, EX_NOINPUT, false}, {ERR_AUTH, 401, EX_NOPERM, false},
        {ERR_STALE, 401, EX_NOPERM, false},      {ERR_BUSY, 503, EX_TEMPFAIL, true},
        {ERR_CONFLICT, 503, EX_TEMPFAIL, true},  {ERR_FULL, 503, EX_IOERR, true},
        {ERR_IO, 503, EX_IOERR, true},           {ERR_BUG, 503, EX_SOFTWARE, false},
        {ERR_CORRUPT, 503, 76, false},           {ERR_USAGE, 400, 2, false},
        {ERR_SETTINGS, 503, 2, false},           {ERR_UTF8, 400, 2, false},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        const struct err_info *info = err_info(cases[i].e);
        assert_int_equal(info->http_status, cases[i].http_status);
        assert_int_equal(info->exit_status, cases[i].exit_status);
        assert_int_equal(info->again, cases[i].again);
    }
}

static void outside_is_a_bug(void **unused) {
    (void)unused;
    static const int values[] = {-1, ERR_COUNT, ERR_COUNT + 1, 1000000, INT32_MIN};
    for (size_t i = 0; i < COUNT_OF(values); i++)
        assert_ptr_equal(err_info((enum err)values[i]), err_info(ERR_BUG));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_are_full),
        cmocka_unit_test(rows_agree),
        cmocka_unit_test(named_rows),
        cmocka_unit_test(outside_is_a_bug),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
