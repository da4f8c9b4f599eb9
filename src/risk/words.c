#include "risk/risk.h"

const char *const risk_group_words[5] = {"lengths", "found wet", "depth", "rates", "prices"};
