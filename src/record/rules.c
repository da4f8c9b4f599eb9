#include "record/rules.h"

#include "core/date.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

bool record_is_uuid(const char *t) {
    if (!t || strlen(t) != 36) return false;
    for (int i = 0; i < 36; i++) {
        bool dash = i == 8 || i == 13 || i == 18 || i == 23;
        bool hex = isdigit((unsigned char)t[i]) || (t[i] >= 'a' && t[i] <= 'f');
        if (dash ? t[i] != '-' : !hex) return false;
    }
    return true;
}

static int number(const char *from, int digits) {
    int value = 0;
    for (int i = 0; i < digits; i++) value = value * 10 + (from[i] - '0');
    return value;
}

bool record_time(const char *t, long long *seconds) {
    static const char form[] = "0000-00-00T00:00:00Z";
    calendar_day day;
    if (!t || strlen(t) != sizeof form - 1 || !date_read(t, &day) || day.year < 2000) return false;
    for (size_t i = 10; i < sizeof form - 1; i++)
        if (form[i] == '0' ? !isdigit((unsigned char)t[i]) : t[i] != form[i]) return false;
    int hour = number(t + 11, 2), minute = number(t + 14, 2), second = number(t + 17, 2);
    if (hour > 23 || minute > 59 || second > 59) return false;
    *seconds = date_days(day) * 86400 + hour * 3600LL + minute * 60LL + second;
    return true;
}

static bool is_known(const survey_field *f, const record *r) {
    maybe value;
    if (f->kind != FIELD_MAYBE) return false;
    memcpy(&value, (const char *)r + f->offset, sizeof value);
    return value.known;
}

static bool is_of_material(const survey_field *f) {
    return strcmp(f->name, "powder") == 0 || strcmp(f->name, "water") == 0 || strcmp(f->name, "packs") == 0;
}

uint64_t record_measured(const record *r) {
    uint64_t set = 0;
    for (size_t i = 0; i < record_fields.n; i++)
        if (is_known(&record_fields.fields[i], r) && !is_of_material(&record_fields.fields[i]))
            set |= UINT64_C(1) << i;
    return set;
}

uint64_t record_taken(const record *r) {
    uint64_t set = 0;
    for (size_t i = 0; i < record_fields.n; i++)
        if (is_known(&record_fields.fields[i], r) && is_of_material(&record_fields.fields[i]))
            set |= UINT64_C(1) << i;
    return set;
}

static void check_ids(json_in *in, const json_path *at, const record *r) {
    const struct {
        const char *name, *value;
    } ids[] = {{"id", r->id}, {"device", r->device}, {"about", r->about}, {"other", r->other}};
    for (size_t i = 0; i < sizeof ids / sizeof *ids; i++)
        if (ids[i].value && !record_is_uuid(ids[i].value))
            json_in_fault(in, at, ids[i].name,
                          "is \"%s\"; it must be a UUID in small letters, such as "
                          "6f1c2a9e-0b7d-4c35-9e21-8a5d3b7c4f10",
                          ids[i].value);
    if (r->about && strcmp(r->about, r->id) == 0) json_in_fault(in, at, "about", "is the record itself");
}

static void check_time(json_in *in, const json_path *at, const record *r, const char *now) {
    long long when, clock;
    if (!record_time(r->at, &when))
        json_in_fault(in, at, "at",
                      "is \"%s\"; it must be a time in UTC from the year 2000 on, as 2026-03-01T09:30:00Z",
                      r->at);
    else if (record_time(now, &clock) && when > clock + RECORD_AHEAD_S)
        json_in_fault(in, at, "at", "is %s; it must not be more than 24 h after now, %s", r->at, now);
    if (!(floor(r->seen) == r->seen))
        json_in_fault(in, at, "seen", "is %g; it must be a whole number", r->seen);
}

static void check_step(json_in *in, const json_path *at, const record *r) {
    if (!r->step) return;
    for (size_t i = 0; i < RECORD_STEPS; i++)
        if (strcmp(record_step_words[i], r->step) == 0) return;
    int near = text_nearest(r->step, record_step_words, RECORD_STEPS);
    if (near >= 0)
        json_in_fault(in, at, "step", "\"%s\" is no step; did you mean %s?", r->step,
                      record_step_words[near]);
    else
        json_in_fault(in, at, "step", "\"%s\" is no step of a card", r->step);
}

static void need(json_in *in, const json_path *at, const char *field, const char *value,
                 const char *because) {
    if (!value || !value[strspn(value, " ")]) json_in_fault(in, at, field, "is missing; %s", because);
}

