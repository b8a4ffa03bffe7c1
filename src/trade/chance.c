/* chance: see chance.h. In: parameters and probabilities. Out: the same. No errors: what is outside
 * its range gives the nearest end. */
#include "trade/chance.h"

#include <math.h>

static double polynomial(const double *terms, int count, double x) {
    double sum = 0;
    for (int i = count - 1; i >= 0; i--)
        sum = sum * x + terms[i];
    return sum;
}

enum { PPND_TERMS = 8 };

/* Numerators and denominators of AS 241: the middle, the tails, the far tails. */
static const double middle_over[PPND_TERMS] = {3.3871328727963666080e0,  1.3314166789178437745e+2,
                                               1.9715909503065514427e+3, 1.3731693765509461125e+4,
                                               4.5921953931549871457e+4, 6.7265770927008700853e+4,
                                               3.3430575583588128105e+4, 2.5090809287301226727e+3};
static const double middle_under[PPND_TERMS] = {1.0,
                                                4.2313330701600911252e+1,
                                                6.8718700749205790830e+2,
                                                5.3941960214247511077e+3,
                                                2.1213794301586595867e+4,
                                                3.9307895800092710610e+4,
                                                2.8729085735721942674e+4,
                                                5.2264952788528545610e+3};
static const double tail_over[PPND_TERMS] = {1.42343711074968357734e0,  4.63033784615654529590e0,
                                             5.76949722146069140550e0,  3.64784832476320460504e0,
                                             1.27045825245236838258e0,  2.41780725177450611770e-1,
                                             2.27238449892691845833e-2, 7.74545014278341407640e-4};
static const double tail_under[PPND_TERMS] = {1.0,
                                              2.05319162663775882187e0,
                                              1.67638483018380384940e0,
                                              6.89767334985100004550e-1,
                                              1.48103976427480074590e-1,
                                              1.51986665636164571966e-2,
                                              5.47593808499534494600e-4,
                                              1.05075007164441684324e-9};
static const double far_over[PPND_TERMS] = {6.65790464350110377720e0,  5.46378491116411436990e0,
                                            1.78482653991729133580e0,  2.96560571828504891230e-1,
                                            2.65321895265761230930e-2, 1.24266094738807843860e-3,
                                            2.71155556874348757815e-5, 2.01033439929228813265e-7};
static const double far_under[PPND_TERMS] = {1.0,
                                             5.99832206555887937690e-1,
                                             1.36929880922735805310e-1,
                                             1.48753612908506148525e-2,
                                             7.86869131145613259100e-4,
                                             1.84631831751005468180e-5,
                                             1.42151175831644588870e-7,
                                             2.04426310338993978564e-15};

double chance_normal_quantile(double p) {
    if (!(p > 0))
        return -INFINITY;
    if (!(p < 1))
        return INFINITY;
    double q = p - 0.5;
    if (fabs(q) <= 0.425) {
        double r = 0.180625 - q * q;
        return q * polynomial(middle_over, PPND_TERMS, r) / polynomial(middle_under, PPND_TERMS, r);
    }
    double r = sqrt(-log(q < 0 ? p : 1 - p));
    double z =
        r <= 5 ? polynomial(tail_over, PPND_TERMS, r - 1.6) /
                     polynomial(tail_under, PPND_TERMS, r - 1.6)
               : polynomial(far_over, PPND_TERMS, r - 5) / polynomial(far_under, PPND_TERMS, r - 5);
    return q < 0 ? -z : z;
}

/* Of x over 0. */
static double log_gamma(double x) {
    static const double terms[] = {
        676.5203681218851,  -1259.1392167224028,  771.32342877765313,    -176.61502916214059,
        12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7};
    double sum = 0.99999999999980993, t = x + 6.5;
    for (int i = 0; i < 8; i++)
        sum += terms[i] / (x + i);
    return 0.91893853320467274 /* ln sqrt(2 pi) */ + (x - 0.5) * log(t) - t + log(sum);
}

/* The fraction from its front, by Lentz's way. */
static double beta_fraction(double a, double b, double x) {
    const double tiny = 1e-300;
    double c = 1, d = 1 - (a + b) * x / (a + 1), f;
    d = 1 / (fabs(d) < tiny ? tiny : d);
    f = d;
    for (int m = 1; m <= 10000; m++) {
        double even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
        double odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
        d = 1 + even * d;
        c = 1 + even / c;
        d = 1 / (fabs(d) < tiny ? tiny : d);
        c = fabs(c) < tiny ? tiny : c;
        f *= d * c;
        d = 1 + odd * d;
        c = 1 + odd / c;
        d = 1 / (fabs(d) < tiny ? tiny : d);
        c = fabs(c) < tiny ? tiny : c;
        f *= d * c;
        if (fabs(d * c - 1) < 1e-15)
            break;
    }
    return f;
}

double chance_beta_below(double a, double b, double x) {
    if (!(x > 0))
        return 0;
    if (x >= 1)
        return 1;
    double front = exp(log_gamma(a + b) - log_gamma(a) - log_gamma(b) + a * log(x) + b * log1p(-x));
    /* The fraction is quick on its own side of the mean only. */
    return x < (a + 1) / (a + b + 2) ? front * beta_fraction(a, b, x) / a
                                     : 1 - front * beta_fraction(b, a, 1 - x) / b;
}

double chance_beta_quantile(double a, double b, double p) {
    double low = 0, high = 1;
    if (!(p > 0))
        return 0;
    if (p >= 1)
        return 1;
    while (high - low > 1e-13) {
        double x = (low + high) / 2;
        if (chance_beta_below(a, b, x) < p)
            low = x;
        else
            high = x;
    }
    return (low + high) / 2;
}

enum { CELLS = 1024 };

/* x = u^2 (3 - 2u) is flat at both ends, which takes the edge off a density that is steep there. */
static double bent(double u) {
    return u * u * (3 - 2 * u);
}

void chance_beta_steps(double a, double b, double *out, int count) {
    double mass[CELLS], most = -INFINITY, sum = 0;
    for (int i = 0; i < CELLS; i++) {
        double u = (i + 0.5) / CELLS, x = bent(u), rest = bent(1 - u);
        mass[i] = (a - 1) * log(x) + (b - 1) * log(rest) + log(u * (1 - u));
        most = mass[i] > most ? mass[i] : most;
    }
    for (int i = 0; i < CELLS; i++)
        sum += mass[i] = exp(mass[i] - most);
    double before = 0;
    int cell = 0;
    for (int i = 0; i < count; i++) {
        double wanted = (i + 0.5) / count * sum;
        while (cell < CELLS - 1 && before + mass[cell] < wanted)
            before += mass[cell++];
        double inside = mass[cell] > 0 ? (wanted - before) / mass[cell] : 0.5;
        out[i] = bent((cell + (inside < 1 ? inside : 1)) / CELLS);
    }
}

double chance_t_beyond(double t, double df) {
    return df > 0 ? chance_beta_below(df / 2, 0.5, df / (df + t * t)) : 1;
}
