/* Quantities for the invoice: of a line of the offer, what was recorded. */
#include "accept/built_parts.h"

#include "price/ways.h"

#include <math.h>
#include <string.h>

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

/* ---- hours ---- */

/* The steps whose hours a line has; those of no line are billed by one of ours. */
static const struct {
    const char *code, *steps[4], *basis;
} labour[] = {
    {"hours_scan", {"scan"}, "labour-hours recorded at the scans"},
    {"hours_cut", {"cut"}, "labour-hours recorded at cutting"},
    {"hours_wash",
     {"wash", "soak"},
     "labour-hours recorded at washing and at wetting to saturated surface-dry"},
    {"hours_plug", {"plug"}, "labour-hours recorded at plugging"},
    {"hours_relief", {"relief", "close_relief"}, "labour-hours recorded at setting and closing tubes"},
    {"hours_pack", {"pack"}, "labour-hours recorded at dry-packing"},
    {"hours_coat", {"first_coat", "last_coat"}, "labour-hours recorded at first and last coats"},
    {"hours_drill", {"ports"}, "labour-hours recorded at drilling and setting packers"},
    {"hours_inject",
     {"surface_seal", "flush", "inject", "strip"},
     "labour-hours recorded at sealing the face, flushing, injecting and stripping"},
    {"hours_seal",
     {"rout", "prime", "backer", "seal"},
     "labour-hours recorded at routing, priming, backer and sealant"},
    {"hours_drain", {"channel", "outlet"}, "labour-hours recorded at channels and outlets"},
    {"keep_moist", {"cure"}, "labour-hours recorded at keeping moist"},
};

static double hours_of(const building *b, const char *const steps[4]) {
    double sum = 0;
    for (int k = 0; k < 4 && steps[k]; k++) {
        int step = built_step_of(steps[k]);
        for (size_t i = 0; i <= b->p->n_leaks; i++) sum += b->work[i].steps[step].hours;
    }
    return sum;
}

static bool measure_labour(const building *b, const char *code, built_measure *out) {
    for (size_t i = 0; i < COUNT_OF(labour); i++) {
        if (strcmp(labour[i].code, code) != 0) continue;
        double hours = hours_of(b, labour[i].steps);
        *out = (built_measure){{hours > 0, hours}, UNITS_PLAIN, labour[i].basis, hours};
        return true;
    }
    return false;
}

/* ---- amounts at the leaks ---- */

typedef enum { AMOUNT_CUT, AMOUNT_SCANNED, AMOUNT_ONE, AMOUNT_WASH, AMOUNT_SPOIL, AMOUNT_WAY } amount_kind;

/* Counted at leaks whose step is recorded as done. */
static const struct {
    const char *code, *steps[3];
    amount_kind kind;
    ways_amount way;
    units_quantity q;
    const char *basis;
    const char *extra; /* label where the offer has no such line; NULL: not asked */
} amounts[] = {
    {"saw_blade_m",
     {"cut", "rout"},
     AMOUNT_CUT,
     WAYS_COUNT,
     UNITS_LENGTH,
     "length found at the leaks cut",
     NULL},
    {"scan_m",
     {"scan"},
     AMOUNT_SCANNED,
     WAYS_COUNT,
     UNITS_LENGTH,
     "leaks scanned: length found, else planned",
     NULL},
    {"relief_tube_each",
     {"relief"},
     AMOUNT_ONE,
     WAYS_COUNT,
     UNITS_PLAIN,
     "relief tubes recorded as set",
     "Relief tubes"},
    {"drill_bit_m",
     {"ports"},
     AMOUNT_WAY,
     WAYS_DRILLED,
     UNITS_LENGTH,
     "planned length at leaks whose packers are recorded as set",
     NULL},
    {"packer_each",
     {"ports"},
     AMOUNT_WAY,
     WAYS_PACKERS,
     UNITS_PLAIN,
     "planned number at leaks whose packers are recorded as set",
     "Injection packers"},
    {"surface_seal_m",
     {"surface_seal"},
     AMOUNT_WAY,
     WAYS_FACE,
     UNITS_LENGTH,
     "planned length at leaks whose face is recorded as sealed",
     NULL},
    {"backer_m",
     {"backer"},
     AMOUNT_WAY,
     WAYS_BACKER,
     UNITS_LENGTH,
     "leaks whose backer is recorded as set: length found, else planned",
     NULL},
    {"channel_m",
     {"channel"},
     AMOUNT_WAY,
     WAYS_CHANNEL,
     UNITS_LENGTH,
     "leaks whose channel is recorded as fixed: length found, else planned",
     "Drain channel"},
    {"outlet_each", {"outlet"}, AMOUNT_WAY, WAYS_OUTLETS, UNITS_PLAIN, "outlets recorded as set", NULL},
    {"disposal_wash_l",
     {"wash"},
     AMOUNT_WASH,
     WAYS_COUNT,
     UNITS_VOLUME,
     "planned water of leaks recorded as washed, by the length found",
     NULL},
    {"disposal_spoil_kg",
     {"cut", "rout", "ports"},
     AMOUNT_SPOIL,
     WAYS_COUNT,
     UNITS_MASS,
     "planned spoil of leaks recorded as cut, by the volume found",
     NULL},
};

