/* latency: the hours of a female by her water. In: readings and the instant of the injection. Out:
 * instants or the reason why there is none. The table is book_latency, the multiples are the
 * book's; the arithmetic is progress.h's. */
#include "trade/latency.h"

struct latency latency_of(struct water_series water, int64_t injected_s) {
    return (struct latency){
        .look = progress_reach(&book_latency, water, injected_s, 1.0),
        .most = progress_reach(&book_latency, water, injected_s, book_number(BOOK_READY_MOST)),
        .end = progress_reach(&book_latency, water, injected_s, book_number(BOOK_READY_END)),
    };
}

struct progress latency_plan(struct water_series water, int64_t look_s) {
    return progress_start(&book_latency, water, look_s, 1.0);
}
