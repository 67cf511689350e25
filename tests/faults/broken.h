/* Things that break at a chosen moment: memory (SQLite's, jansson's and that of our own code), and
 * the disk under SQLite. Each counts what the testing thread asks for and lets the chosen one fail,
 * once or from then on. */
#ifndef BROKEN_H
#define BROKEN_H

#include <jansson.h>
#include <sqlite3.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "record_tests.h"

typedef struct breakage {
    long asked;     /* so far */
    long at;        /* the one that fails; 0: none */
    bool from_then; /* and all after it */
    bool happened;
} breakage;

static inline bool breaks(breakage *b) {
    b->asked++;
    bool now = b->at > 0 && (b->asked == b->at || (b->from_then && b->asked > b->at));
    b->happened = b->happened || now;
    return now;
}

static inline void break_at(breakage *b, long at, bool from_then) {
    *b = (breakage){.at = at, .from_then = from_then};
}

/* ---- memory ---- */

static _Thread_local breakage memory;
static sqlite3_mem_methods real_memory;

static void *broken_malloc(int size) {
    return breaks(&memory) ? NULL : real_memory.xMalloc(size);
}

static void *broken_realloc(void *old, int size) {
    return breaks(&memory) ? NULL : real_memory.xRealloc(old, size);
}

static void *broken_json_malloc(size_t size) {
    return malloc(size); /* counted there */
}

/* The linker leads what our code asks of the C library here. */
void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *old, size_t size);
char *__real_strdup(const char *text);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *old, size_t size);
char *__wrap_strdup(const char *text);

void *__wrap_malloc(size_t size) {
    return breaks(&memory) ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size) {
    return breaks(&memory) ? NULL : __real_calloc(count, size);
}

void *__wrap_realloc(void *old, size_t size) {
    return breaks(&memory) ? NULL : __real_realloc(old, size);
}

char *__wrap_strdup(const char *text) {
    return breaks(&memory) ? NULL : __real_strdup(text);
}

/* Before anything else of SQLite is used. */
static inline bool memory_breakable(void) {
    if (sqlite3_config(SQLITE_CONFIG_GETMALLOC, &real_memory) != SQLITE_OK) {
        return false;
    }
    sqlite3_mem_methods broken = real_memory;
    broken.xMalloc = broken_malloc;
    broken.xRealloc = broken_realloc;
    json_set_alloc_funcs(broken_json_malloc, free);
    return sqlite3_config(SQLITE_CONFIG_MALLOC, &broken) == SQLITE_OK;
}

/* ---- the disk: a thin layer over SQLite's own ---- */

/* No power cut can be tested here, so that nothing need reach a real disk some thousand times: a
 * folder in memory does, on systems that have one. */
static inline void files_in_memory(void) {
    if (access("/dev/shm", W_OK) == 0) {
        scratch = "/dev/shm";
    }
}

static _Thread_local breakage disk;
static _Thread_local bool disk_full; /* writing fails for want of room, all else works */

/* The layer's file; the real one lies behind it in the same memory. */
typedef struct layer {
    sqlite3_file base;
    sqlite3_io_methods methods;
} layer;

static sqlite3_file *real(sqlite3_file *file) {
    return (sqlite3_file *)((layer *)file + 1);
}

static bool disk_breaks(void) {
    return !disk_full && breaks(&disk);
}

static int layer_close(sqlite3_file *file) {
    return real(file)->pMethods->xClose(real(file));
}

static int layer_read(sqlite3_file *file, void *to, int size, sqlite3_int64 at) {
    return disk_breaks() ? SQLITE_IOERR_READ
                         : real(file)->pMethods->xRead(real(file), to, size, at);
}

static int layer_write(sqlite3_file *file, const void *from, int size, sqlite3_int64 at) {
    if (disk_full ? breaks(&disk) : disk_breaks()) {
        return disk_full ? SQLITE_FULL : SQLITE_IOERR_WRITE;
    }
    return real(file)->pMethods->xWrite(real(file), from, size, at);
}

static int layer_truncate(sqlite3_file *file, sqlite3_int64 size) {
    return disk_breaks() ? SQLITE_IOERR_TRUNCATE
                         : real(file)->pMethods->xTruncate(real(file), size);
}

static int layer_sync(sqlite3_file *file, int flags) {
    return disk_breaks() ? SQLITE_IOERR_FSYNC : real(file)->pMethods->xSync(real(file), flags);
}

static int layer_size(sqlite3_file *file, sqlite3_int64 *size) {
    return disk_breaks() ? SQLITE_IOERR_FSTAT : real(file)->pMethods->xFileSize(real(file), size);
}

