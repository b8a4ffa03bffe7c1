/* words/mo: see mo.h. In: the bytes of a .mo file, from anywhere. Out: a table, or one fault. The
 * form is that of the GNU gettext manual, "The Format of GNU MO Files" (from memory): seven words
 * of 32 bits (magic, revision, count, offset of the table of originals, offset of the table of
 * translations, size and offset of a hash table, which is not used here), each table row a length
 * and an offset, each text ended by a zero byte. A key is "msgctxt EOT msgid", plural forms stand
 * behind zero bytes. Both byte orders are read. No number in the file is believed before it is
 * checked against the bytes there are. Errors: whoever made the catalogue. */
#include "words/mo.h"

#include <stdlib.h>

enum { HEAD_BYTES = 28, ROW_BYTES = 8, CONTEXT_END = 4 };

struct reader {
    struct slice bytes;
    bool swapped; /* the file's byte order is the big end first */
};

static uint32_t word(const struct reader *r, size_t at) {
    const unsigned char *p = (const unsigned char *)r->bytes.p + at;
    if (r->swapped)
        return (uint32_t)p[0] << 24 | (uint32_t)p[1] << 16 | (uint32_t)p[2] << 8 | p[3];
    return (uint32_t)p[3] << 24 | (uint32_t)p[2] << 16 | (uint32_t)p[1] << 8 | p[0];
}

/* The text that a table row points at; false when it does not lie wholly in the file. */
static bool text(const struct reader *r, size_t table, uint32_t row, struct slice *out) {
    size_t at = table + (size_t)row * ROW_BYTES;
    size_t length = word(r, at), offset = word(r, at + 4);
    if (offset >= r->bytes.n || length >= r->bytes.n - offset)
        return false;
    if (r->bytes.p[offset + length] != '\0')
        return false;
    *out = (struct slice){r->bytes.p + offset, length};
    return true;
}

static bool table_fits(const struct reader *r, size_t offset, uint32_t count) {
    return offset <= r->bytes.n && count <= (r->bytes.n - offset) / ROW_BYTES;
}

static int by_context(const void *a, const void *b) {
    return slice_cmp(((const struct mo_entry *)a)->context, ((const struct mo_entry *)b)->context);
}

/* NULL when the head is sound, else what is wrong with it. */
static const char *head(struct reader *r, uint32_t *count, size_t *keys, size_t *texts) {
    if (r->bytes.n < HEAD_BYTES)
        return "is too short for a compiled catalogue";
    if (word(r, 0) != 0x950412deu) {
        r->swapped = true;
        if (word(r, 0) != 0x950412deu)
            return "is not a compiled catalogue (make it with msgfmt)";
    }
    if (word(r, 4) >> 16 > 1)
        return "is a compiled catalogue of a later form";
    *count = word(r, 8);
    *keys = word(r, 12);
    *texts = word(r, 16);
    if (*count > MO_ENTRIES_MAX)
        return "has more entries than are taken";
    if (!table_fits(r, *keys, *count) || !table_fits(r, *texts, *count))
        return "is cut short: its tables lie outside the file";
    return NULL;
}

/* One row into the table; NULL when it is sound. Plural forms: the first is kept. */
static const char *take(const struct reader *r, size_t keys, size_t texts, uint32_t row,
                        struct mo *out) {
    struct slice key, value, rest;
    if (!text(r, keys, row, &key) || !text(r, texts, row, &value))
        return "is cut short: a text lies outside the file";
    if (!slice_is_utf8(key) || !slice_is_utf8(value))
        return "holds a text that is not UTF-8";
    if (!key.n) {
        out->header = value;
        return NULL;
    }
    struct mo_entry *entry = &out->entries[out->count];
    if (!slice_cut(key, CONTEXT_END, &entry->context, &rest) || !entry->context.n)
        return "has an entry without msgctxt: every entry needs one";
    (void)slice_cut(value, '\0', &entry->text, &rest);
    out->count++;
    return NULL;
}

enum err mo_read(struct slice bytes, const char *name, struct arena *arena, struct faults *faults,
                 struct mo *out) {
    struct reader r = {bytes, false};
    uint32_t count;
    size_t keys, texts;
    *out = (struct mo){0};
    const char *wrong = head(&r, &count, &keys, &texts);
    if (!wrong) {
        out->entries = ARENA_ARRAY(arena, count ? count : 1, struct mo_entry);
        if (!out->entries)
            return ERR_NOMEM;
    }
    for (uint32_t row = 0; !wrong && row < count; row++)
        wrong = take(&r, keys, texts, row, out);
    if (wrong) {
        faults_add(faults, name, 0, "%s", wrong);
        return ERR_SETTINGS;
    }
    qsort(out->entries, (size_t)out->count, sizeof *out->entries, by_context);
    for (int i = 1; i < out->count; i++)
        if (slice_eq(out->entries[i - 1].context, out->entries[i].context)) {
            faults_add(faults, name, 0, "msgctxt \"%.*s\" stands twice",
                       SLICE_ARG(slice_head(out->entries[i].context, 60)));
            return ERR_SETTINGS;
        }
    return ERR_OK;
}

struct slice mo_get(const struct mo *mo, struct slice context) {
    int low = 0, high = mo->count;
    while (low < high) {
        int middle = low + (high - low) / 2;
        int c = slice_cmp(mo->entries[middle].context, context);
        if (c == 0)
            return mo->entries[middle].text;
        if (c < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return (struct slice){NULL, 0};
}
