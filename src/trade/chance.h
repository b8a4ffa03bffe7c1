/* chance: the normal, Student's and the beta distribution, as far as learning and promises need
 * them. Pure, double precision.
 *
 * Sources: normal quantile by Wichura 1988, algorithm AS 241 (PPND16), Applied Statistics 37:477,
 * from memory; gamma function by Lanczos 1964 with the nine terms for g = 7 in wide use; the beta
 * distribution by the continued fraction 8.17.22 of the NIST Digital Library of Mathematical
 * Functions. All of them are held against R in the tests. */
#ifndef TRADE_CHANCE_H
#define TRADE_CHANCE_H

/* p over 0 and under 1; else an infinity of its side. Good to 1e-14. */
double chance_normal_quantile(double p);

/* P(X <= x), a and b over 0 to 10 000. Good to 1e-10. */
double chance_beta_below(double a, double b, double x);

/* The x with P(X <= x) = p, to 1e-12. */
double chance_beta_quantile(double a, double b, double p);

/* The quantiles of (i + 1/2) / count for i = 0 .. count - 1, rising, quickly: good to 1e-3 for a
 * and b from 0.5. */
void chance_beta_steps(double a, double b, double *out, int count);

/* P(|T| >= |t|) of Student's distribution with df degrees of freedom, over 0. */
double chance_t_beyond(double t, double df);

#endif