static int layer_lock(sqlite3_file *file, int level) {
    return disk_breaks() ? SQLITE_IOERR_LOCK : real(file)->pMethods->xLock(real(file), level);
}

static int layer_unlock(sqlite3_file *file, int level) {
    return real(file)->pMethods->xUnlock(real(file), level);
}

static int layer_reserved(sqlite3_file *file, int *out) {
    return real(file)->pMethods->xCheckReservedLock(real(file), out);
}

static int layer_control(sqlite3_file *file, int what, void *of) {
    return real(file)->pMethods->xFileControl(real(file), what, of);
}

static int layer_sector(sqlite3_file *file) {
    return real(file)->pMethods->xSectorSize(real(file));
}

static int layer_device(sqlite3_file *file) {
    return real(file)->pMethods->xDeviceCharacteristics(real(file));
}

static int layer_shm_map(sqlite3_file *file, int page, int size, int extend, void volatile **out) {
    return disk_breaks() ? SQLITE_IOERR_SHMMAP
                         : real(file)->pMethods->xShmMap(real(file), page, size, extend, out);
}

static int layer_shm_lock(sqlite3_file *file, int offset, int n, int flags) {
    return real(file)->pMethods->xShmLock(real(file), offset, n, flags);
}

static void layer_shm_barrier(sqlite3_file *file) {
    real(file)->pMethods->xShmBarrier(real(file));
}

static int layer_shm_unmap(sqlite3_file *file, int drop) {
    return real(file)->pMethods->xShmUnmap(real(file), drop);
}

static const sqlite3_io_methods layer_methods = {.iVersion = 2,
                                                 .xClose = layer_close,
                                                 .xRead = layer_read,
                                                 .xWrite = layer_write,
                                                 .xTruncate = layer_truncate,
                                                 .xSync = layer_sync,
                                                 .xFileSize = layer_size,
                                                 .xLock = layer_lock,
                                                 .xUnlock = layer_unlock,
                                                 .xCheckReservedLock = layer_reserved,
                                                 .xFileControl = layer_control,
                                                 .xSectorSize = layer_sector,
                                                 .xDeviceCharacteristics = layer_device,
                                                 .xShmMap = layer_shm_map,
                                                 .xShmLock = layer_shm_lock,
                                                 .xShmBarrier = layer_shm_barrier,
                                                 .xShmUnmap = layer_shm_unmap};

static sqlite3_vfs *real_vfs(sqlite3_vfs *vfs) {
    return vfs->pAppData;
}

static int layer_open(sqlite3_vfs *vfs, const char *name, sqlite3_file *file, int flags,
                      int *out_flags) {
    file->pMethods = NULL;
    if (disk_breaks()) {
        return SQLITE_CANTOPEN;
    }
    int code = real_vfs(vfs)->xOpen(real_vfs(vfs), name, real(file), flags, out_flags);
    if (code == SQLITE_OK) {
        layer *mine = (layer *)file;
        mine->methods = layer_methods;
        /* Only a file that has shared memory below has it here. */
        mine->methods.iVersion = real(file)->pMethods->iVersion > 1 ? 2 : 1;
        file->pMethods = &mine->methods;
    }
    return code;
}

static int layer_delete(sqlite3_vfs *vfs, const char *name, int sync_folder) {
    return disk_breaks() ? SQLITE_IOERR_DELETE
                         : real_vfs(vfs)->xDelete(real_vfs(vfs), name, sync_folder);
}

/* Put the layer under everything that SQLite opens from now on. */
static inline bool disk_breakable(void) {
    static sqlite3_vfs vfs;
    sqlite3_vfs *below = sqlite3_vfs_find(NULL);
    if (below == NULL) {
        return false;
    }
    /* The other methods take the layer for the real one and need nothing of it but its name. */
    vfs = *below;
    vfs.zName = "breakable";
    vfs.pNext = NULL;
    vfs.pAppData = below;
    vfs.szOsFile = (int)sizeof(layer) + below->szOsFile;
    vfs.xOpen = layer_open;
    vfs.xDelete = layer_delete;
    return sqlite3_vfs_register(&vfs, 1) == SQLITE_OK;
}

/* ---- both ---- */

static inline void mend(void) {
    break_at(&memory, 0, false);
    break_at(&disk, 0, false);
    disk_full = false;
}

/* jansson does not always tell a lack of memory from a text that is none of its own. */
static inline bool tells_of_memory(const mc_error *error) {
    return error->status == MC_REFUSED && (strstr(error->text, "memory") != NULL ||
                                           strstr(error->text, "is no JSON object") != NULL);
}

#endif
