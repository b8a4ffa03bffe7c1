/* service: the one thread's loop: requests and texts in, rounds of the desk, sends out, results
 * home. `serve` runs it with everything; `phone` without a daemon runs it alone. */
#ifndef MAIN_SERVICE_H
#define MAIN_SERVICE_H

#include "gate/gate.h"
#include "link/link.h"
#include "main/door.h"
#include "main/settings.h"

/* A round holds fewer messages than the desk keeps farms, for each may be another farm's; what is
 * over stays in the gate for the next one. The rest of its room is for results of sending, so that
 * no flood of texts keeps them from the store until their leases end. */
enum {
    SERVICE_REQUESTS_MAX = 128,
    SERVICE_DOOR_TEXTS_MAX = 64,
    SERVICE_ITEMS_MAX = 512,
    SERVICE_ATTEMPTS_MAX = 512,
    SERVICE_SENDS_MAX = 32,
    SERVICE_EARLY_MAX = 64, /* receipts that came before their text's result */
    SERVICE_EARLY_S = 60
};

struct service {
    struct settings *settings, *retired; /* the generation before, while its sends are under way */
    bool reload_wanted;                  /* asked for while there was one: done when it is gone */
    const char *settings_path;
    struct store *store;
    struct desk *desk;
    struct gate *gate; /* NULL: alone */
    struct link *link;
    struct door *door; /* NULL: alone */

    struct desk_item items[SERVICE_ITEMS_MAX];
    struct gate_request *requests[SERVICE_ITEMS_MAX]; /* beside items; NULL: not from the gate */
    int item_count;
    /* Results of sending that are not yet in the store: kept until they are. */
    struct desk_item attempts[SERVICE_ATTEMPTS_MAX];
    char attempt_references[SERVICE_ATTEMPTS_MAX][40]; /* of a receipt of our own making */
    char attempt_ids[SERVICE_ATTEMPTS_MAX][LINK_PROVIDER_ID_MAX];
    char attempt_reasons[SERVICE_ATTEMPTS_MAX][LINK_REASON_MAX];
    int attempt_count;
    struct {
        int64_t dispatch, farm; /* dispatch 0: free */
        bool no_receipts;       /* of its provider: taken is all that will ever be known */
        bool retired;           /* its profile is of the generation before */
        char reference[40];
    } under_way[SERVICE_SENDS_MAX];
    /* A receipt that names a text by the provider's id can be faster than the answer that tells us
     * this id. Such are kept for a minute and put in again behind the result. */
    struct {
        char link[40], provider_id[LINK_PROVIDER_ID_MAX];
        enum store_receipt state;
        int64_t until_s; /* 0: free */
    } early[SERVICE_EARLY_MAX];
    int early_next;
    struct arena arena; /* of one turn of the loop */

    int64_t idle_until_ms; /* nothing was to be done: wait for an event at least so long */
    int64_t probed_s;
    enum err probe_e;
    bool quit;
    /* alone: the phone that is played */
    char alone[24];
    void (*alone_text)(struct slice body);
};

enum err service_open(struct service *s, const char *settings_path) MUST_LOOK; /* told on stderr */
enum err service_listen(struct service *s) MUST_LOOK; /* gate and door; logs event=listening */
void service_turn(struct service *s, const int *extra_fds, int extra_count);
/* A text of the phone that is played, in the next round. */
void service_text(struct service *s, struct slice phone, struct slice text);
void service_reload(struct service *s);
void service_close(struct service *s);

/* answers.c: requests of the gate to items, and back. */
void service_take_requests(struct service *s, int64_t now_s);
void service_answer_requests(struct service *s, enum err round_e);

#endif
