/* retry: see retry.h. In: how often, how long useful, what the provider asked, one random number.
 * Out: the instant of the next try, or that there is none. No errors.
 *
 * Full jitter (common practice, no source that can be cited by clause): the wait is spread over the
 * whole range and not around its end, so that texts that failed together do not come back together.
 * The range doubles until it reaches its cap. What is left of evenness: random modulo a range of at
 * most 901 values out of 2^64 is even to one part in 10^16. */
#include "link/retry.h"

int64_t link_retry_at(int64_t now_s, int64_t tries, int64_t useful_s, int64_t retry_after_s,
                      uint64_t random) {
    int64_t most_s = LINK_RETRY_BASE_S;
    for (int64_t i = 0; i < tries && most_s < LINK_RETRY_CAP_S; i++)
        most_s *= 2;
    if (most_s > LINK_RETRY_CAP_S)
        most_s = LINK_RETRY_CAP_S;
    if (now_s <= useful_s && most_s > useful_s - now_s)
        most_s = useful_s - now_s; /* the last try is still worth one */
    int64_t wait_s = (int64_t)(random % ((uint64_t)most_s + 1));
    if (retry_after_s > LINK_RETRY_AFTER_CAP_S)
        retry_after_s = LINK_RETRY_AFTER_CAP_S;
    if (wait_s < retry_after_s)
        wait_s = retry_after_s;
    if (now_s > useful_s || wait_s > useful_s - now_s)
        return -1;
    return now_s + wait_s;
}
