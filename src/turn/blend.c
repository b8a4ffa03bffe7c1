/* blend: two feeds for a wanted protein, or the protein of a mix. In: a request's parts; out: an
 * answer; nothing is recorded. The square and the mean are trade's. */
#include "trade/feed.h"
#include "turn/inside.h"

enum { PPM_PERMILLE = 1000, TEN_KG_MG = 10000000, PERCENT_MILLI = 100 };

/* Permille as a percentage with its tenth. */
static struct reply_value percent(int64_t permille) {
    return V_DECIMAL(permille * PERCENT_MILLI);
}

static struct slice part_name(const struct request_part *p, const char *otherwise) {
    return p->feed[0] ? slice_of(p->feed) : slice_of(otherwise);
}

/* The wanted protein stands without a name or a weight: the first such part. */
static int wanted_of(const struct request *r) {
    for (int i = 0; i < r->part_count; i++)
        if (!r->parts[i].feed[0] && r->parts[i].weight_mg < 0)
            return i;
    return -1;
}

struct two {
    const struct request_part *first, *second;
    int64_t first_permille, second_permille, wanted_permille;
};

/* Three shares, none of them with a weight: false, something else is meant. */
static bool two_feeds(const struct request *r, struct two *two) {
    int wanted = wanted_of(r);
    if (r->part_count != 3 || wanted < 0)
        return false;
    for (int i = 0; i < r->part_count; i++)
        if (r->parts[i].weight_mg >= 0 || r->parts[i].share_ppm < 0)
            return false;
    two->first = &r->parts[wanted == 0 ? 1 : 0];
    two->second = &r->parts[wanted == 2 ? 1 : 2];
    two->wanted_permille = r->parts[wanted].share_ppm / PPM_PERMILLE;
    two->first_permille = two->first->share_ppm / PPM_PERMILLE;
    two->second_permille = two->second->share_ppm / PPM_PERMILLE;
    return true;
}

static void say_two(struct turn *t, const struct two *two, bool why) {
    struct feed_square s =
        feed_square(two->first_permille, two->second_permille, two->wanted_permille);
    struct reply_value wanted = percent(two->wanted_permille);
    struct reply_value first = percent(two->first_permille), second = percent(two->second_permille);
    struct reply_value one = V_TEXT(part_name(two->first, "A"));
    struct reply_value other = V_TEXT(part_name(two->second, "B"));
    int64_t low = two->wanted_permille - two->second_permille;
    int64_t high = two->first_permille - two->wanted_permille;
    if (s.reason == FEED_OUTSIDE)
        TURN_SAY(t, BLEND_OUTSIDE, first, second, wanted);
    else if (s.reason != FEED_OK)
        TURN_SAY(t, BLEND_IMPOSSIBLE);
    else if (why)
        TURN_SAY(t, WHY_BLEND, one, percent(low < 0 ? -low : low), other,
                 percent(high < 0 ? -high : high), wanted);
    else
        TURN_SAY(t, BLEND, wanted, V_WEIGHT(s.first_permille * (TEN_KG_MG / 1000)), one, first,
                 V_WEIGHT(s.second_permille * (TEN_KG_MG / 1000)), other, second);
}

/* Every part with its weight and its protein. */
static bool mix_of(const struct request *r, struct feed_part *parts) {
    if (r->part_count < 1 || r->part_count > FEED_PARTS_MOST)
        return false;
    for (int i = 0; i < r->part_count; i++) {
        if (r->parts[i].weight_mg < 0 || r->parts[i].share_ppm < 0)
            return false;
        parts[i] = (struct feed_part){.parts_mg = r->parts[i].weight_mg,
                                      .protein_permille = r->parts[i].share_ppm / PPM_PERMILLE};
    }
    return true;
}

static void say_mix(struct turn *t, const struct feed_part *parts, int count, bool why) {
    struct feed_mix m = feed_mix(parts, count);
    int64_t all_mg = 0, protein_mg = 0;
    for (int i = 0; i < count; i++)
        all_mg += parts[i].parts_mg;
    if (m.reason != FEED_OK) {
        TURN_SAY(t, BLEND_IMPOSSIBLE);
        return;
    }
    protein_mg = all_mg / 1000 * m.protein_permille;
    if (why)
        TURN_SAY(t, WHY_BLEND_MIX, V_WEIGHT(protein_mg), V_WEIGHT(all_mg),
                 percent(m.protein_permille));
    else
        TURN_SAY(t, BLEND_MIX, V_WEIGHT(all_mg), percent(m.protein_permille));
}

static void blend(struct turn *t, const struct request *r, bool why) {
    struct feed_part parts[FEED_PARTS_MOST];
    struct two two;
    if (two_feeds(r, &two))
        say_two(t, &two, why);
    else if (mix_of(r, parts))
        say_mix(t, parts, r->part_count, why);
    else
        TURN_SAY(t, BLEND_HOW);
}

void turn_do_blend(struct turn *t, const struct request *r) {
    struct buf line = buf_make_in(t->arena, 300); /* what a person's row keeps */
    request_write(r, &line);
    if (!buf_err(&line))
        turn_about(t, t->sender, ABOUT_BLEND, 0, buf_slice(&line));
    blend(t, r, false);
}

void turn_why_blend(struct turn *t, struct slice data) {
    struct request r;
    if (request_read(data, &r))
        TURN_SAY(t, WHY_NOTHING);
    else
        blend(t, &r, true);
}
