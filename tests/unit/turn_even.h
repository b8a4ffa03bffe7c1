/* turn_even: a farm's state and plan as two replays of one season can compare them. Spawns, brood
 * fish and cycles are numbered in the order of saying, which lateness changes; here they are
 * numbered in the order of what happened, and then whole states must have one digest. Written out
 * only to name what differs. */
#ifndef TURN_EVEN_H
#define TURN_EVEN_H

#include <stdlib.h>

#include "base/buf.h"
#include "farm/plan.h"

/* A place in an array whose numbers are given out in the order of saying: 1, 2, ...; 0 none. */
#define EVEN_PLACE(array, count, field, wanted, out)                                               \
    for (int k_ = 0; k_ < (count); k_++)                                                           \
        if ((array)[k_].field == (wanted))                                                         \
            (out) = k_ + 1;

static inline int64_t even_spawn(const struct farm_state *st, int64_t number) {
    int64_t at = 0;
    EVEN_PLACE(st->spawns, st->spawn_count, number, number, at)
    return at;
}

static inline int64_t even_brood(const struct farm_state *st, int64_t id) {
    int64_t at = 0;
    EVEN_PLACE(st->brood, st->brood_count, id, id, at)
    return at;
}

static inline int64_t even_cycle(const struct farm_state *st, int64_t number) {
    int64_t at = 0;
    EVEN_PLACE(st->cycles, st->cycle_count, number, number, at)
    return at;
}

#define EVEN_COPY(arena, from, to, array, count, type)                                             \
    do {                                                                                           \
        (to)->array = ARENA_ARRAY((arena), (size_t)(from)->count + 1, type);                       \
        for (int k_ = 0; k_ < (from)->count; k_++)                                                 \
            (to)->array[k_] = (from)->array[k_];                                                   \
    } while (0)

/* The same state with even numbers; readings are shared with `st`. */
static inline struct farm_state even_state(const struct farm_state *st, struct arena *arena) {
    struct farm_state even = *st;
    EVEN_COPY(arena, st, &even, spawns, spawn_count, struct spawn);
    EVEN_COPY(arena, st, &even, brood, brood_count, struct brood);
    EVEN_COPY(arena, st, &even, ponds, pond_count, struct pond);
    EVEN_COPY(arena, st, &even, cycles, cycle_count, struct cycle);
    EVEN_COPY(arena, st, &even, moves, move_count, struct fish_move);
    for (int i = 0; i < even.spawn_count; i++) {
        struct spawn *s = &even.spawns[i];
        s->number = i + 1;
        s->female = even_brood(st, s->female);
        s->bowl = even_spawn(st, s->bowl);
        for (int k = 0; k < s->male_count; k++)
            s->male[k] = even_brood(st, s->male[k]);
    }
    for (int i = 0; i < even.brood_count; i++)
        even.brood[i].id = i + 1;
    for (int i = 0; i < even.pond_count; i++) {
        even.ponds[i].spawn = even_spawn(st, even.ponds[i].spawn);
        even.ponds[i].cycle = even_cycle(st, even.ponds[i].cycle);
    }
    for (int i = 0; i < even.move_count; i++) {
        even.moves[i].spawn = even_spawn(st, even.moves[i].spawn);
        even.moves[i].from = even_cycle(st, even.moves[i].from);
        even.moves[i].to = even_cycle(st, even.moves[i].to);
    }
    for (int i = 0; i < even.cycle_count; i++) {
        even.cycles[i].number = i + 1;
        even.cycles[i].spawn = even_spawn(st, even.cycles[i].spawn);
    }
    return even;
}

/* -- written out: of an even state --------------------------------------------------------------
 */

#define EVEN_PUT(b, name, value) buf_putf((b), " " name " %lld", (long long)(value))

static inline void even_put_water(struct buf *b, const struct water_log *log) {
    buf_puts(b, " water");
    for (int i = 0; i < log->count; i++)
        buf_putf(b, " %lld=%lld", (long long)log->readings[i].at_s,
                 (long long)log->readings[i].mdegc);
    buf_putc(b, '\n');
}

