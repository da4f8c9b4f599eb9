#include "diagnose/tightness.h"

#include <assert.h>

static const double GB_POINT_M3_S = 2.5e-3 / 86400; /* GB 50108-2008 grade 3: 2.5 l a day at a leak point */

/* GB 50108-2008 grade 4: 2 l a day on a square metre, on average: value from memory */
static const double GB_AREA_M_S = 2e-3 / 86400;

/* What a word seen at the leak means for a class. BY_FLOW: a measured flow decides, up to 2.5 l a day. */
typedef enum { K, B, N, BY_FLOW } word_rule; /* kept, broken, not seen */

typedef struct {
    const char *name, *asks, *source;
    word_rule by[WET_COUNT]; /* dry damp seep drip run jet */
} tightness_row;

#define ZTV                                                                                                  \
    "ZTV-ING, Table 5-14 of the text read, through a page that quotes it; the order of decision is our "     \
    "default"
#define BS_A "BS 8102:2022 Table 2, through a page that quotes it"
#define BS_B "BS 8102:2022 Table 2, through a page that quotes it; its second reading: value from memory"
#define EN "EN 1992-3:2006 7.3.1, through Bhatt et al."
#define GB "GB 50108-2008, through three reproductions that agree"
#define GB_4                                                                                                 \
    "GB 50108-2008, through three reproductions that agree; no line flow and no mud: value from memory"

static const tightness_row rows[TIGHT_COUNT] = {
    [TIGHT_NOT_AGREED] = {"no class agreed", "Nothing is agreed.", "-", {N, N, N, N, N, N}},
    [TIGHT_ZTV_1] = {"ZTV-ING class 1, completely dry",
                     "No damp patch can be detected.",
                     ZTV,
                     {K, B, B, B, B, B}},
    [TIGHT_ZTV_2] = {"ZTV-ING class 2, largely dry",
                     "Isolated slight damp: the hand stays dry, blotting paper does not discolour.",
                     ZTV,
                     {K, K, B, B, B, B}},
    [TIGHT_ZTV_3] = {"ZTV-ING class 3, capillary damp",
                     "Isolated patches wet to the touch, blotting paper discolours; nothing drips.",
                     ZTV,
                     {K, K, K, B, B, B}},
    [TIGHT_BS8102_1A] = {"BS 8102 grade 1a",
                         "Seepage is allowed, as in a car park; nothing drips or runs.",
                         BS_A,
                         {K, K, K, B, B, B}},
    [TIGHT_BS8102_1B] = {"BS 8102 grade 1b", "Damp is allowed, seepage is not.", BS_B, {K, K, B, B, B, B}},
    [TIGHT_BS8102_2] =
        {"BS 8102 grade 2",
         "No water comes in; one reading allows vapour only, another damp too: check the standard.",
         BS_A,
         {K, N, B, B, B, B}},
    [TIGHT_BS8102_3] = {"BS 8102 grade 3", "Dry, as in rooms that people live in.", BS_A, {K, B, B, B, B, B}},
    [TIGHT_EN1992_3_0] = {"EN 1992-3 class 0",
                          "Some leakage is acceptable or irrelevant.",
                          EN,
                          {K, K, K, K, K, K}},
    [TIGHT_EN1992_3_1] = {"EN 1992-3 class 1",
                          "Small leakage only; some staining or damp patches are acceptable.",
                          EN,
                          {K, K, K, B, B, B}},
    [TIGHT_EN1992_3_2] = {"EN 1992-3 class 2",
                          "Minimal leakage; stains do not spoil the appearance.",
                          EN,
                          {K, N, B, B, B, B}},
    [TIGHT_EN1992_3_3] = {"EN 1992-3 class 3", "No leakage is permitted.", EN, {K, B, B, B, B, B}},
    [TIGHT_GB50108_1] = {"GB 50108 grade 1", "No seepage and no wet stain.", GB, {K, B, B, B, B, B}},
    [TIGHT_GB50108_2] = {"GB 50108 grade 2",
                         "No leak; few wet stains, in buildings at most 0.1 % of the area and 0.1 m2 each.",
                         GB,
                         {K, N, B, B, B, B}},
    [TIGHT_GB50108_3] =
        {"GB 50108 grade 3",
         "Few leak points, no line flow, no mud; at most 2.5 l a day at a point, stains of 0.3 m2 each.",
         GB,
         {K, N, BY_FLOW, BY_FLOW, B, B}},
    [TIGHT_GB50108_4] =
        {"GB 50108 grade 4",
         "Leak points but no line flow and no mud; on average at most 2 l a day on a square metre.",
         GB_4,
         {K, N, N, N, B, B}},
};

