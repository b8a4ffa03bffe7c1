/* table: TABLE: the farm's own feeding table, or the book's, by which growing fish are fed. In: a
 * request; out: entries and an answer. A table is shares of body weight a day at weights of a fish,
 * straight between them. Limits: as many points as one text takes. */
#include "farm/feeding.h"
#include "trade/book.h"
#include "turn/inside.h"

/* Only a slipped sign goes over these; our own bounds. */
enum {
    SHARE_LEAST_PPM = 1000,
    SHARE_MOST_PPM = 200000,
    FISH_MOST_MG = 100000000,
    POINTS_LEAST = 2
};

/* "10g 5%, 50g 3.5%" */
static struct slice points_text(struct turn *t, const struct table_point *points, int count) {
    struct buf b = buf_make_in(t->arena, 400);
    for (int i = 0; i < count; i++) {
        const struct reply one = {
            REPLY_TABLE_POINT, {V_WEIGHT(points[i].weight_mg), V_CENTI(points[i].share_ppm / 10)}};
        buf_puts(&b, i ? ", " : "");
        buf_put(&b, turn_render(t, t->sender, &one));
    }
    return buf_slice(&b);
}

static struct slice book_text(struct turn *t) {
    struct table_point points[TABLE_MAX];
    int count = book_ration.count < TABLE_MAX ? book_ration.count : TABLE_MAX;
    for (int i = 0; i < count; i++)
        points[i] = (struct table_point){(int64_t)(book_ration.points[i][0] * 1000 + 0.5),
                                         (int64_t)(book_ration.points[i][1] * 10000 + 0.5)};
    return points_text(t, points, count);
}

static void say_table(struct turn *t) {
    const struct farm_state *st = &t->farm->state;
    if (st->table_count)
        TURN_SAY(t, TABLE_OWN, V_TEXT(points_text(t, st->table, st->table_count)));
    else
        TURN_SAY(t, TABLE_BOOK, V_TEXT(book_text(t)));
}

/* Every point can be, and there are two different ones. */
static bool points_possible(struct turn *t, const struct request *r) {
    int different = 0;
    for (int i = 0; i < r->part_count; i++) {
        const struct request_part *p = &r->parts[i];
        if (p->weight_mg < 0 || p->share_ppm < 0 || p->feed[0]) {
            TURN_SAY(t, TABLE_HOW);
            return false;
        }
        if (p->weight_mg < 1 || p->weight_mg > FISH_MOST_MG) {
            TURN_SAY(t, WEIGHT_IMPOSSIBLE, V_WEIGHT(p->weight_mg));
            return false;
        }
        if (p->share_ppm < SHARE_LEAST_PPM || p->share_ppm > SHARE_MOST_PPM) {
            TURN_SAY(t, TABLE_SHARE, V_WEIGHT(p->weight_mg), V_CENTI(p->share_ppm / 10));
            return false;
        }
        bool again = false;
        for (int k = 0; k < i; k++)
            again |= r->parts[k].weight_mg == p->weight_mg;
        different += !again;
    }
    if (different >= POINTS_LEAST)
        return true;
    TURN_SAY(t, TABLE_HOW);
    return false;
}

static void set_table(struct turn *t, const struct request *r) {
    for (int i = 0; i < r->part_count; i++)
        turn_record(t, ENTRY_TABLE, SUBJECT_HATCHERY, 0, t->base_s, r->parts[i].weight_mg,
                    r->parts[i].share_ppm, i == 0);
    if (!turn_commit(t))
        return;
    const struct farm_state *st = &t->farm->state;
    int64_t bursts_mg = feeding_table_bursts(st->table, st->table_count);
    TURN_SAY(t, TABLE_SET, V_TEXT(points_text(t, st->table, st->table_count)));
    if (bursts_mg)
        TURN_SAY(t, TABLE_BURSTS, V_WEIGHT(bursts_mg),
                 V_CENTI(feeding_table_ppm(st->table, st->table_count, bursts_mg) / 10),
                 V_CENTI(ration_ppm(bursts_mg) / 10));
}

void turn_do_table(struct turn *t, struct request *r) {
    bool book = request_chose(r, CHOICE_BOOK);
    if (book && request_has(r, SLOT_PARTS)) {
        TURN_SAY(t, TABLE_HOW);
    } else if (book && !t->farm->state.table_count) {
        say_table(t);
    } else if (book) {
        turn_record(t, ENTRY_TABLE, SUBJECT_HATCHERY, 0, t->base_s, 0, 0, 0);
        if (turn_commit(t))
            TURN_SAY(t, TABLE_BACK, V_TEXT(book_text(t)));
    } else if (request_has(r, SLOT_PARTS)) {
        if (points_possible(t, r))
            set_table(t, r);
    } else {
        say_table(t);
    }
}
