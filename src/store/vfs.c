/* vfs: see vfs.h. In: SQLite's calls, the flag file, a rigged fault. Out: the default VFS's
 * results, or SQLITE_FULL and SQLITE_IOERR when a fault is asked for. No failure of its own except
 * that the default VFS is missing (ERR_BUG). Limit: the flag's path has at most 1000 bytes;
 * temporary files of SQLite (the store keeps them in memory) are passed through without faults. */
#include "store/vfs.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

#include <sqlite3.h>

#include "base/point.h"

enum kind { KIND_OTHER, KIND_DB, KIND_WAL, KIND_JOURNAL };

/* The default VFS's own file lies right behind ours, in the room that szOsFile asks for. The table
 * of methods is per file because its version is the inner file's. SQLite gives room aligned to 8.
 */
struct file {
    sqlite3_file base;
    enum kind kind;
    sqlite3_io_methods methods;
    _Alignas(8) char inner[];
};

static sqlite3_vfs *plain;
static char flag[1001];
static struct {
    long left;
    bool lasting, struck;
    enum store_vfs_fault fault;
} rig;

enum err store_vfs_full_flag(const char *path) {
    size_t n = path ? strlen(path) : 0;
    if (n >= sizeof flag)
        return ERR_TOO_LONG;
    memcpy(flag, path ? path : "", n + 1);
    return ERR_OK;
}

bool store_vfs_is_full(void) {
    return flag[0] && access(flag, F_OK) == 0;
}

void store_vfs_fail(long nth, bool lasting, enum store_vfs_fault fault) {
    rig.left = nth;
    rig.lasting = lasting;
    rig.fault = fault;
    rig.struck = false;
}

bool store_vfs_failed(void) {
    return rig.struck;
}

/* Counts one call that changes the disk; true when it is the one to fail. */
static bool strikes(void) {
    if (rig.struck)
        return rig.lasting;
    if (rig.left > 0 && --rig.left == 0)
        rig.struck = true;
    return rig.struck;
}

static struct file *own(sqlite3_file *f) {
    return (struct file *)f;
}

static sqlite3_file *in(sqlite3_file *f) {
    return (sqlite3_file *)own(f)->inner;
}

static int file_close(sqlite3_file *f) {
    return in(f)->pMethods->xClose(in(f));
}

static int file_read(sqlite3_file *f, void *to, int n, sqlite3_int64 at) {
    return in(f)->pMethods->xRead(in(f), to, n, at);
}

static int file_write(sqlite3_file *f, const void *from, int n, sqlite3_int64 at) {
    enum kind kind = own(f)->kind;
    if (kind == KIND_WAL)
        POINT("vfs-wal-write");
    if (kind == KIND_DB)
        POINT("vfs-db-write");
    if (kind != KIND_OTHER && store_vfs_is_full()) {
        errno = ENOSPC;
        return SQLITE_FULL;
    }
    if (kind != KIND_OTHER && strikes()) {
        errno = rig.fault == STORE_VFS_FULL ? ENOSPC : EIO;
        return rig.fault == STORE_VFS_FULL ? SQLITE_FULL : SQLITE_IOERR_WRITE;
    }
    return in(f)->pMethods->xWrite(in(f), from, n, at);
}

static int file_truncate(sqlite3_file *f, sqlite3_int64 size) {
    if (own(f)->kind != KIND_OTHER && rig.fault == STORE_VFS_IO && strikes()) {
        errno = EIO;
        return SQLITE_IOERR_TRUNCATE;
    }
    return in(f)->pMethods->xTruncate(in(f), size);
}

static int file_sync(sqlite3_file *f, int flags) {
    if (own(f)->kind == KIND_WAL)
        POINT("vfs-wal-sync");
    if (own(f)->kind == KIND_DB)
        POINT("vfs-db-sync");
    if (own(f)->kind != KIND_OTHER && rig.fault == STORE_VFS_IO && strikes()) {
        errno = EIO;
        return SQLITE_IOERR_FSYNC;
    }
    return in(f)->pMethods->xSync(in(f), flags);
}

static int file_size(sqlite3_file *f, sqlite3_int64 *size) {
    return in(f)->pMethods->xFileSize(in(f), size);
}

static int file_lock(sqlite3_file *f, int level) {
    return in(f)->pMethods->xLock(in(f), level);
}

static int file_unlock(sqlite3_file *f, int level) {
    return in(f)->pMethods->xUnlock(in(f), level);
}

static int file_reserved(sqlite3_file *f, int *out) {
    return in(f)->pMethods->xCheckReservedLock(in(f), out);
}

static int file_control(sqlite3_file *f, int op, void *arg) {
    return in(f)->pMethods->xFileControl(in(f), op, arg);
}

static int file_sector(sqlite3_file *f) {
    return in(f)->pMethods->xSectorSize(in(f));
}

static int file_traits(sqlite3_file *f) {
    return in(f)->pMethods->xDeviceCharacteristics(in(f));
}