const char *tightness_name(survey_tightness t) {
    assert(t < TIGHT_COUNT);
    return rows[t].name;
}

const char *tightness_asks(survey_tightness t) {
    assert(t < TIGHT_COUNT);
    return rows[t].asks;
}

const char *tightness_source(survey_tightness t) {
    assert(t < TIGHT_COUNT);
    return rows[t].source;
}

/* The word that a flow stands for. */
static survey_wetness word_of(leakgrade grade) {
    static const survey_wetness words[] = {
        [LEAKGRADE_DRY] = WET_DRY,   [LEAKGRADE_DAMP] = WET_DAMP,     [LEAKGRADE_SEEP] = WET_SEEP,
        [LEAKGRADE_DRIP] = WET_DRIP, [LEAKGRADE_RUN_SMALL] = WET_RUN, [LEAKGRADE_RUN_LARGE] = WET_RUN,
        [LEAKGRADE_JET] = WET_JET,
    };
    return words[grade];
}

static bool mud_breaks(survey_tightness t) {
    return t == TIGHT_GB50108_3 || t == TIGHT_GB50108_4;
}

tightness_verdict tightness_of_leak(survey_tightness t, const leak_water *leak) {
    assert(t < TIGHT_COUNT);
    const survey_defect *d = leak->defect;
    bool measured = leak->flow_measured_m3_s.known, counted = leak->drips_per_min.known;
    if (t == TIGHT_NOT_AGREED || (d->n_stations == 0 && !measured && !counted)) return TIGHT_NOT_SEEN;
    survey_wetness worst = leak->worst;
    if (measured) {
        survey_wetness word = word_of(leakgrade_of(leak->flow_measured_m3_s.v));
        if (word > worst) worst = word;
    }
    if (counted && leak->drips_per_min.v > 0 && worst < WET_DRIP) worst = WET_DRIP;
    if (mud_breaks(t) && (d->signs & SIGN_BIT(SIGN_SOIL))) return TIGHT_BROKEN;
    switch (rows[t].by[worst]) {
    case K: return TIGHT_KEPT;
    case B: return TIGHT_BROKEN;
    case N: return TIGHT_NOT_SEEN;
    case BY_FLOW: break;
    }
    if (!measured) return TIGHT_NOT_SEEN;
    return leak->flow_measured_m3_s.v <= GB_POINT_M3_S * (1 + 1e-9) ? TIGHT_KEPT : TIGHT_BROKEN;
}

/* ---- by a test ---- */

static survey_wetness worse(survey_wetness a, survey_wetness b) {
    return a > b ? a : b;
}

static survey_wetness better(survey_wetness a, survey_wetness b) {
    return a < b ? a : b;
}

static survey_wetness least_of(const tightness_test *x) {
    survey_wetness least = x->wetness.known ? (survey_wetness)x->wetness.v : WET_DRY;
    if (x->hand == TOUCH_DAMP || x->paper == PAPER_MARKED) least = worse(least, WET_DAMP);
    if (x->hand == TOUCH_WET) least = worse(least, WET_SEEP);
    if (x->drips_per_min.known && x->drips_per_min.v > 0) least = worse(least, WET_DRIP);
    if (x->flow_m3_s.known) least = worse(least, word_of(leakgrade_of(x->flow_m3_s.v)));
    return least;
}

/* Where nothing dripped it seeps at most; where the hand stayed dry there is damp at most, and with clean paper not even that. */
static survey_wetness most_of(const tightness_test *x) {
    survey_wetness most = WET_JET;
    if (x->drips_per_min.known && !(x->drips_per_min.v > 0)) most = WET_SEEP;
    if (x->flow_m3_s.known) most = better(most, worse(word_of(leakgrade_of(x->flow_m3_s.v)), WET_SEEP));
    if (x->hand == TOUCH_DAMP) most = better(most, WET_SEEP);
    if (x->hand == TOUCH_DRY || x->paper == PAPER_CLEAN) most = better(most, WET_DAMP);
    if (x->hand == TOUCH_DRY && x->paper == PAPER_CLEAN) most = WET_DRY;
    if (x->wetness.known) most = better(most, (survey_wetness)x->wetness.v);
    return worse(most, least_of(x));
}

