/* files: what lies beside the database. PATH-lock says that a process has the store (flock, so it
 * ends with the process, however that ends). PATH-ballast is room kept for a full disk. PATH-danger
 * is one mapped page that names the message being read: a process that dies leaves it in the
 * system's page cache, which is all that is needed; only a power cut may lose it, and a power cut
 * is not the text's fault. All are made with mode 0600.
 *
 * Errors: ERR_HELD, ERR_NOT_FOUND (no such folder), ERR_READONLY, ERR_FULL, ERR_IO, ERR_NOMEM,
 * ERR_TOO_LONG (path over 1000 bytes). That there is no room for ballast is no error. The lock file
 * is never removed: two processes could otherwise lock two files of one name. */
#include "store/inside.h"

#include <errno.h>
#include <fcntl.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/statvfs.h>
#include <unistd.h>

#include "base/log.h"
#include "store/vfs.h"

enum { PATH_MAX_BYTES = 1024 };

static const char danger_magic[8] = "barbel1";

struct danger_page {
    char magic[8];
    _Atomic uint32_t set;
    struct store_print print;
};

struct store_beside {
    char ballast_path[PATH_MAX_BYTES];
    int64_t ballast_bytes;
    int lock_fd;
    struct danger_page *danger;
};

static enum err from_errno(int number) {
    switch (number) {
    case ENOSPC:
    case EDQUOT:
    case EFBIG:
        return ERR_FULL;
    case EACCES:
    case EPERM:
    case EROFS:
        return ERR_READONLY;
    case ENOENT:
    case ENOTDIR:
        return ERR_NOT_FOUND;
    case ENOMEM:
        return ERR_NOMEM;
    default:
        return ERR_IO;
    }
}

static enum err name_beside(const char *path, const char *ending, char out[PATH_MAX_BYTES]) {
    int n = snprintf(out, PATH_MAX_BYTES, "%s%s", path, ending);
    return n > 0 && n < PATH_MAX_BYTES ? ERR_OK : ERR_TOO_LONG;
}

/* Opened for reading and writing, made with mode 0600 whatever the umask adds to it. */
static enum err open_beside(const char *path, int *fd) {
    *fd = open(path, O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, S_IRUSR | S_IWUSR);
    return *fd < 0 ? from_errno(errno) : ERR_OK;
}

static enum err lock(struct store_beside *b, const char *path) {
    char name[PATH_MAX_BYTES];
    enum err e = name_beside(path, "-lock", name);
    if (!e)
        e = open_beside(name, &b->lock_fd);
    if (!e && flock(b->lock_fd, LOCK_EX | LOCK_NB) != 0)
        e = errno == EWOULDBLOCK ? ERR_HELD : ERR_IO;
    return e;
}

static enum err map_danger(struct store_beside *b, const char *path) {
    char name[PATH_MAX_BYTES];
    int fd = -1;
    enum err e = name_beside(path, "-danger", name);
    if (!e)
        e = open_beside(name, &fd);
    if (e)
        return e;
    size_t n = sizeof *b->danger;
    /* Really allocated: a page without room behind it would end the process at its first write. */
    int rc = posix_fallocate(fd, 0, (off_t)n);
    if (rc) {
        e = from_errno(rc);
        goto out;
    }
    void *page = mmap(NULL, n, PROT_READ | PROT_WRITE, MAP_SHARED, fd, 0);
    if (page == MAP_FAILED) {
        e = from_errno(errno);
        goto out;
    }
    b->danger = page;
    if (memcmp(b->danger->magic, danger_magic, sizeof danger_magic) != 0) {
        memset(b->danger, 0, n);
        memcpy(b->danger->magic, danger_magic, sizeof danger_magic);
    }
out:
    (void)close(fd);
    return e;
}

enum err store_beside_open(const char *path, int64_t ballast_bytes, struct store_beside **out) {
    *out = NULL;
    struct store_beside *b = calloc(1, sizeof *b);
    if (!b)
        return ERR_NOMEM;
    b->lock_fd = -1;
    b->ballast_bytes = ballast_bytes;
    enum err e = name_beside(path, "-ballast", b->ballast_path);
    if (!e)
        e = lock(b, path);
    if (!e)
        e = map_danger(b, path);
    if (e)
        store_beside_close(b);
    else
        *out = b;
    return e;
}

void store_beside_close(struct store_beside *b) {
    if (!b)
        return;
    if (b->danger)
        (void)munmap(b->danger, sizeof *b->danger);
    if (b->lock_fd >= 0)
        (void)close(b->lock_fd);
    free(b);
}

enum err store_beside_make(const char *path) {
    int fd;
    struct stat st;
    if (stat(path, &st) == 0) /* opening it for reading only is then SQLite's matter */
        return ERR_OK;
    enum err e = open_beside(path, &fd);
    if (!e)
        (void)close(fd);
    return e;
}

/* -- danger -------------------------------------------------------------------------------------
 */

/* The mark is set after the print and cleared first, so a set mark always has its whole print. */
void store_danger(struct store *s, const struct store_print *print) {
    struct danger_page *d = s->beside->danger;
    atomic_store(&d->set, 0);
    d->print = *print;
    atomic_store(&d->set, 1);
}

void store_safe(struct store *s) {
    atomic_store(&s->beside->danger->set, 0);
}

bool store_beside_danger(const struct store_beside *b, struct store_print *found) {
    if (!atomic_load(&b->danger->set))
        return false;
    *found = b->danger->print;
    return true;
}

/* -- ballast ------------------------------------------------------------------------------------
 */

void store_ballast_release(struct store *s) {
    if (s->beside->ballast_bytes > 0 && unlink(s->beside->ballast_path) == 0)
        LOG(LOG_WARN, "ballast-released", LOG_INT("bytes", s->beside->ballast_bytes));
}

/* Twice its size must be free, or else making it would itself fill the disk again. */
static bool has_room(int fd, int64_t bytes) {
    struct statvfs v;
    return !store_vfs_is_full() && fstatvfs(fd, &v) == 0 &&
           (uint64_t)v.f_bavail >= 2 * (uint64_t)bytes / (uint64_t)(v.f_frsize ? v.f_frsize : 1);
}

bool store_ballast_restore(struct store *s) {
    struct store_beside *b = s->beside;
    if (b->ballast_bytes <= 0)
        return true;
    struct stat st;
    if (stat(b->ballast_path, &st) == 0 && st.st_size == b->ballast_bytes &&
        (int64_t)st.st_blocks * 512 >= b->ballast_bytes)
        return true;
    int fd;
    if (open_beside(b->ballast_path, &fd))
        return false;
    bool stands = ftruncate(fd, 0) == 0 && has_room(fd, b->ballast_bytes) &&
                  posix_fallocate(fd, 0, (off_t)b->ballast_bytes) == 0;
    (void)close(fd);
    if (!stands)
        (void)unlink(b->ballast_path);
    return stands;
}