static inline void even_put_spawn(struct buf *b, const struct spawn *s) {
    buf_putf(b, "spawn %d female %d tag %d", (int)s->number, (int)s->female, s->tag);
    EVEN_PUT(b, "weight", s->weight_mg);
    EVEN_PUT(b, "injected", s->injected_s);
    EVEN_PUT(b, "hormone", s->hormone);
    for (int i = 0; i < s->male_count; i++)
        buf_putf(b, " male %d/%d", (int)s->male[i], (int)s->male_use[i]);
    EVEN_PUT(b, "tank", s->tank);
    EVEN_PUT(b, "follows", s->follows);
    EVEN_PUT(b, "own", s->own_s);
    EVEN_PUT(b, "waits", s->waits);
    EVEN_PUT(b, "waited", s->waited_s);
    EVEN_PUT(b, "no-eggs", s->no_eggs_s);
    EVEN_PUT(b, "stripped", s->stripped_s);
    EVEN_PUT(b, "eggs", s->eggs_mg);
    EVEN_PUT(b, "layer", s->layer);
    EVEN_PUT(b, "bowl", s->bowl);
    EVEN_PUT(b, "with", s->bowl_with);
    EVEN_PUT(b, "white", s->white);
    EVEN_PUT(b, "of", s->white_of);
    EVEN_PUT(b, "white-at", s->white_s);
    EVEN_PUT(b, "frames", s->frames_s);
    EVEN_PUT(b, "spoilt", s->spoilt_s);
    EVEN_PUT(b, "hatched-at", s->hatched_s);
    EVEN_PUT(b, "hatched", s->hatched);
    EVEN_PUT(b, "how", s->hatch_how);
    EVEN_PUT(b, "larvae", s->larvae_s);
    EVEN_PUT(b, "fed", s->fed_s);
    EVEN_PUT(b, "graded", s->graded_s);
    EVEN_PUT(b, "died", s->died);
    EVEN_PUT(b, "counted-at", s->counted_s);
    EVEN_PUT(b, "counted", s->counted);
    EVEN_PUT(b, "taken", s->taken);
    for (int i = 0; i < s->event_count; i++) {
        EVEN_PUT(b, "event", s->events[i].at_s);
        EVEN_PUT(b, "what", s->events[i].what);
        EVEN_PUT(b, "fish", s->events[i].count);
    }
    EVEN_PUT(b, "gone", s->gone_s);
    EVEN_PUT(b, "reported", s->reported_s);
    EVEN_PUT(b, "closed", s->closed_s);
    EVEN_PUT(b, "hand", s->hands.who[0]);
    even_put_water(b, &s->water);
}

static inline void even_put_pond(struct buf *b, const struct pond *p) {
    buf_putf(b, "pond %d", p->number);
    EVEN_PUT(b, "area", p->area_cm2);
    EVEN_PUT(b, "depth", p->depth_mm);
    EVEN_PUT(b, "fence", p->fence);
    EVEN_PUT(b, "soil-ph", p->soil_ph_milli);
    EVEN_PUT(b, "soil", p->soil);
    EVEN_PUT(b, "ready", p->ready_s);
    EVEN_PUT(b, "planned", p->planned_s);
    EVEN_PUT(b, "for", p->spawn);
    for (int i = 0; i <= PREP_FILL; i++)
        EVEN_PUT(b, "done", p->done_s[i]);
    EVEN_PUT(b, "lime", p->lime);
    EVEN_PUT(b, "ph", p->ph_milli);
    EVEN_PUT(b, "ph-at", p->ph_s);
    EVEN_PUT(b, "cycle", p->cycle);
    EVEN_PUT(b, "hand", p->hands.who[0]);
    buf_putc(b, '\n');
}

