#include "accept/accept.h"

const char *const watertest_verdict_words[WATERTEST_VERDICTS] = {"pass", "fail", "undecided"};
const char *const watertest_allowed_words[ALLOWED_UNITS] = {"percent_day", "mm", "l_m2", "none"};
const char *const proof_verdict_words[PROOF_VERDICTS] = {"kept", "broken", "not proven", "open"};
const char *const revisit_words[REVISITS] = {"24 h", "7 d", "28 d", "high water"};
const char *const revisit_state_words[REVISIT_STATES] = {"waiting", "due", "overdue", "done"};
