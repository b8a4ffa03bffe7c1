/* retry: when a failed send is tried again. Pure. */
#ifndef LINK_RETRY_H
#define LINK_RETRY_H

#include <stdint.h>

enum {
    LINK_RETRY_BASE_S = 4,
    LINK_RETRY_CAP_S = 15 * 60,
    LINK_RETRY_AFTER_CAP_S = 60 * 60 /* what a provider may ask for at most */
};

/* Full jitter: now plus a whole number of seconds taken evenly from 0 to
 * min(LINK_RETRY_CAP_S, LINK_RETRY_BASE_S * 2^tries), but no sooner than the provider's
 * retry_after_s (0 or less: it named none). `tries` are the tries before the one that just failed,
 * so 0 after the first. `random` is evenly spread over all of its range. -1: that instant lies
 * after useful_s, the text has expired and is not tried again. */
int64_t link_retry_at(int64_t now_s, int64_t tries, int64_t useful_s, int64_t retry_after_s,
                      uint64_t random);

#endif
