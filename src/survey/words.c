#include "survey/survey.h"

const char *const survey_lie_words[LIE_COUNT] = {"wall", "floor", "soffit"};
const char *const survey_behind_words[BEHIND_COUNT] = {"ground", "tank"};
const char *const survey_known_words[KNOWN_COUNT] = {"measured", "told", "assumed"};
const char *const survey_kind_words[KIND_COUNT] = {"crack", "joint", "tie_hole", "penetration", "honeycomb"};
const char *const survey_wetness_words[WET_COUNT] = {"dry", "damp", "seep", "drip", "run", "jet"};
const char *const survey_bar_words[BAR_COUNT] = {"not_scanned", "none", "crossing", "along"};
const char *const survey_slot_words[SLOT_FACES_COUNT] = {"sawn", "chipped"};
const char *const survey_role_words[ROLE_COUNT] = {"plug", "slurry", "pack", "resin", "sealant"};
const char *const survey_basis_words[BASIS_COUNT] = {"published", "default", "own"};
const char *const survey_state_words[STATE_COUNT] = {"uncut", "cut"};
const char *const survey_waterstop_words[STOP_COUNT] = {"unknown", "none", "there"};
const char *const survey_sign_words[SIGN_COUNT] = {"growing",       "offset",  "bulging",  "prestress",
                                                   "soil",          "bar_cut", "drainage", "rust",
                                                   "cause_unknown", "moving",  "settled"};
const char *const survey_far_words[FAR_COUNT] = {"unknown", "closed", "open"};
const char *const survey_resin_words[RESIN_COUNT] = {"none", "cement", "epoxy", "polyurethane", "acrylate"};
const char *const survey_method_words[METHOD_COUNT] = {"slot_plug",
                                                       "slot_pack",
                                                       "coat",
                                                       "hole",
                                                       "ring",
                                                       "cut_back",
                                                       "inject_cement",
                                                       "inject_epoxy",
                                                       "inject_polyurethane",
                                                       "inject_acrylate",
                                                       "flexible",
                                                       "drain",
                                                       "watch",
                                                       "engineer"};
const char *const survey_healing_words[HEALING_RULES] = {
    "en1992_3", "dafstb",        "fib2020", "fib2020_healing",
    "aci224r",  "as3735",        "bs8007",  "bs8007_appearance",
    "aci350",   "aci350_severe", "hs2"};
const char *const survey_tightness_words[TIGHT_COUNT] = {
    "not_agreed", "ztv_1",     "ztv_2",      "ztv_3",      "bs8102_1a",  "bs8102_1b",
    "bs8102_2",   "bs8102_3",  "en1992_3_0", "en1992_3_1", "en1992_3_2", "en1992_3_3",
    "gb50108_1",  "gb50108_2", "gb50108_3",  "gb50108_4"};
const char *const survey_access_words[ACCESS_COUNT] = {"ground", "ladder", "lift"};
const char *const survey_plant_words[PLANT_COUNT] = {"cutter", "drill",  "mixer", "compressor",
                                                     "lift",   "vacuum", "pump"};
const char *const survey_day_words[SURVEY_WEEK_DAYS] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};
const char *const survey_criterion_words[CRITERION_COUNT] = {
    "awwa_d110",           "aci_awwa_1978",  "aci350_nml", "aci350_025", "aci350_050",
    "aci350_075",          "aci350_100",     "bs5337",     "bs8007",     "en1610_pipe",
    "en1610_pipe_manhole", "en1610_chamber", "precast"};
const char *const survey_pan_words[PAN_COUNT] = {"unknown", "open", "covered"};
