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