static inline void even_put_cycle(struct buf *b, const struct cycle *c) {
    buf_putf(b, "cycle %d pond %d", (int)c->number, c->pond);
    EVEN_PUT(b, "stocked", c->stocked_s);
    EVEN_PUT(b, "count", c->count);
    EVEN_PUT(b, "mean", c->mean_ug);
    EVEN_PUT(b, "of", c->spawn);
    EVEN_PUT(b, "died", c->died);
    EVEN_PUT(b, "counted-at", c->counted_s);
    EVEN_PUT(b, "counted", c->counted);
    EVEN_PUT(b, "taken", c->taken);
    EVEN_PUT(b, "graded", c->graded_s);
    EVEN_PUT(b, "grades", c->grades);
    EVEN_PUT(b, "out", c->out);
    EVEN_PUT(b, "harvested", c->harvested);
    EVEN_PUT(b, "weight", c->harvested_mg);
    EVEN_PUT(b, "harvested-at", c->harvested_s);
    EVEN_PUT(b, "closed", c->closed_s);
    EVEN_PUT(b, "net-out", c->net_out);
    EVEN_PUT(b, "hand", c->hands.who[0]);
    buf_putc(b, '\n');
}

static inline void even_put_state(struct buf *b, const struct farm_state *st) {
    for (int i = 0; i < st->brood_count; i++) {
        const struct brood *f = &st->brood[i];
        buf_putf(b, "brood %d sex %d tag %d", i + 1, (int)f->sex, f->tag);
        EVEN_PUT(b, "weight", f->weight_mg);
        EVEN_PUT(b, "weighed", f->weighed_s);
        EVEN_PUT(b, "since", f->since_s);
        EVEN_PUT(b, "pond", f->pond);
        EVEN_PUT(b, "born", f->born_s);
        EVEN_PUT(b, "died", f->died_s);
        EVEN_PUT(b, "spent", f->spent_s);
        buf_putc(b, '\n');
    }
    for (int i = 0; i < st->spawn_count; i++)
        even_put_spawn(b, &st->spawns[i]);
    for (int i = 0; i < st->tank_count; i++) {
        buf_putf(b, "tank %d", st->tanks[i].number);
        EVEN_PUT(b, "volume", st->tanks[i].volume_ml);
        even_put_water(b, &st->tanks[i].water);
    }
    for (int i = 0; i < st->pond_count; i++)
        even_put_pond(b, &st->ponds[i]);
    for (int i = 0; i < st->cycle_count; i++)
        even_put_cycle(b, &st->cycles[i]);
    buf_putf(b, "hatchery source %d", (int)st->source);
    EVEN_PUT(b, "air-off", st->air_off_s);
    EVEN_PUT(b, "air-hand", st->air_person);
    even_put_water(b, &st->water);
    buf_putf(b, "digest %llx\n", (unsigned long long)farm_digest(st)); /* whatever else there is */
}

/* The tasks that a farm would tell which had told nothing yet, seen from an hour. */
static inline void even_put_plan(struct buf *b, const struct farm_state *st, int64_t now_s) {
    static struct task tasks[PLAN_MOST];
    const struct plan_view view = {.zone = &zone_utc, .now_s = now_s};
    int n = farm_plan(st, &view, tasks, PLAN_MOST);
    buf_putf(b, "plan at %lld, tasks %d\n", (long long)now_s, n);
    for (int i = 0; i < n; i++)
        buf_putf(b,
                 "task due %lld kind %d subject %lld nth %d stage %d hour %lld useful %lld "
                 "level %d hand %lld\n",
                 (long long)tasks[i].due_s, (int)tasks[i].key.kind, (long long)tasks[i].key.subject,
                 tasks[i].key.nth, (int)tasks[i].key.stage, (long long)tasks[i].hour_s,
                 (long long)tasks[i].useful_s, (int)tasks[i].level, (long long)tasks[i].hand);
}

/* The lines in which two of these first differ, from shortly before that place on. */
static inline void even_tell(const char *on_time, const char *got) {
    size_t same = 0, line = 0;
    while (on_time[same] && on_time[same] == got[same]) {
        line = on_time[same] == '\n' ? same + 1 : line;
        same++;
    }
    size_t from = same > line + 120 ? same - 120 : line;
    const char *a = on_time + from, *b = got + from;
    print_error("%.*s ...\nin time: %.*s\nlate:    %.*s\n", 40, on_time + line,
                (int)strcspn(a, "\n"), a, (int)strcspn(b, "\n"), b);
}

#endif
