#include "web/server.h"
#include "web/who.h"

/* The session of this browser; local, one is begun when it has none. */
status api_session(const web_request *r, web_response *out, fault *why) {
    who_entry *entry = arena_get(r->memory, 1, sizeof *entry);
    json_out o = {.to = &out->body};
    who *w = web_server_who(r->server);
    bool site = web_server_site(r->server);
    if (!entry) return fault_memory(why);
    status code = who_of(w, r->cookie, r->now, &entry->person, why);
    if (code == OK && !entry->person.known && !site) {
        code = who_local(w, r->agent, r->now, entry, why);
        out->set_cookie = entry->cookie;
    }
    if (code != OK) return code;
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "token", entry->person.token);
    json_out_text(&o, "who", entry->person.name);
    json_out_text(&o, "role", web_role_words[entry->person.role]);
    json_out_bool(&o, "local", !site);
    json_out_bool(&o, "site", site);
    json_out_text(&o, "program", "stanch " STANCH_VERSION);
    json_out_text(&o, "address", r->address);
    json_out_close(&o, '}');
    return out->body.failed ? fault_memory(why) : OK;
}

status api_login(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_logout(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_join(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}
