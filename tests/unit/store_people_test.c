/* Farms, people, members and their histories. */
#include "store_help.h"

static void test_farms(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_farm f, other = {.name = SLICE("Hill"), .zone = SLICE("UTC"), .made_s = NOW};
    int64_t id = 0;
    OK(store_begin(h.s));
    OK(store_farm_get(h.s, h.farm, &h.a, &f));
    TEXT(f.name, "Creek");
    TEXT(f.zone, "Africa/Lagos");
    TEXT(f.country, "NG");
    assert_int_equal(f.head, 0);
    assert_int_equal(f.made_s, NOW);
    OK(store_farm_put(h.s, &other, &id));
    assert_int_equal(id, h.farm + 1);
    OK(store_farm_by_name(h.s, SLICE("Hill"), &h.a, &f));
    assert_int_equal(f.id, id);
    TEXT(f.country, "");
    WANT(ERR_NOT_FOUND, store_farm_by_name(h.s, SLICE("hill"), &h.a, &f)); /* byte order */
    WANT(ERR_NOT_FOUND, store_farm_get(h.s, 99, &h.a, &f));
    WANT(ERR_CONFLICT, store_farm_put(h.s, &other, &id)); /* the name is taken */
    other.id = id;
    other.name = SLICE("Creek");
    WANT(ERR_CONFLICT, store_farm_put(h.s, &other, NULL));
    other.name = SLICE("Hill");
    other.zone = SLICE("Africa/Accra");
    OK(store_farm_put(h.s, &other, NULL)); /* its own name */
    other.id = 99;
    other.name = SLICE("Nowhere");
    WANT(ERR_NOT_FOUND, store_farm_put(h.s, &other, NULL));
    OK(store_commit(h.s)); /* none of these ends a transaction */
    OK(store_farm_get(h.s, id, &h.a, &f));
    TEXT(f.zone, "Africa/Accra");
    help_remove(&h);
}

static void test_people(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_person p, got;
    OK(store_person_by_phone(h.s, SLICE("+447700900001"), &h.a, &p));
    assert_int_equal(p.id, h.owner);
    assert_int_equal(p.farm, h.farm);
    assert_false(p.stopped);
    WANT(ERR_NOT_FOUND, store_person_by_phone(h.s, SLICE("+447700900003"), &h.a, &got));
    OK(store_begin(h.s));
    p.language = SLICE("ha");
    p.heard_s = NOW + 5;
    p.about_kind = 4;
    p.about_subject = 9;
    p.about_data = SLICE("strip 150g");
    p.link = SLICE("south");
    OK(store_person_put(h.s, &p, NOW + 5, NULL));
    OK(store_person_put(h.s, &p, NOW + 6, NULL)); /* nothing new: no history */
    p.stopped = true;
    OK(store_person_put(h.s, &p, NOW + 7, NULL));
    p.stopped = false;
    OK(store_person_put(h.s, &p, NOW + 8, NULL));
    OK(store_commit(h.s));
    OK(store_person_by_phone(h.s, p.phone, &h.a, &got));
    TEXT(got.language, "ha");
    TEXT(got.link, "south");
    TEXT(got.about_data, "strip 150g");
    assert_int_equal(got.heard_s, NOW + 5);
    assert_int_equal(got.about_kind, 4);
    assert_int_equal(got.about_subject, 9);
    /* en at first, ha, stopped, not stopped: four rows, in order, with their times */
    assert_int_equal(help_count(&h, "SELECT count(*) FROM person_history WHERE person = 1"), 4);
    assert_int_equal(help_count(&h, "SELECT at_s FROM person_history WHERE person = 1 AND nth = 2"
                                    " AND what = 1 AND value = 'ha'"),
                     NOW + 5);
    assert_int_equal(help_count(&h, "SELECT at_s FROM person_history WHERE person = 1 AND nth = 3"
                                    " AND what = 2 AND value = '1'"),
                     NOW + 7);
    assert_int_equal(help_count(&h, "SELECT at_s FROM person_history WHERE person = 1 AND nth = 4"
                                    " AND what = 2 AND value = '0'"),
                     NOW + 8);
    help_remove(&h);
}

