/*
 * Loaded before the C library: models the worst power cut, in which nothing survives that was not synced. After
 * every fsync or fdatasync of a file below CUT_FROM, its whole content is copied to CUT_TO/<name>. Files that were
 * removed are gone for good once the directory CUT_FROM itself was synced.
 */
#define _GNU_SOURCE
#include <dirent.h>
#include <dlfcn.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static void forget_removed(const char *from, const char *to) {
  char path[PATH_MAX];
  struct dirent *entry;
  DIR *directory = opendir(to);
  if (!directory) abort();
  while ((entry = readdir(directory))) {
    if (entry->d_name[0] == '.') continue;
    snprintf(path, sizeof path, "%s/%s", from, entry->d_name);
    if (access(path, F_OK) == 0) continue;
    snprintf(path, sizeof path, "%s/%s", to, entry->d_name);
    unlink(path);
  }
  closedir(directory);
}

static void keep(int fd) {
  const char *from = getenv("CUT_FROM"), *to = getenv("CUT_TO");
  char link[64], path[PATH_MAX], part[PATH_MAX], whole[PATH_MAX];
  static char block[1 << 16];
  ssize_t n;
  if (!from || !to) return;
  snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
  n = readlink(link, path, sizeof path - 1);
  if (n <= 0) return;
  path[n] = 0;
  if (strcmp(path, from) == 0) {
    forget_removed(from, to);
    return;
  }
  if (strncmp(path, from, strlen(from)) != 0 || path[strlen(from)] != '/') return;
  const char *name = strrchr(path, '/') + 1;
  snprintf(part, sizeof part, "%s/.%s.part", to, name);
  snprintf(whole, sizeof whole, "%s/%s", to, name);
  int in = open(path, O_RDONLY), out = open(part, O_WRONLY | O_CREAT | O_TRUNC, 0600);
  if (in < 0 || out < 0) abort();
  while ((n = read(in, block, sizeof block)) > 0)
    if (write(out, block, n) != n) abort();
  close(in);
  close(out);
  if (rename(part, whole) != 0) abort();
}

int fsync(int fd) {
  static int (*real)(int);
  if (!real) real = (int (*)(int))dlsym(RTLD_NEXT, "fsync");
  int result = real(fd);
  if (result == 0) keep(fd);
  return result;
}

int fdatasync(int fd) {
  static int (*real)(int);
  if (!real) real = (int (*)(int))dlsym(RTLD_NEXT, "fdatasync");
  int result = real(fd);
  if (result == 0) keep(fd);
  return result;
}
