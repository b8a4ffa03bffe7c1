/* text_bench: what reading one text costs, over a dozen texts as they are meant to be sent, beside
 * folding them alone, and beside a pass over the same bytes that only copies and sums them, which
 * any reader must do. Prints the median nanoseconds per text of all three and the ratios. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "support/grammar.h"
#include "text/text.h"

enum { ROUNDS = 101, CALLS = 200 };

static const char *const texts[] = {
    "inject f3 1.2kg 18:30 t24",
    "Inject F3 1,2 kg 6.30pm 24C",
    "plan f3 6am t28",
    "temp f3 22",
    "wait f3",
    "strip f3 150g 07:20",
    "white f3 30 of 100",
    "frames f3",
    "no eggs f3",
    "24",
    "dunga sindano f3 kilo 1.2 saa 12:30 jioni t24",
    "sprit f3 150g",
};
enum { TEXTS = sizeof texts / sizeof *texts };

static struct test_grammar grammar;
static struct text_reader *reader;
static struct arena arena;
static volatile unsigned sink;

static void read_all(void) {
    struct text_result result;
    for (int i = 0; i < TEXTS; i++) {
        arena_reset(&arena);
        if (text_read(reader, grammar.en, slice_of(texts[i]), &arena, &result) != ERR_OK)
            exit(1);
        sink += result.request.has;
    }
}

static void fold_all(void) {
    for (int i = 0; i < TEXTS; i++) {
        arena_reset(&arena);
        struct buf folded = buf_make_in(&arena, TEXT_BYTES_MAX);
        if (words_fold(slice_of(texts[i]), &folded) != ERR_OK)
            exit(1);
        sink += (unsigned)folded.n;
    }
}

static void copy_all(void) {
    char copy[TEXT_BYTES_MAX];
    for (int i = 0; i < TEXTS; i++) {
        size_t n = strlen(texts[i]);
        unsigned sum = 0;
        memcpy(copy, texts[i], n);
        for (size_t k = 0; k < n; k++)
            sum += (unsigned char)copy[k];
        sink += sum;
    }
}

static int by_value(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double round_ns(void (*work)(void)) {
    struct timespec a, b;
    clock_gettime(CLOCK_MONOTONIC, &a);
    for (int i = 0; i < CALLS; i++)
        work();
    clock_gettime(CLOCK_MONOTONIC, &b);
    double ns = (double)(b.tv_sec - a.tv_sec) * 1e9 + (double)(b.tv_nsec - a.tv_nsec);
    return ns / CALLS / TEXTS;
}

int main(void) {
    double reading[ROUNDS], folding[ROUNDS], copying[ROUNDS];
    arena = arena_make(256 * 1024);
    if (!test_grammar_load(&grammar))
        return 1;
    reader = text_reader_make(&grammar.arena, grammar.words, grammar.forms, &grammar.faults);
    if (!reader) {
        fprintf(stderr, "%s", buf_str(&grammar.faults.text));
        return 1;
    }
    for (int i = 0; i < ROUNDS; i++) { /* in turn, so that all see the same machine */
        reading[i] = round_ns(read_all);
        folding[i] = round_ns(fold_all);
        copying[i] = round_ns(copy_all);
    }
    qsort(reading, ROUNDS, sizeof *reading, by_value);
    qsort(folding, ROUNDS, sizeof *folding, by_value);
    qsort(copying, ROUNDS, sizeof *copying, by_value);
    double read_ns = reading[ROUNDS / 2], fold_ns = folding[ROUNDS / 2];
    double copy_ns = copying[ROUNDS / 2];
    printf("reading a text: %.0f ns\n", read_ns);
    printf("folding it: %.0f ns\n", fold_ns);
    printf("copying and summing it: %.1f ns\n", copy_ns);
    printf("read / fold: %.1f\n", read_ns / fold_ns);
    printf("read / copy: %.0f\n", read_ns / copy_ns);
    text_reader_free(reader);
    test_grammar_free(&grammar);
    arena_free(&arena);
    return 0;
}
