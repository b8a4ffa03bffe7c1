/* vfs: the one seam between the database and the disk. Registered with SQLite as "barbel" around
 * the default one; passes everything through, has the named points of the fault tests, and can act
 * as a disk that is full or fails. The seam is one for the whole process: a program that opens
 * several stores has one flag and one rigged fault for all of them. */
#ifndef STORE_VFS_H
#define STORE_VFS_H

#include "base/err.h"

#define STORE_VFS_NAME "barbel"

enum err store_vfs_register(void) MUST_LOOK;

/* While this file exists every write to a database, log or journal gives "disk full", and ballast
 * cannot be made. NULL: never. ERR_TOO_LONG. */
enum err store_vfs_full_flag(const char *path) MUST_LOOK;
bool store_vfs_is_full(void);

/* For tests: the nth write from now (writes, truncations and syncs count; full: writes only) fails,
 * `lasting`: and every one after it. nth 0: none. */
enum store_vfs_fault { STORE_VFS_IO, STORE_VFS_FULL };
void store_vfs_fail(long nth, bool lasting, enum store_vfs_fault fault);
bool store_vfs_failed(void); /* the rigged fault has struck */

#endif