static void check_word(json_in *in, const json_path *at, const char *field, const char *word,
                       const char *const words[], size_t n) {
    text known = {0};
    if (!word) return;
    for (size_t i = 0; i < n; i++)
        if (strcmp(words[i], word) == 0) return;
    for (size_t i = 0; i < n; i++) text_print(&known, "%s%s", i ? ", " : "", words[i]);
    json_in_fault(in, at, field, "is \"%s\"; it must be one of %s", word, text_get(&known));
    text_free(&known);
}

static void check_level(json_in *in, const json_path *at, const record *r) {
    need(in, at, "tank", r->tank, "a reading names its tank");
    need(in, at, "by", r->by, "a reading has been taken by a named person");
    if (strcmp(r->mark, "site") != 0)
        json_in_fault(in, at, "mark", "is \"%s\"; the reading of a tank stands at \"site\"", r->mark);
    if (!r->level_m.known) json_in_fault(in, at, "level", "is missing; it is what a reading is for");
}

/* A stretch half told, or told backwards, would be taken for the whole leak: in a correction as well. */
static void check_stretch(json_in *in, const json_path *at, const record *r) {
    if (r->from_m.known != r->to_m.known || (r->from_m.known && !(r->from_m.v < r->to_m.v)))
        json_in_fault(in, at, "from", "and to are a stretch of the leak: both, the first below the second");
}

static void check_proof(json_in *in, const json_path *at, const record *r) {
    need(in, at, "by", r->by, "a test has been made by a named person");
    if (!r->hand && !r->blotter && !r->drips_per_min.known && !r->volume_m3.known)
        json_in_fault(in, at, NULL, "proof says nothing; it needs hand, blotter, drips or a timed volume");
    if (r->volume_m3.known != r->time_s.known)
        json_in_fault(in, at, NULL, "a volume collected needs its time, a time its volume");
    if (r->time_s.known && !(r->time_s.v >= RECORD_COLLECTED_LEAST_S))
        json_in_fault(in, at, "time", "is %g s; water is collected for at least %g s", r->time_s.v,
                      RECORD_COLLECTED_LEAST_S);
    check_stretch(in, at, r);
}

static void check_words(json_in *in, const json_path *at, const record *r) {
    check_word(in, at, "wetness", r->wetness, survey_wetness_words, WET_COUNT);
    check_word(in, at, "hand", r->hand, record_hand_words, RECORD_HANDS);
    check_word(in, at, "blotter", r->blotter, record_blotter_words, RECORD_BLOTTERS);
}

static void check_members(json_in *in, const json_path *at, const record *r) {
    switch (r->what) {
    case RECORD_HOLD:
        need(in, at, "by", r->by, "a hold point is ticked by a named person");
        need(in, at, "step", r->step, "a hold point belongs to a step");
        break;
    case RECORD_FOUND:
        if (!r->text && !r->wetness && !record_measured(r) && !record_taken(r))
            json_in_fault(in, at, NULL, "found says nothing; it needs a measured value or text");
        break;
    case RECORD_USED:
        if (!r->material && !record_taken(r))
            json_in_fault(in, at, NULL, "used says nothing; it needs material, packs, powder or water");
        break;
    case RECORD_PHOTO: need(in, at, "photo", r->photo, "a record of a photo names it"); break;
    case RECORD_CORRECTION:
        need(in, at, "about", r->about, "a correction names the record that it is about");
        check_stretch(in, at, r);
        break;
    case RECORD_SETTLED:
        need(in, at, "about", r->about, "settled names both records of the conflict");
        need(in, at, "other", r->other, "settled names both records of the conflict");
        if (r->about && r->other && strcmp(r->about, r->other) == 0)
            json_in_fault(in, at, "other", "is the record of about; a conflict has two");
        break;
    case RECORD_LEVEL: check_level(in, at, r); break;
    case RECORD_PROOF: check_proof(in, at, r); break;
    case RECORD_DEVIATION:
        need(in, at, "by", r->by, "a deviation is told by a named person");
        need(in, at, "text", r->text, "a deviation has its reason");
        break;
    case RECORD_START:
    case RECORD_FINISH:
    case RECORD_NOTE:
    case RECORD_WHATS: break;
    }
}

void record_check(json_in *in, const json_path *at, const record *r, const char *now) {
    check_ids(in, at, r);
    check_time(in, at, r, now);
    check_step(in, at, r);
    check_members(in, at, r);
    check_words(in, at, r);
}
