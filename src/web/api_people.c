/* People, invitations and sessions. */
#include "web/server.h"
#include "web/who.h"

#include <stdio.h>
#include <string.h>

static status finish(web_response *out, fault *why) {
    return out->body.failed ? fault_memory(why) : OK;
}

static status answer_nothing(web_response *out, fault *why) {
    text_add(&out->body, "{}");
    return finish(out, why);
}

/* ---- people ---- */

status api_people(const web_request *r, web_response *out, fault *why) {
    accounts_person *people = NULL;
    size_t n = 0;
    json_out o = {.to = &out->body};
    status code = who_people(web_server_who(r->server), r->memory, &people, &n, why);
    if (code != OK) return code;
    json_out_open(&o, NULL, '{');
    json_out_open(&o, "people", '[');
    for (size_t i = 0; i < n; i++) {
        json_out_open(&o, NULL, '{');
        json_out_text(&o, "name", people[i].name);
        json_out_text(&o, "role", people[i].role);
        json_out_text(&o, "since", people[i].since);
        json_out_text(&o, "last", people[i].last);
        json_out_close(&o, '}');
    }
    json_out_close(&o, ']');
    json_out_close(&o, '}');
    return finish(out, why);
}

/* {"role"}, which is one that a person can have. */
static status read_role(const web_request *r, web_role *out, fault *why) {
    static const char *const known[] = {"role"};
    int role = 0;
    fault_list *faults = fault_list_new();
    if (!faults) return fault_memory(why);
    json_in in = {.source = "", .faults = faults, .memory = r->memory};
    json_in_only(&in, NULL, r->json, known, 1);
    json_in_word(&in, NULL, r->json, "role", web_role_words + WEB_VIEWER, WEB_ROLES - WEB_VIEWER, true,
                 &role);
    status code = fault_list_status(faults, why);
    fault_list_free(faults);
    *out = (web_role)(role + WEB_VIEWER);
    return code;
}

static status answer_change(const web_request *r, web_response *out, bool found, fault *why) {
    if (!found) return web_missing(out, why, "%.240s: there is nobody of that name", r->variables[0]);
    return answer_nothing(out, why);
}

status api_people_set(const web_request *r, web_response *out, fault *why) {
    who_change change = {.name = r->variables[0], .by = r->who, .now = r->now};
    bool found = false;
    status code = read_role(r, &change.role, why);
    if (code == OK) code = who_set_role(web_server_who(r->server), &change, &found, why);
    return code == OK ? answer_change(r, out, found, why) : code;
}

status api_people_end(const web_request *r, web_response *out, fault *why) {
    const who_change change = {.name = r->variables[0], .by = r->who, .now = r->now};
    bool found = false;
    status code = who_end(web_server_who(r->server), &change, &found, why);
    return code == OK ? answer_change(r, out, found, why) : code;
}

status api_invite(const web_request *r, web_response *out, fault *why) {
    web_role role;
    who_invitation invitation;
    text address = {0};
    status code = read_role(r, &role, why);
    if (code == OK) code = who_invite(web_server_who(r->server), role, r->who, r->now, &invitation, why);
    if (code != OK) return code;
    who_invitation_address(r->address, invitation.secret, &address);
    json_out o = {.to = &out->body};
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "invitation", invitation.secret);
    json_out_text(&o, "address", text_get(&address));
    json_out_text(&o, "until", invitation.until);
    json_out_close(&o, '}');
    code = address.failed ? fault_memory(why) : finish(out, why);
    text_free(&address);
    return code;
}

/* ---- sessions ---- */

/* The person that asks, as far as the list and the end of sessions need it. */
static who_person person_of(const web_request *r) {
    who_person p = {.role = r->role, .known = true};
    snprintf(p.name, sizeof p.name, "%s", r->who);
    snprintf(p.session, sizeof p.session, "%s", r->session);
    return p;
}

static void write_session(json_out *o, const accounts_session *s, const char *of_this) {
    char id[ACCOUNTS_ID];
    snprintf(id, sizeof id, "%.16s", s->hash);
    json_out_open(o, NULL, '{');
    json_out_text(o, "id", id);
    json_out_text(o, "who", s->name);
    json_out_text(o, "since", s->since);
    json_out_text(o, "last", s->last);
    json_out_text(o, "agent", s->agent);
    json_out_bool(o, "this", strcmp(id, of_this) == 0);
    json_out_close(o, '}');
}

status api_sessions(const web_request *r, web_response *out, fault *why) {
    const who_person asks = person_of(r);
    who_session_list list;
    json_out o = {.to = &out->body};
    status code = who_sessions(web_server_who(r->server), &asks, r->now, r->memory, &list, why);
    if (code != OK) return code;
    json_out_open(&o, NULL, '{');
    json_out_open(&o, "sessions", '[');
    for (size_t i = 0; i < list.n; i++) write_session(&o, &list.sessions[i], r->session);
    json_out_close(&o, ']');
    json_out_close(&o, '}');
    return finish(out, why);
}

status api_sessions_end(const web_request *r, web_response *out, fault *why) {
    const who_person asks = person_of(r);
    bool found = false;
    status code = who_end_session(web_server_who(r->server), &asks, r->variables[0], &found, why);
    if (code != OK) return code;
    if (!found) return web_missing(out, why, "%.40s: there is no such session", r->variables[0]);
    if (strcmp(r->variables[0], r->session) == 0) out->set_cookie = "";
    return answer_nothing(out, why);
}
