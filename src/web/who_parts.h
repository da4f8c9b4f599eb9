/* who_parts.h - what who.c (sessions, people) and who_login.c (passphrases) share. Threads  `door` guards the file and
 * the tries, `stove` lets one passphrase be worked out at a time; whoever takes both takes `stove` first. */
#ifndef STANCH_WEB_WHO_PARTS_H
#define STANCH_WEB_WHO_PARTS_H

#include "web/tries.h"
#include "web/who.h"

#include <pthread.h>
#include <stdatomic.h>

struct who {
    accounts *accounts;
    tries *tries;
    bool site;
    char local_name[ACCOUNTS_NAME];
    pthread_mutex_t door, stove;
    atomic_int queue; /* logins that run or wait */
};

/* Begin a session of a person in the file; the door is closed behind the caller. */
status who_begin_session(who *w, const char *name, const char *agent, const char *now, who_entry *out,
                         fault *why);

/* A name as typed, without the spaces round it. E_INPUT. */
status who_read_name(const char *typed, char into[ACCOUNTS_NAME], fault *why);

#endif
