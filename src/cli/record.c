#include "cli/actor.h"
#include "cli/cli.h"
#include "cli/options.h"
#include "cli/record_list.h"
#include "core/file.h"
#include "ops/photo.h"

#include <string.h>

/* Every copy of the program writes into the one job file and reads it first, so that all are one device. */
static const char DEVICE[] = "00000000-0000-4000-8000-000000000000";

enum { ID_TEXT = 37 };

typedef struct {
    const char *field; /* of record_fields */
    options_item item; /* its option; text is set for each run */
} record_option;

static const record_option said[] = {
    {"step", {"--step", "CODE", "step of the card: scan, cut, measure, wash ... prove", NULL, NULL}},
    {"by", {"--by", "NAME", "who did it", NULL, NULL}},
    {"at", {"--at", "TIME", "when, in UTC, as 2026-03-01T09:30:00Z (default now)", NULL, NULL}},
    {"length", {"--length", "NUMBER", "m or ft, as the job; so all that follow", NULL, NULL}},
    {"width", {"--width", "NUMBER", "mm or in", NULL, NULL}},
    {"depth", {"--depth", "NUMBER", "mm or in", NULL, NULL}},
    {"cover", {"--cover", "NUMBER", "of concrete over the bar, mm or in", NULL, NULL}},
    {"volume", {"--volume", "NUMBER", "of water collected, l or gal", NULL, NULL}},
    {"time", {"--time", "NUMBER", "in which it was collected, s", NULL, NULL}},
    {"material", {"--material", "ID", "what was used", NULL, NULL}},
    {"powder", {"--powder", "NUMBER", "kg or lb of it", NULL, NULL}},
    {"water", {"--water", "NUMBER", "mixed with it, l or gal", NULL, NULL}},
    {"packs", {"--packs", "NUMBER", "packs of it", NULL, NULL}},
    {"people", {"--people", "NUMBER", "at work", NULL, NULL}},
    {"hours", {"--hours", "NUMBER", "that they worked", NULL, NULL}},
    {"air", {"--air", "NUMBER", "temperature, C or F", NULL, NULL}},
    {"wall", {"--wall", "NUMBER", "temperature, C or F", NULL, NULL}},
    {"leak_water", {"--leak-water", "NUMBER", "temperature, C or F", NULL, NULL}},
    {"humidity_percent", {"--humidity", "NUMBER", "of the air, percent", NULL, NULL}},
    {"photo", {"--photo", "FILE", "beside the job file", NULL, NULL}},
    {"wetness", {"--wetness", "WORD", "found: dry, damp, seep, drip, run or jet", NULL, NULL}},
    {"hand", {"--hand", "WORD", "proof, what a dry hand picks up: dry, damp or wet", NULL, NULL}},
    {"blotter", {"--blotter", "WORD", "proof: clean or marked", NULL, NULL}},
    {"drips_per_min", {"--drips", "NUMBER", "proof: a minute", NULL, NULL}},
    {"from", {"--begin", "NUMBER", "proof: of the stretch, m or ft along the leak", NULL, NULL}},
    {"to", {"--end", "NUMBER", "proof: of the stretch; neither: the whole leak", NULL, NULL}},
    {"water_level", {"--water-level", "NUMBER", "proof: elevation of the water behind, m or ft", NULL, NULL}},
    {"tank", {"--tank", "ID", "level: the tank that is read", NULL, NULL}},
    {"level", {"--level", "NUMBER", "level: of its water above a fixed mark, mm or in", NULL, NULL}},
    {"pan_level", {"--pan", "NUMBER", "level: of the pan's water, mm or in", NULL, NULL}},
    {"rain", {"--rain", "NUMBER", "level: fallen since the last reading, mm or in", NULL, NULL}},
    {"tank_water", {"--tank-water", "NUMBER", "level: temperature of its water, C or F", NULL, NULL}},
    {"text", {"--text", "TEXT", "in words", NULL, NULL}},
    {"about", {"--about", "SEQ", "correction, settled: number or id of the record", NULL, NULL}},
    {"other", {"--other", "SEQ", "settled: number or id of the second record", NULL, NULL}},
};
enum { SAID = sizeof said / sizeof *said };

typedef struct {
    const char *values[SAID], *from, *mark;
    bool list;
} record_words;

/* The names of `said` are all there. */
static const survey_field *find_field(const char *name) {
    size_t i = 0;
    while (i + 1 < record_fields.n && strcmp(record_fields.fields[i].name, name) != 0) i++;
    return &record_fields.fields[i];
}

/* ---- one record from the words of the command ---- */

