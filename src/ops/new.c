#include "ops/ops.h"

#include "store/log.h"
#include "survey/catalogue.h"
#include "survey/fields.h"

#include <ctype.h>
#include <string.h>

/* "cellar.stanch" names the job "cellar". */
static const char *name_from_path(arena *memory, const char *path) {
    const char *slash = strrchr(path, '/');
    char *name = arena_copy(memory, slash ? slash + 1 : path);
    char *dot = name ? strrchr(name, '.') : NULL;
    if (dot && dot != name) *dot = '\0';
    return name;
}

static bool is_currency(const char *code) {
    return strlen(code) == 3 && isupper((unsigned char)code[0]) && isupper((unsigned char)code[1]) &&
           isupper((unsigned char)code[2]);
}

/* The first line of the log. */
static status create(const char *path, const survey *s, const ops_actor *actor, fault *why) {
    const char *what = arena_print(s->memory, "new job %s", s->site.name);
    if (!what) return fault_memory(why);
    const store_change first = {.at = actor->at, .by = actor->by, .through = actor->through, .what = what};
    return store_create_logged(path, s, &first, why);
}

status ops_new(const char *path, const ops_new_request *request, const ops_actor *actor, fault *why) {
    if (request->currency && !is_currency(request->currency))
        return fault_set(why, E_INPUT, "currency is \"%.20s\"; it must be three capital letters (ISO 4217)",
                         request->currency);
    if (request->name && !text_is_utf8(request->name, strlen(request->name)))
        return fault_set(why, E_INPUT, "the name is not UTF-8");
    if (request->name && (strlen(request->name) == 0 || strlen(request->name) > 200))
        return fault_set(why, E_INPUT, "the name has %zu bytes; it must have 1 to 200",
                         strlen(request->name));
    const char *objection = request->name ? survey_text_objection(request->name) : NULL;
    if (objection) return fault_set(why, E_INPUT, "the name %s", objection);
    survey *s = survey_new();
    if (!s) return fault_memory(why);
    s->site.system = request->system;
    s->site.letter_paper = request->letter_paper;
    if (request->currency) memcpy(s->site.currency, request->currency, 4);
    s->site.name = request->name ? arena_copy(s->memory, request->name) : name_from_path(s->memory, path);
    status code = s->site.name ? survey_catalogue_fill(s, why) : fault_memory(why);
    if (code == OK) code = create(path, s, actor, why);
    survey_free(s);
    return code;
}
