/* words/match: the lookups for the reader of texts; declared in words.h. In: folded text. Out: hits
 * in the table of phrases. Nothing fails, nothing is allocated; texts longer than the longest
 * phrase are looked at only that far. */
#include <string.h>

#include "words/inside.h"

const char *words_group_name(const struct words *w, int group) {
    return group >= 0 && group < w->group_count ? w->groups[group].name : "";
}

int words_group_kind(const struct words *w, int group) {
    return group >= 0 && group < w->group_count ? w->groups[group].kind : 0;
}

int words_group_language(const struct words *w, int group) {
    return group >= 0 && group < w->group_count ? w->groups[group].language : -1;
}

int words_group_choice(const struct words *w, int group) {
    return group >= 0 && group < w->group_count ? w->groups[group].choice : -1;
}

int words_group_month(const struct words *w, int group) {
    return group >= 0 && group < w->group_count ? w->groups[group].month : 0;
}

/* Byte by byte, among fewer phrases with each, so that a place where none begins costs next to
 * nothing: a text is looked up at every word of it, several times. */
static int front(const struct words *w, struct slice folded, struct words_hit *hits, int most,
                 bool glued) {
    const struct phrases *p = &w->phrases;
    struct phrase_range range = {0, p->count};
    int first[PHRASE_BYTES_MAX]; /* of the phrases that end at a boundary, shortest first */
    int ends = 0, count = 0;
    size_t n = folded.n < PHRASE_BYTES_MAX ? folded.n : PHRASE_BYTES_MAX;
    for (size_t i = 0; i < n; i++) {
        range = phrases_narrow(p, range, i, folded.p[i]);
        if (range.low == range.high)
            break;
        if (p->all[range.low].folded.n == i + 1 && phrases_boundary(folded, i + 1, glued))
            first[ends++] = range.low;
    }
    while (ends > 0) {
        int i = first[--ends];
        struct slice phrase = p->all[i].folded;
        for (; i < p->count && count < most && slice_eq(p->all[i].folded, phrase); i++)
            hits[count++] = (struct words_hit){p->all[i].group, p->all[i].language, phrase.n};
    }
    return count;
}

int words_phrases(const struct words *w, struct slice folded, struct words_hit *hits, int most) {
    return front(w, folded, hits, most, false);
}

int words_glued(const struct words *w, struct slice folded, struct words_hit *hits, int most) {
    return front(w, folded, hits, most, true);
}

bool words_is(const struct words *w, int group, struct slice folded) {
    const struct phrases *p = &w->phrases;
    for (int i = phrases_find(p, folded); i < p->count && slice_eq(p->all[i].folded, folded); i++)
        if (p->all[i].group == group)
            return true;
    return false;
}

struct near {
    int kind, distance;
    bool other_language;
};

static bool nearer(struct near a, struct near b) {
    if (a.distance != b.distance)
        return a.distance < b.distance;
    if (a.other_language != b.other_language)
        return b.other_language;
    return a.kind < b.kind;
}

/* Into the list, sorted, each kind once with its best; how many there are then. */
static int keep(struct near *list, int count, int most, struct near one) {
    for (int i = 0; i < count; i++)
        if (list[i].kind == one.kind) {
            if (!nearer(one, list[i]))
                return count;
            memmove(&list[i], &list[i + 1], (size_t)(count - i - 1) * sizeof *list);
            count--;
            break;
        }
    int at = count;
    while (at > 0 && nearer(one, list[at - 1]))
        at--;
    if (at >= most)
        return count;
    if (count == most)
        count--;
    memmove(&list[at + 1], &list[at], (size_t)(count - at) * sizeof *list);
    list[at] = one;
    return count + 1;
}

int words_near(const struct words *w, int language, struct slice word, int *kinds, int most) {
    enum { LIST = 8, LONGEST = 32, SHORTEST = 3 };
    struct near list[LIST];
    int count = 0, reach = word.n <= 4 ? 1 : 2;
    if (most > LIST)
        most = LIST;
    if (word.n > LONGEST || most < 1)
        return 0;
    for (int i = 0; i < w->phrases.count; i++) {
        const struct phrase *p = &w->phrases.all[i];
        int kind = w->groups[p->group].kind;
        if (!kind || w->forms.kinds[kind].whole || p->folded.n < SHORTEST ||
            slice_has(p->folded, ' '))
            continue;
        int distance = fault_distance(word, p->folded);
        if (distance <= reach)
            count = keep(list, count, most, (struct near){kind, distance, p->language != language});
    }
    for (int i = 0; i < count; i++)
        kinds[i] = list[i].kind;
    return count;
}

void words_clashes(const struct words *w, struct buf *out) {
    const struct phrases *p = &w->phrases;
    for (int i = 0, end; i < p->count; i = end) {
        bool clash = false;
        int kind = w->groups[p->all[i].group].kind;
        for (end = i + 1; end < p->count && slice_eq(p->all[end].folded, p->all[i].folded); end++)
            clash |= w->groups[p->all[end].group].kind != kind;
        if (!clash)
            continue;
        buf_put(out, p->all[i].folded);
        for (int k = i; k < end; k++)
            buf_putf(out, "%s %s %s", k == i ? ":" : ",", w->languages[p->all[k].language].code,
                     w->groups[p->all[k].group].name);
        buf_putc(out, '\n');
    }
}