/* A random UUID (RFC 4122, version 4). */
static status make_id(char into[ID_TEXT], fault *why) {
    unsigned char b[16];
    FILE *source = fopen("/dev/urandom", "rb");
    size_t got = source ? fread(b, 1, sizeof b, source) : 0;
    if (source) fclose(source);
    if (got != sizeof b) return fault_set(why, E_IO, "/dev/urandom gives no random number");
    b[6] = (unsigned char)((b[6] & 0x0F) | 0x40);
    b[8] = (unsigned char)((b[8] & 0x3F) | 0x80);
    for (size_t i = 0, at = 0; i < sizeof b; i++) {
        if (i == 4 || i == 6 || i == 8 || i == 10) into[at++] = '-';
        snprintf(into + at, ID_TEXT - at, "%02x", b[i]);
        at += 2;
    }
    return OK;
}

/* "12" is the record that the list shows as 12. */
static status find_id(const ops_records *all, const char *option, const char *word, const char **id,
                      fault *why) {
    double seq;
    *id = word;
    if (!text_to_number(word, &seq)) return OK;
    for (size_t i = 0; i < all->n; i++)
        if ((double)all->items[i].seq == seq) {
            *id = all->items[i].id;
            return OK;
        }
    return fault_set(why, E_INPUT, "record: %s is %.40s; the job has no record of that number", option, word);
}

static status write_value(json_out *o, const ops_records *all, size_t at, const char *value, fault *why) {
    const survey_field *f = find_field(said[at].field);
    char name[FIELD_NAME_SIZE];
    double number;
    survey_field_name(f, all->system, name);
    if (strcmp(f->name, "about") == 0 || strcmp(f->name, "other") == 0) {
        const char *id;
        status code = find_id(all, said[at].item.name, value, &id, why);
        json_out_text(o, name, id);
        return code;
    }
    if (f->kind != FIELD_MAYBE) {
        json_out_text(o, name, value);
        return OK;
    }
    if (!text_to_number(value, &number))
        return fault_set(why, E_INPUT, "record: %s is \"%.40s\"; it must be a number", said[at].item.name,
                         value);
    json_out_number(o, name, number);
    return OK;
}

static status write_request(json_out *o, const record_words *w, char **operands, const ops_records *all,
                            const ops_actor *actor, fault *why) {
    char id[ID_TEXT];
    status code = make_id(id, why);
    if (code != OK) return code;
    json_out_open(o, NULL, '{');
    json_out_open(o, "records", '[');
    json_out_open(o, NULL, '{');
    json_out_text(o, "id", id);
    json_out_text(o, "mark", operands[1]);
    json_out_text(o, "what", operands[2]);
    json_out_text(o, "device", DEVICE);
    json_out_whole(o, "seen", all->n ? all->items[all->n - 1].seq : 0);
    bool timed = false;
    for (size_t i = 0; code == OK && i < SAID; i++) {
        if (!w->values[i]) continue;
        timed = timed || strcmp(said[i].field, "at") == 0;
        code = write_value(o, all, i, w->values[i], why);
    }
    if (!timed) json_out_text(o, "at", actor->at);
    json_out_close(o, '}');
    json_out_close(o, ']');
    json_out_close(o, '}');
    return code == OK && o->to->failed ? fault_memory(why) : code;
}

/* ---- the three ways of the command ---- */

static int tell_results(const ops_record_results *got) {
    size_t counts[OPS_RECORD_STATES] = {0};
    for (size_t i = 0; i < got->n; i++) {
        const ops_record_result *r = &got->items[i];
        counts[r->state]++;
        if (r->state == OPS_RECORD_REFUSED)
            fprintf(stderr, "stanch: record %zu (%.40s): %s\n", i + 1, r->id ? r->id : "no id", r->fault);
    }
    if (counts[OPS_RECORD_KEPT] + counts[OPS_RECORD_ALREADY] > 0)
        printf("%zu kept, %zu there already, %zu refused; the last record is number %lld\n",
               counts[OPS_RECORD_KEPT], counts[OPS_RECORD_ALREADY], counts[OPS_RECORD_REFUSED], got->last);
    return counts[OPS_RECORD_REFUSED] > 0 ? fault_exit(E_INPUT) : 0;
}

static status take_file(const char *path, const char *file, const ops_actor *actor, arena *memory,
                        int *exit_code, fault *why) {
    char *bytes = NULL;
    size_t length;
    ops_record_results got;
    status code = file_read(file, &bytes, &length, why);
    if (code == OK && strlen(bytes) != length) code = fault_set(why, E_INPUT, "%s: holds a NUL byte", file);
    if (code == OK) code = ops_record(path, bytes, actor, memory, &got, why);
    if (code == OK) *exit_code = tell_results(&got);
    mem_free(bytes);
    return code;
}

