/* Whom the link trusts: a provider with a certificate that nobody vouches for gets nothing, not
 * even the text. The server is the openssl command (Debian: openssl), on a free port of 127.0.0.1,
 * with a key and a certificate made for this run; it ends after a minute whatever happens here. */
#include <curl/curl.h>
#include <poll.h>
#include <sys/wait.h>

#include "unit/link_server.h"

enum { OUTPUT_MAX = 4096 };

struct tls_server {
    pid_t pid;
    int in;  /* its standard input, held open: it ends a connection at the end of it */
    int out; /* what it prints: the port, later what it is sent */
    int port;
    char folder[512];
    char text[OUTPUT_MAX];
    size_t n;
};

/* Runs a program between two pipes. */
static pid_t run(const char *const *argv, int *in, int *out) {
    int ends[2], from[2];
    assert_int_equal(pipe(ends), 0);
    assert_int_equal(pipe(from), 0);
    pid_t pid = fork();
    assert_true(pid >= 0);
    if (pid == 0) {
        union {
            const char *const *in;
            char *const *out;
        } args = {argv};
        (void)dup2(from[0], 0);
        (void)dup2(ends[1], 1);
        (void)dup2(ends[1], 2);
        (void)close(ends[0]);
        (void)close(ends[1]);
        (void)close(from[0]);
        (void)close(from[1]);
        execvp(argv[0], args.out);
        _exit(127);
    }
    (void)close(ends[1]);
    (void)close(from[0]);
    *in = from[1];
    *out = ends[0];
    return pid;
}

static void read_more(struct tls_server *t, int wait_ms) {
    struct pollfd p = {.fd = t->out, .events = POLLIN};
    if (poll(&p, 1, wait_ms) <= 0 || t->n == sizeof t->text - 1)
        return;
    ssize_t got = read(t->out, t->text + t->n, sizeof t->text - 1 - t->n);
    if (got > 0)
        t->n += (size_t)got;
    t->text[t->n] = '\0';
}

static void tls_open(struct tls_server *t) {
    char key[560], cert[560];
    memset(t, 0, sizeof *t);
    (void)snprintf(t->folder, sizeof t->folder, "%s/link_tls_XXXXXX", BUILD_DIR);
    if (strlen(t->folder) >= sizeof t->folder - 1 || !mkdtemp(t->folder))
        fail_msg("no folder %s: %s", t->folder, strerror(errno));
    (void)snprintf(key, sizeof key, "%s/key.pem", t->folder);
    (void)snprintf(cert, sizeof cert, "%s/cert.pem", t->folder);
    const char *const make[] = {"openssl",
                                "req",
                                "-x509",
                                "-newkey",
                                "ec",
                                "-pkeyopt",
                                "ec_paramgen_curve:P-256",
                                "-nodes",
                                "-days",
                                "2",
                                "-subj",
                                "/CN=127.0.0.1",
                                "-addext",
                                "subjectAltName=IP:127.0.0.1",
                                "-keyout",
                                key,
                                "-out",
                                cert,
                                NULL};
    int status, in, out;
    pid_t pid = run(make, &in, &out);
    assert_int_equal(waitpid(pid, &status, 0), pid);
    (void)close(in);
    (void)close(out);
    if (!WIFEXITED(status) || WEXITSTATUS(status) != 0)
        fail_msg("openssl req ended with %d: is the openssl command installed?", status);
    const char *const serve[] = {"timeout", "60", "openssl", "s_server", "-accept", "127.0.0.1:0",
                                 "-key",    key,  "-cert",   cert,       NULL};
    t->pid = run(serve, &t->in, &t->out);
    const char *accepts = NULL;
    for (int64_t end = now_ms() + PATIENCE_MS; !accepts || !strchr(accepts, '\n');) {
        if (now_ms() > end)
            fail_msg("openssl s_server did not say its port: %s", t->text);
        read_more(t, 50);
        accepts = strstr(t->text, "ACCEPT 127.0.0.1:");
    }
    t->port = atoi(accepts + 17);
    assert_true(t->port > 0);
}

