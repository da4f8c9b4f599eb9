#include "cli/actor.h"

#include "core/text.h"

#include <pwd.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

static void read_login(char *into, size_t size) {
    const struct passwd *user = getpwuid(getuid());
    const char *name = user && user->pw_name ? user->pw_name : "";
    size_t length = strlen(name);
    bool fits = length > 0 && length < size && text_is_utf8(name, length);
    snprintf(into, size, "%s", fits ? name : "unknown");
}

status actor_read(actor_texts *texts, ops_actor *out, fault *why) {
    read_login(texts->by, sizeof texts->by);
    *out = (ops_actor){texts->by, texts->at, "command"};
    return today_now(texts->at, why);
}