static tightness_verdict by_word(survey_tightness t, const tightness_test *x, survey_wetness word) {
    bool by_area = t == TIGHT_GB50108_4 && x->flow_m3_s.known && x->area_m2.known && x->area_m2.v > 0;
    if (by_area && x->flow_m3_s.v > GB_AREA_M_S * x->area_m2.v * (1 + 1e-9)) return TIGHT_BROKEN;
    switch (rows[t].by[word]) {
    case K: return TIGHT_KEPT;
    case B: return TIGHT_BROKEN;
    case N: return TIGHT_NOT_SEEN;
    case BY_FLOW: break;
    }
    if (!x->flow_m3_s.known) return TIGHT_NOT_SEEN;
    return x->flow_m3_s.v <= GB_POINT_M3_S * (1 + 1e-9) ? TIGHT_KEPT : TIGHT_BROKEN;
}

/* Both hand and paper are what these two classes ask for. */
static bool by_touch(survey_tightness t) {
    return t == TIGHT_ZTV_1 || t == TIGHT_ZTV_2;
}

static const char *not_looked_at(survey_tightness t, const tightness_test *x) {
    bool counted = x->drips_per_min.known || x->flow_m3_s.known;
    if (least_of(x) < WET_DRIP && most_of(x) >= WET_DRIP && !counted) return "drips were not counted";
    if (x->hand == TOUCH_NOT_TOLD && most_of(x) > WET_DRY) return "no dry hand was laid on it";
    if (x->paper == PAPER_NOT_TOLD && least_of(x) <= WET_DAMP) return "blotting paper was not tried";
    if (t == TIGHT_BS8102_2) return "damp is read in two ways here: check the standard";
    if (t == TIGHT_EN1992_3_2) return "whether stains spoil the appearance is not told";
    if (t == TIGHT_GB50108_3 && least_of(x) > WET_DAMP) return "the water was not collected over a time";
    if (t == TIGHT_GB50108_4) return "the other leaks of the area count too";
    if (t == TIGHT_GB50108_2 || t == TIGHT_GB50108_3) return "the wet stains were not measured";
    return "whether it seeps is not told";
}

tightness_verdict tightness_of_test(survey_tightness t, const tightness_test *test, const char **missing) {
    assert(t < TIGHT_COUNT);
    tightness_verdict verdict = TIGHT_KEPT;
    survey_wetness least = least_of(test), most = most_of(test);
    bool touched = test->hand != TOUCH_NOT_TOLD && test->paper != PAPER_NOT_TOLD;
    if (missing) *missing = NULL;
    for (int word = (int)least; word <= (int)most; word++)
        if (by_word(t, test, (survey_wetness)word) != TIGHT_KEPT) verdict = TIGHT_NOT_SEEN;
    if (by_word(t, test, least) == TIGHT_BROKEN) verdict = TIGHT_BROKEN;
    if (by_touch(t) && (test->hand > TOUCH_DRY || test->paper == PAPER_MARKED)) verdict = TIGHT_BROKEN;
    if (by_touch(t) && verdict == TIGHT_KEPT && !touched) verdict = TIGHT_NOT_SEEN;
    if (verdict == TIGHT_NOT_SEEN && missing) *missing = not_looked_at(t, test);
    return verdict;
}

/* Each family's classes, the best first. */
static const survey_tightness families[][4] = {
    {TIGHT_ZTV_1, TIGHT_ZTV_2, TIGHT_ZTV_3, TIGHT_NOT_AGREED},
    {TIGHT_BS8102_3, TIGHT_BS8102_2, TIGHT_BS8102_1B, TIGHT_BS8102_1A},
    {TIGHT_EN1992_3_3, TIGHT_EN1992_3_2, TIGHT_EN1992_3_1, TIGHT_EN1992_3_0},
    {TIGHT_GB50108_1, TIGHT_GB50108_2, TIGHT_GB50108_3, TIGHT_GB50108_4},
};

static const survey_tightness *family_of(survey_tightness t) {
    for (size_t f = 0; t != TIGHT_NOT_AGREED && f < sizeof families / sizeof *families; f++)
        for (int i = 0; i < 4; i++)
            if (families[f][i] == t) return families[f];
    return NULL;
}

int tightness_rank(survey_tightness t) {
    const survey_tightness *family = family_of(t);
    int rank = 0;
    while (family && family[rank] != t) rank++;
    return rank;
}

survey_tightness tightness_reached(survey_tightness t, const tightness_test *test) {
    const survey_tightness *family = family_of(t);
    for (int i = 0; family && i < 4; i++)
        if (family[i] != TIGHT_NOT_AGREED && tightness_of_test(family[i], test, NULL) == TIGHT_KEPT)
            return family[i];
    return TIGHT_NOT_AGREED;
}
