/* Who is asking: session, login, logout, join. */
#include "web/server.h"
#include "web/who.h"

#include <stdio.h>
#include <string.h>

/* ---- answers ---- */

static const char *nobody_to_null(const char *words) {
    return words && *words ? words : NULL;
}

static status write_session(const web_request *r, const who_person *p, web_response *out, fault *why) {
    json_out o = {.to = &out->body};
    bool site = who_is_site(web_server_who(r->server));
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "token", nobody_to_null(p->token));
    json_out_text(&o, "who", nobody_to_null(p->name));
    json_out_text(&o, "role", web_role_words[p->role]);
    json_out_bool(&o, "local", !site);
    json_out_bool(&o, "site", site);
    json_out_text(&o, "program", "stanch " STANCH_VERSION);
    json_out_text(&o, "address", r->address);
    json_out_close(&o, '}');
    return out->body.failed ? fault_memory(why) : OK;
}

/* The browser gets the cookie of a session just begun. */
static status answer_entry(const web_request *r, const who_entry *entry, web_response *out, fault *why) {
    out->set_cookie = arena_copy(r->memory, entry->cookie);
    return out->set_cookie ? write_session(r, &entry->person, out, why) : fault_memory(why);
}

/* 429 tells the seconds apart, for the page to count down. */
static status answer_refusal(const who_entry *entry, web_response *out, status code, fault *why) {
    out->code = entry->code;
    if (entry->code != 429) return code;
    json_out o = {.to = &out->body};
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "fault", why->text);
    json_out_whole(&o, "wait_s", entry->wait_s);
    json_out_close(&o, '}');
    return out->body.failed ? fault_memory(why) : OK;
}

/* ---- handlers ---- */

status api_session(const web_request *r, web_response *out, fault *why) {
    who *w = web_server_who(r->server);
    who_person person;
    status code = who_of(w, r->cookie, r->now, &person, why);
    if (code != OK) return code;
    if (person.known || who_is_site(w)) return write_session(r, &person, out, why);
    who_entry entry;
    code = who_local(w, r->agent, r->now, &entry, why);
    return code == OK ? answer_entry(r, &entry, out, why) : code;
}

/* The members of a login or, with `invitation`, of a join. */
static status read_try(const web_request *r, bool joins, who_try *out, web_response *answer, fault *why) {
    static const char *const known[] = {"name", "passphrase", "invitation"};
    fault_list *faults = fault_list_new();
    if (!faults) return fault_memory(why);
    json_in in = {.source = "", .faults = faults, .memory = r->memory};
    *out = (who_try){.peer = r->from, .agent = r->agent, .now = r->now};
    json_in_only(&in, NULL, r->json, known, joins ? 3 : 2);
    json_in_text(&in, NULL, r->json, "name", 1000, true, &out->name);
    json_in_text(&in, NULL, r->json, "passphrase", 1000, true, &out->passphrase);
    if (joins) json_in_text(&in, NULL, r->json, "invitation", 100, true, &out->invitation);
    status code = fault_list_status(faults, why);
    if (code == E_INPUT) answer->code = 422;
    fault_list_free(faults);
    return code;
}

status api_login(const web_request *r, web_response *out, fault *why) {
    who_try t;
    who_entry entry;
    status code = read_try(r, false, &t, out, why);
    if (code != OK) return code;
    code = who_login(web_server_who(r->server), &t, &entry, why);
    return code == OK ? answer_entry(r, &entry, out, why) : answer_refusal(&entry, out, code, why);
}

status api_join(const web_request *r, web_response *out, fault *why) {
    who_try t;
    who_entry entry;
    status code = read_try(r, true, &t, out, why);
    if (code != OK) return code;
    code = who_join(web_server_who(r->server), &t, &entry, why);
    return code == OK ? answer_entry(r, &entry, out, why) : answer_refusal(&entry, out, code, why);
}

status api_logout(const web_request *r, web_response *out, fault *why) {
    const who_person self = {.role = WEB_ESTIMATOR};
    bool found = false;
    status code = who_end_session(web_server_who(r->server), &self, r->session, &found, why);
    if (code != OK) return code;
    out->set_cookie = "";
    text_add(&out->body, "{}");
    return out->body.failed ? fault_memory(why) : OK;
}
