/*
 * Loaded before the C library: a disk that fails on request. FAULT_PLAN names a small file that this process and the
 * test both map or write: what is to fail, and how many calls go well before it. Only database files (a name with
 * ".sqlite") below FAULT_UNDER are touched. See disk-fault.ts for the meaning of each word of the plan.
 */
#define _GNU_SOURCE
#include <dirent.h>
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <signal.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

enum { NOTHING, WRITE, SYNC, KILL, COPY, READ_ONLY };

struct plan {
  int32_t kind, after, error, sticky, torn, writes, syncs, failed;
};

static volatile struct plan *plan(void) {
  static volatile struct plan *mapped;
  const char *path = getenv("FAULT_PLAN");
  if (mapped || !path) return mapped;
  /* Not by open, which asks for the plan itself. */
  int fd = syscall(SYS_openat, AT_FDCWD, path, O_RDWR | O_CLOEXEC, 0);
  if (fd < 0) return NULL;
  void *at = mmap(NULL, sizeof(struct plan), PROT_READ | PROT_WRITE, MAP_SHARED, fd, 0);
  close(fd);
  if (at == MAP_FAILED) abort();
  return mapped = at;
}

static int watched_path(const char *path) {
  const char *under = getenv("FAULT_UNDER");
  if (!under || strncmp(path, under, strlen(under)) != 0) return 0;
  const char *name = strrchr(path, '/');
  return strstr(name ? name : path, ".sqlite") != NULL;
}

static int watched(int fd, char *path) {
  char link[64];
  snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
  ssize_t n = readlink(link, path, PATH_MAX - 1);
  if (n <= 0) return 0;
  path[n] = 0;
  return watched_path(path);
}

/* What a process that is killed now would leave: the database files as they stand, in FAULT_COPIES/<number>. */
static void copy_store(const char *path, int number) {
  char folder[PATH_MAX], to[PATH_MAX], from[2 * PATH_MAX], target[2 * PATH_MAX];
  static char block[1 << 16];
  const char *copies = getenv("FAULT_COPIES");
  if (!copies) return;
  snprintf(folder, sizeof folder, "%s", path);
  *strrchr(folder, '/') = 0;
  snprintf(to, sizeof to, "%s/%d", copies, number);
  mkdir(to, 0700);
  DIR *directory = opendir(folder);
  struct dirent *entry;
  if (!directory) abort();
  while ((entry = readdir(directory))) {
    if (!strstr(entry->d_name, ".sqlite")) continue;
    snprintf(from, sizeof from, "%s/%s", folder, entry->d_name);
    snprintf(target, sizeof target, "%s/%s", to, entry->d_name);
    int in = open(from, O_RDONLY), out = open(target, O_WRONLY | O_CREAT | O_TRUNC, 0600);
    if (in < 0 || out < 0) abort();
    ssize_t n, (*real)(int, const void *, size_t) = dlsym(RTLD_NEXT, "write");
    while ((n = read(in, block, sizeof block)) > 0)
      if (real(out, block, n) != n) abort();
    close(in);
    close(out);
  }
  closedir(directory);
}

/* 1 when this call is to fail; errno is set then. */
static int fails(int kind, int fd) {
  char path[PATH_MAX];
  volatile struct plan *p = plan();
  if (!p || !watched(fd, path)) return 0;
  if (kind == WRITE) p->writes++;
  else p->syncs++;
  if (p->kind == COPY) {
    copy_store(path, p->writes + p->syncs);
    return 0;
  }
  if (p->kind != kind && !(p->kind == KILL && kind == WRITE)) return 0;
  if (p->after > 0) {
    p->after--;
    return 0;
  }
  p->failed++;
  if (p->kind == KILL) raise(SIGKILL);
  if (!p->sticky) p->kind = NOTHING;
  errno = p->error;
  return 1;
}

ssize_t write(int fd, const void *from, size_t count) {
  static ssize_t (*real)(int, const void *, size_t);
  if (!real) real = dlsym(RTLD_NEXT, "write");
  if (fails(WRITE, fd)) {
    int error = errno;
    if (plan()->torn && count > 1) (void)!real(fd, from, count / 2);
    errno = error;
    return -1;
  }
  return real(fd, from, count);
}

ssize_t pwrite64(int fd, const void *from, size_t count, off64_t at) {
  static ssize_t (*real)(int, const void *, size_t, off64_t);
  if (!real) real = dlsym(RTLD_NEXT, "pwrite64");
  if (fails(WRITE, fd)) {
    int error = errno;
    if (plan()->torn && count > 1) (void)!real(fd, from, count / 2, at);
    errno = error;
    return -1;
  }
  return real(fd, from, count, at);
}

ssize_t pwrite(int fd, const void *from, size_t count, off_t at) {
  return pwrite64(fd, from, count, at);
}

int ftruncate64(int fd, off64_t length) {
  static int (*real)(int, off64_t);
  if (!real) real = dlsym(RTLD_NEXT, "ftruncate64");
  return fails(WRITE, fd) ? -1 : real(fd, length);
}

int ftruncate(int fd, off_t length) { return ftruncate64(fd, length); }

int fsync(int fd) {
  static int (*real)(int);
  if (!real) real = dlsym(RTLD_NEXT, "fsync");
  return fails(SYNC, fd) ? -1 : real(fd);
}

int fdatasync(int fd) {
  static int (*real)(int);
  if (!real) real = dlsym(RTLD_NEXT, "fdatasync");
  return fails(SYNC, fd) ? -1 : real(fd);
}

static int refused(const char *path, int flags) {
  volatile struct plan *p = (flags & O_ACCMODE) == O_RDONLY ? NULL : plan();
  if (!p || p->kind != READ_ONLY || !watched_path(path)) return 0;
  p->failed++;
  errno = p->error;
  return 1;
}

#define OPEN(name)                                                       \
  int name(const char *path, int flags, ...) {                           \
    static int (*real)(const char *, int, ...);                          \
    va_list more;                                                        \
    va_start(more, flags);                                               \
    mode_t mode = flags & (O_CREAT | O_TMPFILE) ? va_arg(more, int) : 0; \
    va_end(more);                                                        \
    if (!real) real = dlsym(RTLD_NEXT, #name);                           \
    return refused(path, flags) ? -1 : real(path, flags, mode);          \
  }
OPEN(open)
OPEN(open64)
