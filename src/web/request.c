#include "web/server.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const char *const web_role_words[WEB_ROLES] = {"nobody", "viewer", "foreman", "estimator"};

const char *web_query(const web_request *r, const char *name) {
    for (const char *const *q = r->query; q && q[0]; q += 2)
        if (strcmp(q[0], name) == 0) return q[1];
    return NULL;
}

status web_missing(web_response *out, fault *why, const char *format, ...) {
    char sentence[sizeof why->text];
    va_list more;
    va_start(more, format);
    vsnprintf(sentence, sizeof sentence, format, more);
    va_end(more);
    out->code = 404;
    return fault_set(why, E_STATE, "%s", sentence);
}

status web_faults(web_response *out, const fault_list *faults, fault *why) {
    fault first = {OK, ""};
    json_out o = {.to = &out->body};
    if (fault_list_status(faults, &first) == E_MEMORY) return fault_memory(why);
    text_free(&out->body);
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "fault", first.text);
    json_out_open(&o, "faults", '[');
    for (size_t i = 0; i < fault_list_kept(faults); i++) json_out_text(&o, NULL, fault_list_text(faults, i));
    json_out_close(&o, ']');
    json_out_close(&o, '}');
    if (out->code == 0) out->code = 422;
    return out->body.failed ? fault_memory(why) : OK;
}

/* The folder at the beginning of a word only: served as ".", it must not take the points out of numbers. */
void web_tell(const web_server *s, const char *sentence, text *to) {
    const char *folder = web_server_folder(s);
    size_t n = strlen(folder);
    while (*sentence) {
        bool named = strncmp(sentence, folder, n) == 0;
        if (named && sentence[n] == '/')
            sentence += n + strspn(sentence + n, "/");
        else if (named && n > 1 && strchr(" :", sentence[n])) {
            text_add(to, "the folder");
            sentence += n;
        }
        size_t word = strcspn(sentence, " \"'(");
        word += sentence[word] != '\0';
        text_add_bytes(to, sentence, word);
        sentence += word;
    }
}