/* A record stays for good: a name mistyped would be a photo that is missing for good. */
static status check_photo(const char *path, const record_words *w, arena *memory, fault *why) {
    const char *named = NULL, *found = NULL;
    for (size_t i = 0; i < SAID; i++)
        if (strcmp(said[i].field, "photo") == 0) named = w->values[i];
    if (!named) return OK;
    status code = ops_photo_find(path, named, memory, &found, why);
    if (code == OK && !found)
        code =
            fault_set(why, E_INPUT, "record: --photo is %.80s; no such file is beside the job file", named);
    return code;
}

static status take_words(const record_words *w, char **operands, const ops_actor *actor, arena *memory,
                         fault *why) {
    ops_records all;
    ops_record_results got;
    text json = {0};
    status code = ops_records_load(operands[0], memory, &all, why);
    json_out o = {.to = &json};
    if (code == OK) code = check_photo(operands[0], w, memory, why);
    if (code == OK) code = write_request(&o, w, operands, &all, actor, why);
    if (code == OK) code = ops_record(operands[0], text_get(&json), actor, memory, &got, why);
    text_free(&json);
    if (code != OK) return code;
    if (got.items[0].state == OPS_RECORD_REFUSED)
        return fault_set(why, E_INPUT, "record: %s", got.items[0].fault);
    printf("%s %s: kept as record %lld\n", operands[1], operands[2], got.items[0].seq);
    return OK;
}

static status check_words(const record_words *w, size_t n, fault *why) {
    size_t given = 0;
    for (size_t i = 0; i < SAID; i++) given += w->values[i] != NULL;
    if ((w->list || w->from) && (n != 1 || given > 0 || (w->list && w->from)))
        return fault_set(why, E_INPUT, "record: %s takes the job%s and nothing else",
                         w->list ? "--list" : "--from FILE", w->list ? ", --mark MARK" : "");
    if (w->mark && !w->list)
        return fault_set(why, E_INPUT, "record: --mark goes with --list; a record's mark is a word");
    if (!w->list && !w->from && n != 3)
        return fault_set(why, E_INPUT,
                         "record: use: stanch record JOB MARK WHAT, JOB --list or JOB --from FILE");
    return OK;
}

static const char about[] =
    "Keeps what was done at the wall, e.g. stanch record cellar.stanch E3 finish --step cut --by \"N. N.\" "
    "--length 3 "
    "--depth 37. MARK is a leak's, or site; WHAT is start, finish, hold, found, used, photo, note, "
    "correction, settled, level (of a tank; MARK is site), proof or deviation. "
    "Records are never changed: a correction is a new record about the old one. --list prints them. --from "
    "takes "
    "{\"records\": [...]} as the page sends it; each record is kept once, however often it is sent.";

static status read_words(record_words *w, int argc, char **argv, size_t *n, bool *done, fault *why) {
    options_item items[SAID + 3];
    for (size_t i = 0; i < SAID; i++) {
        items[i] = said[i].item;
        items[i].text = &w->values[i];
    }
    items[SAID] = (options_item){"--list", NULL, "print the records and what is in conflict", NULL, &w->list};
    items[SAID + 1] = (options_item){"--mark", "MARK", "of one leak only", &w->mark, NULL};
    items[SAID + 2] =
        (options_item){"--from", "FILE", "records as JSON; - is standard input", &w->from, NULL};
    const options_table table = {"record", "JOB [MARK WHAT]", about, items, SAID + 3, 1, 3};
    status code = options_read(&table, argc, argv, n, done, why);
    return code == OK && !*done ? check_words(w, *n, why) : code;
}

int cli_record(int argc, char **argv) {
    record_words w = {0};
    actor_texts texts;
    ops_actor actor;
    fault why = {0};
    size_t n;
    bool done;
    int exit_code = 0;
    status code = read_words(&w, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    arena *memory = code == OK ? arena_new() : NULL;
    if (code == OK && !memory) code = fault_memory(&why);
    if (code == OK) code = actor_read(&texts, &actor, &why);
    if (code == OK && w.list)
        code = record_list_print(argv[1], w.mark, memory, &why);
    else if (code == OK && w.from)
        code = take_file(argv[1], w.from, &actor, memory, &exit_code, &why);
    else if (code == OK)
        code = take_words(&w, argv + 1, &actor, memory, &why);
    arena_free(memory);
    return code == OK ? exit_code : cli_fail(&why);
}
