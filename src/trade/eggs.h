/* eggs: numbers that follow from the weight of the stripped eggs and of the female. Weights are in
 * milligrams, of eggs weighed dry, before any water. Zero or a negative weight gives 0; results
 * stop at INT64_MAX. Pure. */
#ifndef TRADE_EGGS_H
#define TRADE_EGGS_H

#include <stdbool.h>
#include <stdint.h>

struct eggs_range {
    int64_t low, middle, high; /* eggs */
};

int64_t eggs_of_weight(int64_t stripped_mg); /* eggs, rounded to the nearest (BOOK_EGGS_PER_G) */

/* What a female of this weight may give into the bowl, by season. Not what a ripe ovary holds. */
struct eggs_range eggs_expected(int64_t female_mg);

int64_t eggs_room_cm2(int64_t stripped_mg);  /* mesh for one layer, rounded up */
int64_t eggs_square_cm(int64_t stripped_mg); /* side of a square of that room, up to 5 cm */
int64_t eggs_still_ml(int64_t stripped_mg);  /* still water for them, rounded up */

/* False: a digit slipped or the bowl was wet, ask. A female's weight of 0 or less is unknown and
 * cannot contradict. */
bool eggs_plausible(int64_t stripped_mg, int64_t female_mg);

/* Eggs still alive when `white` of `of` looked at are dead, rounded to the nearest. With `of` 0 or
 * less nothing was looked at: all of them. `white` is held to 0..of. */
int64_t eggs_alive(int64_t eggs, int64_t white, int64_t of);

/* Eggs in the ovary of a female so long (Clay 1979), to the nearest: what a ripe one carries, never
 * what comes into the bowl. 0 for lengths that are none (up to 2 m). */
int64_t eggs_in_ovary(int64_t length_mm);

#endif
