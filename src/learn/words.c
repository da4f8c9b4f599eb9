#include "learn/learn.h"

const char *const learn_temperature_words[LEARN_TEMPERATURES] = {"below 10 C", "10 to 25 C", "above 25 C"};