static void tls_close(struct tls_server *t) {
    char path[560];
    (void)kill(t->pid, SIGTERM);
    (void)waitpid(t->pid, NULL, 0);
    (void)close(t->in);
    (void)close(t->out);
    (void)snprintf(path, sizeof path, "%s/key.pem", t->folder);
    (void)unlink(path);
    (void)snprintf(path, sizeof path, "%s/cert.pem", t->folder);
    (void)unlink(path);
    (void)rmdir(t->folder);
}

static void read_until(struct tls_server *t, const char *what) {
    for (int64_t end = now_ms() + PATIENCE_MS; !strstr(t->text, what); read_more(t, 50))
        if (now_ms() > end)
            fail_msg("the server never got '%s': %s", what, t->text);
}

/* A client that trusts anybody reaches the server and is heard: else the test below shows nothing.
 */
static void careless_client(struct tls_server *t, const char *url) {
    CURL *c = curl_easy_init();
    assert_non_null(c);
    (void)curl_easy_setopt(c, CURLOPT_URL, url);
    (void)curl_easy_setopt(c, CURLOPT_SSL_VERIFYPEER, 0L);
    (void)curl_easy_setopt(c, CURLOPT_SSL_VERIFYHOST, 0L);
    (void)curl_easy_setopt(c, CURLOPT_PROXY, "");
    (void)curl_easy_setopt(c, CURLOPT_TIMEOUT_MS, 500L);
    (void)curl_easy_setopt(c, CURLOPT_POSTFIELDS, "careless text");
    (void)curl_easy_perform(c);
    curl_easy_cleanup(c);
    read_until(t, "careless text");
    t->n = 0;
    t->text[0] = '\0';
}

static void unknown_certificate(void **state) {
    struct tls_server t;
    struct sender sender;
    struct link_result r;
    struct link_options o = {0};
    struct link *l;
    (void)state;
    tls_open(&t);
    assert_int_equal(link_open(&o, &l), ERR_OK);
    sender_make(&sender, "json", t.port);
    char url[64];
    (void)snprintf(url, sizeof url, "https://127.0.0.1:%d/errands", t.port);
    sender.profile.send.url = slice_of(url);
    careless_client(&t, url);
    struct link_job job = job_of(&sender, 1);
    assert_int_equal(link_start(l, &job), ERR_OK);
    collect(l, NULL, &r, 1, 1000);
    assert_int_equal(r.outcome, LINK_LATER);
    assert_int_equal(link_count(l).unknown, 0);
    if (!strstr(r.reason, "not sent: ") || !strstr(r.reason, "ertificate"))
        fail_msg("reason '%s'", r.reason);
    /* The server prints what it is sent once a connection stands: nothing of the text may come. */
    for (int i = 0; i < 5; i++)
        read_more(&t, 50);
    if (strstr(t.text, "errands") || strstr(t.text, "look now"))
        fail_msg("it went out: %s", t.text);
    link_close(l);
    tls_close(&t);
}

/* https to a port that speaks no TLS: nothing goes out in the clear. */
static void no_clear_text(void **state) {
    static const struct canned answers[] = {{ANSWER_OK, false}};
    struct server s;
    struct sender sender;
    struct link_result r;
    struct link_options o = {0};
    struct link *l;
    (void)state;
    server_open(&s, answers, 1);
    sender_make(&sender, "json", s.port);
    char url[64];
    (void)snprintf(url, sizeof url, "https://127.0.0.1:%d/errands", s.port);
    sender.profile.send.url = slice_of(url);
    sender.profile.send.total_ms = 300;
    assert_int_equal(link_open(&o, &l), ERR_OK);
    struct link_job job = job_of(&sender, 1);
    assert_int_equal(link_start(l, &job), ERR_OK);
    collect(l, &s, &r, 1, 1000);
    assert_int_equal(r.outcome, LINK_LATER);
    assert_int_equal(s.requests, 0);
    assert_int_equal(link_count(l).unknown, 0);
    link_close(l);
    server_close(&s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(unknown_certificate),
        cmocka_unit_test(no_clear_text),
    };
    return cmocka_run_group_tests(tests, link_tests_start, NULL);
}
