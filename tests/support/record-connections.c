/*
 * Loaded before the C library: writes down, in the file CONNECTIONS, every connection that a process asks for, every
 * datagram it addresses and every name it wants resolved. Sockets that others open to it are not its doing.
 */
#define _GNU_SOURCE
#include <arpa/inet.h>
#include <dlfcn.h>
#include <fcntl.h>
#include <netdb.h>
#include <netinet/in.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

static void note(const char *what, const char *where) {
  char line[512];
  const char *file = getenv("CONNECTIONS");
  if (!file) return;
  int fd = open(file, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
  if (fd < 0) abort();
  int n = snprintf(line, sizeof line, "%s %s\n", what, where);
  if (write(fd, line, n) != n) abort();
  close(fd);
}

static void note_address(const char *what, const struct sockaddr *to) {
  char where[300] = "?", host[INET6_ADDRSTRLEN];
  if (!to) return;
  if (to->sa_family == AF_INET) {
    const struct sockaddr_in *in = (const struct sockaddr_in *)to;
    inet_ntop(AF_INET, &in->sin_addr, host, sizeof host);
    snprintf(where, sizeof where, "%s:%d", host, ntohs(in->sin_port));
  } else if (to->sa_family == AF_INET6) {
    const struct sockaddr_in6 *in = (const struct sockaddr_in6 *)to;
    inet_ntop(AF_INET6, &in->sin6_addr, host, sizeof host);
    snprintf(where, sizeof where, "[%s]:%d", host, ntohs(in->sin6_port));
  } else if (to->sa_family == AF_UNIX) {
    snprintf(where, sizeof where, "unix:%.200s", ((const struct sockaddr_un *)to)->sun_path);
  }
  note(what, where);
}

int connect(int fd, const struct sockaddr *to, socklen_t length) {
  int (*real)(int, const struct sockaddr *, socklen_t) = dlsym(RTLD_NEXT, "connect");
  note_address("connect", to);
  return real(fd, to, length);
}

ssize_t sendto(int fd, const void *from, size_t n, int flags, const struct sockaddr *to,
               socklen_t length) {
  ssize_t (*real)(int, const void *, size_t, int, const struct sockaddr *, socklen_t) =
      dlsym(RTLD_NEXT, "sendto");
  note_address("sendto", to);
  return real(fd, from, n, flags, to, length);
}

ssize_t sendmsg(int fd, const struct msghdr *message, int flags) {
  ssize_t (*real)(int, const struct msghdr *, int) = dlsym(RTLD_NEXT, "sendmsg");
  note_address("sendmsg", message->msg_name);
  return real(fd, message, flags);
}

int getaddrinfo(const char *name, const char *service, const struct addrinfo *hints,
                struct addrinfo **found) {
  int (*real)(const char *, const char *, const struct addrinfo *, struct addrinfo **) =
      dlsym(RTLD_NEXT, "getaddrinfo");
  note("resolve", name ? name : "?");
  return real(name, service, hints, found);
}
