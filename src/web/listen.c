#include "web/listen.h"

#include <arpa/inet.h>
#include <errno.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netdb.h>
#include <netinet/in.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

enum { BACKLOG = 128 };

static status cannot_listen(const char *host, unsigned port, fault *why) {
    switch (errno) {
    case EADDRINUSE:
        return fault_set(why, E_IO,
                         "port %u is taken by another program; choose one with --port, or 0 for any", port);
    case EACCES:
        return fault_set(why, E_IO, "port %u needs more rights than you have; choose one above 1023", port);
    case EADDRNOTAVAIL:
        return fault_set(why, E_INPUT, "%.200s is no address of this machine", host ? host : "this");
    default: return fault_set(why, E_IO, "port %u cannot be listened on: %.100s", port, strerror(errno));
    }
}

static bool is_loopback(const struct sockaddr *at) {
    if (at->sa_family == AF_INET)
        return (ntohl(((const struct sockaddr_in *)(const void *)at)->sin_addr.s_addr) >> 24) == 127;
    return at->sa_family == AF_INET6 &&
           IN6_IS_ADDR_LOOPBACK(&((const struct sockaddr_in6 *)(const void *)at)->sin6_addr);
}

static unsigned port_of(int listening) {
    struct sockaddr_storage at;
    socklen_t n = sizeof at;
    if (getsockname(listening, (struct sockaddr *)&at, &n) != 0) return 0;
    return ntohs(at.ss_family == AF_INET6 ? ((struct sockaddr_in6 *)&at)->sin6_port
                                          : ((struct sockaddr_in *)&at)->sin_port);
}

void listen_set_port(struct sockaddr *at, unsigned port) {
    in_port_t order = htons(port > 65535 ? 0 : (in_port_t)port);
    if (at->sa_family == AF_INET6)
        ((struct sockaddr_in6 *)(void *)at)->sin6_port = order;
    else
        ((struct sockaddr_in *)(void *)at)->sin_port = order;
}

static int bind_one(const struct addrinfo *to) {
    int on = 1, off = 0, listening = socket(to->ai_family, SOCK_STREAM | SOCK_CLOEXEC, 0);
    if (listening < 0) return -1;
    setsockopt(listening, SOL_SOCKET, SO_REUSEADDR, &on, sizeof on);
    if (to->ai_family == AF_INET6) setsockopt(listening, IPPROTO_IPV6, IPV6_V6ONLY, &off, sizeof off);
    if (bind(listening, to->ai_addr, to->ai_addrlen) == 0 && listen(listening, BACKLOG) == 0)
        return listening;
    int kept = errno;
    close(listening);
    errno = kept;
    return -1;
}

status listen_open(const char *host, unsigned port, int *out, unsigned *port_out, bool *loopback,
                   fault *why) {
    struct addrinfo hints = {.ai_family = AF_UNSPEC, .ai_socktype = SOCK_STREAM, .ai_flags = AI_PASSIVE},
                    *found = NULL;
    char digits[16];
    *out = -1;
    snprintf(digits, sizeof digits, "%u", port);
    if (!host) host = "0.0.0.0";
    int code = getaddrinfo(host, digits, &hints, &found);
    if (code != 0) return fault_set(why, E_INPUT, "%.200s is no address: %.100s", host, gai_strerror(code));
    *out = bind_one(found);
    *loopback = is_loopback(found->ai_addr);
    freeaddrinfo(found);
    if (*out < 0) return cannot_listen(host, port, why);
    *port_out = port_of(*out);
    return OK;
}

static bool tell(const struct sockaddr *at, char *into, size_t size) {
    socklen_t n = at->sa_family == AF_INET6 ? sizeof(struct sockaddr_in6) : sizeof(struct sockaddr_in);
    return getnameinfo(at, n, into, (socklen_t)size, NULL, 0, NI_NUMERICHOST) == 0;
}

static bool is_address(const struct ifaddrs *one) {
    return one->ifa_addr && (one->ifa_flags & IFF_UP) &&
           (one->ifa_addr->sa_family == AF_INET || one->ifa_addr->sa_family == AF_INET6);
}

void listen_own_names(guard_hosts *hosts) {
    struct ifaddrs *all = NULL;
    char name[GUARD_HOST];
    if (gethostname(name, sizeof name - 8) == 0) {
        name[sizeof name - 8] = '\0';
        guard_add_host(hosts, name);
        strcat(name, ".local"); /* multicast DNS */
        guard_add_host(hosts, name);
    }
    if (getifaddrs(&all) != 0) return;
    for (const struct ifaddrs *one = all; one; one = one->ifa_next)
        if (is_address(one) && tell(one->ifa_addr, name, sizeof name)) guard_add_host(hosts, name);
    freeifaddrs(all);
}

void listen_outside(char *into, size_t size) {
    struct ifaddrs *all = NULL;
    snprintf(into, size, "127.0.0.1");
    if (getifaddrs(&all) != 0) return;
    for (const struct ifaddrs *one = all; one; one = one->ifa_next)
        if (is_address(one) && one->ifa_addr->sa_family == AF_INET && !is_loopback(one->ifa_addr) &&
            tell(one->ifa_addr, into, size))
            break;
    freeifaddrs(all);
}