static int file_shm_map(sqlite3_file *f, int page, int size, int extend, void volatile **to) {
    return in(f)->pMethods->xShmMap(in(f), page, size, extend, to);
}

static int file_shm_lock(sqlite3_file *f, int at, int n, int flags) {
    return in(f)->pMethods->xShmLock(in(f), at, n, flags);
}

static void file_shm_barrier(sqlite3_file *f) {
    in(f)->pMethods->xShmBarrier(in(f));
}

static int file_shm_unmap(sqlite3_file *f, int remove) {
    return in(f)->pMethods->xShmUnmap(in(f), remove);
}

static int file_fetch(sqlite3_file *f, sqlite3_int64 at, int n, void **to) {
    return in(f)->pMethods->xFetch(in(f), at, n, to);
}

static int file_unfetch(sqlite3_file *f, sqlite3_int64 at, void *from) {
    return in(f)->pMethods->xUnfetch(in(f), at, from);
}

static const sqlite3_io_methods file_methods = {
    .iVersion = 3,
    .xClose = file_close,
    .xRead = file_read,
    .xWrite = file_write,
    .xTruncate = file_truncate,
    .xSync = file_sync,
    .xFileSize = file_size,
    .xLock = file_lock,
    .xUnlock = file_unlock,
    .xCheckReservedLock = file_reserved,
    .xFileControl = file_control,
    .xSectorSize = file_sector,
    .xDeviceCharacteristics = file_traits,
    .xShmMap = file_shm_map,
    .xShmLock = file_shm_lock,
    .xShmBarrier = file_shm_barrier,
    .xShmUnmap = file_shm_unmap,
    .xFetch = file_fetch,
    .xUnfetch = file_unfetch,
};

static int vfs_open(sqlite3_vfs *v, const char *name, sqlite3_file *f, int flags, int *out_flags) {
    (void)v;
    struct file *o = own(f);
    o->base.pMethods = NULL;
    o->kind = flags & SQLITE_OPEN_MAIN_DB        ? KIND_DB
              : flags & SQLITE_OPEN_WAL          ? KIND_WAL
              : flags & SQLITE_OPEN_MAIN_JOURNAL ? KIND_JOURNAL
                                                 : KIND_OTHER;
    int rc = plain->xOpen(plain, name, in(f), flags, out_flags);
    const sqlite3_io_methods *inner = in(f)->pMethods;
    if (inner) { /* SQLite closes a file whose methods are set even when opening it failed */
        o->methods = file_methods;
        if (inner->iVersion < o->methods.iVersion)
            o->methods.iVersion = inner->iVersion;
        o->base.pMethods = &o->methods;
    }
    return rc;
}

static int vfs_delete(sqlite3_vfs *v, const char *name, int sync_folder) {
    (void)v;
    return plain->xDelete(plain, name, sync_folder);
}

static int vfs_access(sqlite3_vfs *v, const char *name, int flags, int *out) {
    (void)v;
    return plain->xAccess(plain, name, flags, out);
}

static int vfs_full_path(sqlite3_vfs *v, const char *name, int n, char *out) {
    (void)v;
    return plain->xFullPathname(plain, name, n, out);
}

static int vfs_random(sqlite3_vfs *v, int n, char *out) {
    (void)v;
    return plain->xRandomness(plain, n, out);
}

static int vfs_sleep(sqlite3_vfs *v, int wait_us) {
    (void)v;
    return plain->xSleep(plain, wait_us);
}

static int vfs_time(sqlite3_vfs *v, double *out) {
    (void)v;
    return plain->xCurrentTime(plain, out);
}

static int vfs_last_error(sqlite3_vfs *v, int n, char *out) {
    (void)v;
    return plain->xGetLastError ? plain->xGetLastError(plain, n, out) : 0;
}

static int vfs_time_64(sqlite3_vfs *v, sqlite3_int64 *out) {
    (void)v;
    return plain->xCurrentTimeInt64(plain, out);
}

/* The store loads no extensions and replaces no system calls, so those methods are left out. */
static sqlite3_vfs vfs = {
    .zName = STORE_VFS_NAME,
    .xOpen = vfs_open,
    .xDelete = vfs_delete,
    .xAccess = vfs_access,
    .xFullPathname = vfs_full_path,
    .xRandomness = vfs_random,
    .xSleep = vfs_sleep,
    .xCurrentTime = vfs_time,
    .xGetLastError = vfs_last_error,
    .xCurrentTimeInt64 = vfs_time_64,
};

enum err store_vfs_register(void) {
    if (plain)
        return ERR_OK;
    sqlite3_vfs *found = sqlite3_vfs_find(NULL);
    if (!found)
        return ERR_BUG;
    vfs.iVersion = found->iVersion < 2 ? found->iVersion : 2;
    vfs.szOsFile = (int)sizeof(struct file) + found->szOsFile;
    vfs.mxPathname = found->mxPathname;
    plain = found;
    if (sqlite3_vfs_register(&vfs, 0) == SQLITE_OK)
        return ERR_OK;
    plain = NULL;
    return ERR_NOMEM;
}