static void test_person_refused(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_person p = help_person("+447700900001");
    int64_t id = 0;
    OK(store_begin(h.s));
    WANT(ERR_CONFLICT, store_person_put(h.s, &p, NOW, &id)); /* a second row for one phone */
    p.id = 77;
    p.phone = SLICE("+447700900077");
    WANT(ERR_NOT_FOUND, store_person_put(h.s, &p, NOW, &id));
    p.id = 0;
    char line[STORE_ABOUT_MAX + 1];
    memset(line, 'x', sizeof line);
    p.about_data = (struct slice){line, STORE_ABOUT_MAX};
    OK(store_person_put(h.s, &p, NOW, &id));
    p.id = id;
    p.about_data.n++;
    WANT(ERR_TOO_LONG, store_person_put(h.s, &p, NOW, &id));
    store_rollback(h.s);
    WANT(ERR_NOT_FOUND, store_person_by_phone(h.s, p.phone, &h.a, &p));
    help_remove(&h);
}

static void test_members(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_person adviser = help_person("+447700900003");
    struct store_farm second = {.name = SLICE("Hill"), .made_s = NOW};
    struct store_member *m;
    struct store_belongs *b;
    int64_t person = 0, farm = 0;
    int count = 0;
    OK(store_begin(h.s));
    OK(store_person_put(h.s, &adviser, NOW, &person));
    OK(store_farm_put(h.s, &second, &farm));
    OK(store_member_put(h.s, h.farm, person, STORE_ADVISER, NOW + 1));
    OK(store_member_put(h.s, farm, person, STORE_OWNER, NOW + 2));
    OK(store_member_put(h.s, h.farm, h.worker, STORE_WATCHER, NOW + 3));
    OK(store_member_put(h.s, h.farm, h.worker, STORE_WATCHER, NOW + 4)); /* no change, no row */
    OK(store_members(h.s, h.farm, &h.a, &m, &count));
    assert_int_equal(count, 3);
    const enum store_role roles[] = {STORE_OWNER, STORE_ADVISER, STORE_WATCHER};
    const int64_t people[] = {h.owner, person, h.worker};
    for (int i = 0; i < 3; i++) {
        assert_int_equal(m[i].role, roles[i]);
        assert_int_equal(m[i].person.id, people[i]);
    }
    TEXT(m[1].person.phone, "+447700900003");
    OK(store_farms_of(h.s, person, &h.a, &b, &count));
    assert_int_equal(count, 2);
    assert_int_equal(b[0].farm, h.farm);
    assert_int_equal(b[0].role, STORE_ADVISER);
    assert_int_equal(b[1].farm, farm);
    assert_int_equal(b[1].role, STORE_OWNER);
    OK(store_farms_of(h.s, 99, &h.a, &b, &count));
    assert_int_equal(count, 0);
    OK(store_commit(h.s));
    assert_int_equal(help_count(&h, "SELECT count(*) FROM member_history WHERE person = 2"), 2);
    assert_int_equal(help_count(&h, "SELECT at_s FROM member_history WHERE person = 2 AND nth = 2"
                                    " AND role = 4"),
                     NOW + 3);
    OK(store_begin(h.s));
    WANT(ERR_BUG, store_member_put(h.s, 99, person, STORE_OWNER, NOW)); /* no such farm */
    store_rollback(h.s);
    help_remove(&h);
}

/* More rows than an array's first room, in the order of ids. */
static void test_many_members(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    OK(store_begin(h.s));
    for (int i = 100; i < 200; i++) {
        char phone[40];
        int64_t id;
        (void)snprintf(phone, sizeof phone, "+447700900%d", i);
        struct store_person p = help_person(phone);
        OK(store_person_put(h.s, &p, NOW, &id));
        OK(store_member_put(h.s, h.farm, id, STORE_WORKER, NOW));
    }
    struct store_member *m;
    int count = 0;
    OK(store_members(h.s, h.farm, &h.a, &m, &count));
    assert_int_equal(count, 102);
    for (int i = 2; i < count; i++)
        assert_true(m[i].person.id > m[i - 1].person.id);
    OK(store_commit(h.s));
    help_remove(&h);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_farms),          cmocka_unit_test(test_people),
        cmocka_unit_test(test_person_refused), cmocka_unit_test(test_members),
        cmocka_unit_test(test_many_members),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
