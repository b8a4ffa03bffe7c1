"""The fit of src/trade/growth.c worked out again, in matrices, from the words at its head and the
numbers of the book: prints the error in % of each forecast of growth.chk, by hand:
    python3 tests/checks/growth_again.py
"""
import math

SERIES = [(13, 10.97), (28, 21.9), (42, 43.7), (56, 51.6), (72, 64.1), (84, 84.3), (100, 112.4),
          (113, 137.3), (129, 173.1), (152, 207.3), (183, 254.1), (209, 305.4), (237, 358.4)]
USUAL, LOW, HIGH, WARMEST = 1.16, 0.7, 1.9, 28.0
PRIOR, INTERVAL_DAYS, WANDER = 2, 30, 0.15
SPREAD, LEAST = 0.4, 30

VAR_LOG = (math.log(HIGH / LOW) / (2 * 1.2815515655446004)) ** 2
VAR_MONTHS = PRIOR * VAR_LOG * INTERVAL_DAYS * WARMEST / 1000


def kilo(a, b):
    return WARMEST * (SERIES[b][0] - SERIES[a][0]) / 1000


def error_of(grams):
    return (grams ** (1 / 3) / 3 * SPREAD / math.sqrt(LEAST)) ** 2


def fit(known):
    root, log_tgc = SERIES[0][1] ** (1 / 3), math.log(USUAL)
    p = [[error_of(SERIES[0][1]), 0.0], [0.0, VAR_LOG]]
    for i in range(1, known):
        k = kilo(i - 1, i)
        tgc = math.exp(log_tgc)
        gain = tgc * k
        # F P F' + Q with F = (1 gain; 0 1) and Q of the months and of the wander along the way
        a = (p[0][0] + 2 * gain * p[0][1] + gain * gain * p[1][1]
             + gain * gain * WANDER ** 2 * k / 3 + VAR_MONTHS * tgc * tgc * k)
        b = p[0][1] + gain * p[1][1] + gain * WANDER ** 2 * k / 2
        c = p[1][1] + WANDER ** 2 * k
        off = SERIES[i][1] ** (1 / 3) - root - gain
        of_root, of_log = a / (a + error_of(SERIES[i][1])), b / (a + error_of(SERIES[i][1]))
        root += gain + of_root * off
        log_tgc += of_log * off
        p = [[a - of_root * a, b - of_root * b], [b - of_root * b, c - of_log * b]]
    return root, log_tgc


for known in range(1, len(SERIES)):
    at_root, at_log = fit(known)
    for point in range(known, len(SERIES)):
        got = (at_root + math.exp(at_log) * kilo(known - 1, point)) ** 3
        print(f"use={known} point={point + 1} {100 * (got / SERIES[point][1] - 1):.1f}")