static bool is_done(const built_work *w, const char *const steps[3]) {
    for (int k = 0; k < 3 && steps[k]; k++)
        if (w->steps[built_step_of(steps[k])].done) return true;
    return false;
}

static double amount_at(const building *b, size_t leak, size_t row) {
    const plan *p = b->p;
    const built_work *w = &b->work[leak];
    const takeoff_leak *t = &p->takeoff.leaks[leak];
    double ways[WAYS_COUNT];
    bool cut = w->cut_step && (strcmp(w->cut_step, "cut") == 0 || strcmp(w->cut_step, "rout") == 0);
    if (amounts[row].kind == AMOUNT_CUT) return cut && w->found_length_m.known ? w->found_length_m.v : 0;
    if (!is_done(w, amounts[row].steps)) return 0;
    ways_count(&p->designs[leak], t, ways);
    switch (amounts[row].kind) {
    case AMOUNT_ONE: return 1;
    case AMOUNT_SCANNED:
        return w->found_length_m.known ? w->found_length_m.v : w->length_m.known ? w->length_m.v : 0;
    case AMOUNT_WASH: return t->wash_water_m3 * w->longer;
    case AMOUNT_SPOIL: return t->spoil_kg * w->larger;
    case AMOUNT_WAY: {
        bool along = amounts[row].way == WAYS_BACKER || amounts[row].way == WAYS_CHANNEL;
        return ways[amounts[row].way] * (along ? w->longer : 1);
    }
    case AMOUNT_CUT: break;
    }
    return 0;
}

built_measure built_measure_row(const building *b, size_t row) {
    double sum = 0;
    for (size_t i = 0; i < b->p->n_leaks; i++) sum += amount_at(b, i, row);
    return (built_measure){{sum > 0, sum}, amounts[row].q, amounts[row].basis, 0};
}

static bool measure_amount(const building *b, const char *code, built_measure *out) {
    for (size_t i = 0; i < COUNT_OF(amounts); i++) {
        if (strcmp(amounts[i].code, code) != 0) continue;
        *out = built_measure_row(b, i);
        return true;
    }
    return false;
}

/* ---- days, visits, once ---- */

static double days_till(const building *b, long long last) {
    double n = 0;
    for (size_t i = 0; i < b->n_days; i++) n += b->days[i] <= last;
    return n;
}

static double visits(const building *b) {
    double n = 0;
    for (size_t i = 0; i < b->n_proof_days; i++)
        n += b->n_days > 0 && b->proof_days[i] > b->days[b->n_days - 1];
    return n;
}

static bool measure_site(const building *b, const estimate_line *line, built_measure *out) {
    const char *code = line->code;
    double n = 0;
    out->q = UNITS_PLAIN;
    if (strcmp(code, "plant_day") == 0 || strcmp(code, "access_day") == 0) {
        n = (double)b->n_days;
        out->basis = "days on which work was recorded";
    } else if (strcmp(code, "dewatering_day") == 0) {
        n = b->shut ? days_till(b, b->shut_day) : 0;
        out->basis = "days on which work was recorded, to the last on which a leak was closed";
    } else if (strcmp(code, "return_visit") == 0) {
        n = visits(b);
        out->basis = "days of tests after the last day of work";
    } else if (strcmp(code, "mobilisation") == 0) {
        n = b->n_days > 0 ? line->quantity : 0;
        out->basis = "as offered";
    } else {
        return false;
    }
    out->si = (maybe){n > 0, n};
    return true;
}

/* ---- materials ---- */

built_measure built_measure_material(const building *b, size_t at) {
    bool volume = takeoff_by_volume(&b->p->survey->materials[at]);
    const built_stuff *all = &b->all[at];
    return (built_measure){{all->kg_known, volume ? all->m3 : all->kg},
                           volume ? UNITS_VOLUME : UNITS_MASS,
                           "recorded as used",
                           0};
}

bool built_measure_line(const building *b, const estimate_line *line, built_measure *out) {
    *out = (built_measure){.q = UNITS_PLAIN};
    return measure_labour(b, line->code, out) || measure_amount(b, line->code, out) ||
           measure_site(b, line, out);
}

const char *built_measure_extra(size_t row, const char **code) {
    if (row >= COUNT_OF(amounts)) return NULL;
    *code = amounts[row].code;
    return amounts[row].extra ? amounts[row].extra : "";
}
