#include "risk/risk.h"

const char *const risk_group_words[RISK_GROUPS] = {"lengths", "found wet", "depth", "rates", "prices"};
