/* tables: the tables of the book, and reading between their rows. In: a table and a place. Out: a
 * value. No errors and no state. FAO 362 is named in book.c. */
#include "trade/book.h"

static const double latency_rows[][2] = {
    {20, 21}, {21, 18}, {22, 15.5}, {23, 13.5}, {24, 12}, {25, 11},
    {26, 10}, {27, 9},  {28, 8},    {29, 7.5},  {30, 7},
};

static const double hatching_rows[][2] = {
    {20, 57}, {21, 46}, {22, 38}, {23, 33}, {24, 29}, {25, 27},
    {26, 25}, {27, 23}, {28, 22}, {29, 21}, {30, 20},
};

/* Written out because C has no logarithm in a constant; a test compares each with log(). */
static const double latency_steps[] = {
    -0.15415067982725836, -0.1495317339709637,  -0.13815033848081718, -0.11778303565638351,
    -0.08701137698962981, -0.0953101798043249,  -0.10536051565782628, -0.11778303565638351,
    -0.06453852113757118, -0.06899287148695143,
};

static const double hatching_steps[] = {
    -0.2144098713454552,  -0.19105523676270922,  -0.14107859825990549, -0.12921173148000623,
    -0.07145896398214498, -0.07696104113612832,  -0.08338160893905101, -0.04445176257083381,
    -0.04652001563489282, -0.048790164169432056,
};

#define ROWS(a) ((int)(sizeof(a) / sizeof(a)[0]))

const struct book_table book_latency = {
    .name = "latency",
    .unit = "h",
    .mark = BOOK_MEMORY,
    .source = "FAO 362, after Hogendoorn and Vismans 1980, from memory",
    .count = ROWS(latency_rows),
    .rows = latency_rows,
    .steps = latency_steps,
};

const struct book_table book_hatching = {
    .name = "hatching",
    .unit = "h",
    .mark = BOOK_MEMORY,
    .source = "FAO 362, from memory",
    .count = ROWS(hatching_rows),
    .rows = hatching_rows,
    .steps = hatching_steps,
};

static const double lime_rows[][4] = {{5, 30, 20, 10}, {6, 18, 12, 6}, {6.5, 15, 10, 5}};

const struct book_bands book_lime = {
    .name = "lime",
    .unit = "kg/are",
    .mark = BOOK_QUOTED,
    .source = "Saha et al. 2003 in FAO AFFRIS, quoted; Boyd's full correction is 2-4 times it",
    .count = ROWS(lime_rows),
    .rows = lime_rows,
};

/* -- lines ---------------------------------------------------------------------------------------
 */

static const double ration_points[][2] = {
    {1, 8}, {5, 5}, {10, 5}, {25, 4}, {50, 3.5}, {100, 3}, {200, 2.5}, {400, 2}, {800, 1.5},
};

static const double ration_warm_points[][2] = {
    {18, 0.2}, {20, 0.4}, {22, 0.55}, {24, 0.75}, {26, 0.9}, {28, 1}, {32, 1}, {34, 0.5},
};

const struct book_line book_ration = {
    .name = "ration",
    .unit = "% a day",
    .mark = BOOK_MEMORY,
    .source =
        "general, from memory, low confidence; dry feed, 28-30 degC; agrees with published 5 % "
        "at 5.9 g and 4 % to market",
    .count = ROWS(ration_points),
    .points = ration_points,
};

const struct book_line book_ration_warm = {
    .name = "ration by water",
    .unit = "times",
    .mark = BOOK_MEMORY,
    .source = "general, from memory, low confidence",
    .count = ROWS(ration_warm_points),
    .points = ration_warm_points,
};

double book_line_at(const struct book_line *line, double x) {
    const double(*p)[2] = line->points;
    if (x <= p[0][0])
        return p[0][1];
    for (int i = 1; i < line->count; i++)
        if (x <= p[i][0])
            return p[i - 1][1] +
                   (p[i][1] - p[i - 1][1]) * (x - p[i - 1][0]) / (p[i][0] - p[i - 1][0]);
    return p[line->count - 1][1];
}

/* -- terms ---------------------------------------------------------------------------------------
 */

static const double oxygen_terms[] = {-139.34411, 1.575701e5, -6.642308e7, 1.243800e10,
                                      -8.621949e11};
static const double vapour_terms[] = {11.8571, -3840.70, -216961};
static const double theta_terms[] = {0.000975, -1.426e-5, 6.436e-8};

/* The terms and theta were read in R/oxySol.R of the R package wql (Jassby and Cloern), after
 * Benson and Krause's equations 24 and 32; the vapour in the short form of APHA is from memory.
 * tests/checks holds all of them against the printed table, two other formulas and another vapour.
 */
#define BENSON "Benson and Krause 1984, as in APHA Standard Methods 4500-O, fresh water"

const struct book_terms book_oxygen = {
    .name = "oxygen",
    .unit = "ln(mg/l)",
    .mark = BOOK_QUOTED,
    .source = BENSON,
    .count = ROWS(oxygen_terms),
    .terms = oxygen_terms,
};

const struct book_terms book_oxygen_vapour = {
    .name = "oxygen, vapour",
    .unit = "ln(atm)",
    .mark = BOOK_MEMORY,
    .source = BENSON "; from memory",
    .count = ROWS(vapour_terms),
    .terms = vapour_terms,
};

const struct book_terms book_oxygen_theta = {
    .name = "oxygen, theta",
    .unit = "1/atm",
    .mark = BOOK_QUOTED,
    .source = BENSON,
    .count = ROWS(theta_terms),
    .terms = theta_terms,
};

double book_terms_at(const struct book_terms *terms, double x) {
    double sum = 0;
    for (int i = terms->count - 1; i >= 0; i--)
        sum = sum * x + terms->terms[i];
    return sum;
}
