/* Days of the calendar. Outside values: POSIX seconds since the Epoch by GNU date (`date -u -d DAY +%s` over 86,400). */
#include "../near.h"
#include "core/date.h"

#include <stdio.h>

static void days_since_1970(void **state) {
    static const struct {
        const char *text;
        long long days;
    } cases[] = {{"1900-03-01", -25508}, {"1969-12-31", -1},     {"1970-01-01", 0},     {"1972-02-29", 789},
                 {"1999-12-31", 10956},  {"2000-02-29", 11016},  {"2000-03-01", 11017}, {"2026-11-25", 20782},
                 {"2100-03-01", 47541},  {"9999-12-31", 2932896}};
    (void)state;
    for (size_t i = 0; i < COUNT(cases); i++) {
        long long days = -1;
        assert_true(date_day(cases[i].text, &days));
        assert_int_equal(days, cases[i].days);
        calendar_day back = date_of_days(days);
        char text[32];
        snprintf(text, sizeof text, "%04d-%02d-%02d", back.year, back.month, back.day);
        assert_string_equal(text, cases[i].text);
    }
}

/* One day after another for 400 years: each exists, counts one more, and the next date is the one written. */
static void every_day_counts_one(void **state) {
    long long want = 0, days;
    char text[16];
    (void)state;
    for (int year = 1970; year < 2370; year++)
        for (int month = 1; month <= 12; month++)
            for (int day = 1; day <= 31; day++) {
                snprintf(text, sizeof text, "%04d-%02d-%02d", year, month, day);
                if (!date_day(text, &days)) continue;
                assert_int_equal(days, want++);
                calendar_day back = date_of_days(days);
                assert_true(back.year == year && back.month == month && back.day == day);
            }
    assert_int_equal(want, 146097); /* days of 400 years of the Gregorian calendar */
}

static void what_is_no_date(void **state) {
    static const char *const wrong[] = {"",           "2026",        "2026-02-29", "2026-13-01", "2026-00-01",
                                        "2026-04-31", "0000-12-31",  "2026-1-01",  "2026-01-0",  "2026/01/01",
                                        "2100-02-29", "2026-01-01x", " 2026-01-01"};
    long long days;
    (void)state;
    for (size_t i = 0; i < COUNT(wrong); i++) assert_false(date_day(wrong[i], &days));
    assert_false(date_day(NULL, &days));
    calendar_day at;
    assert_true(date_read("2026-03-01T09:30:00Z", &at));
    assert_int_equal(at.year * 10000 + at.month * 100 + at.day, 20260301);
}

static void day_of_a_year(void **state) {
    (void)state;
    assert_int_equal(date_of_year((calendar_day){2026, 1, 1}), 0);
    assert_int_equal(date_of_year((calendar_day){2024, 2, 28}), 58);
    assert_int_equal(date_of_year((calendar_day){2024, 2, 29}), 58);
    assert_int_equal(date_of_year((calendar_day){2024, 3, 1}), 59);
    assert_int_equal(date_of_year((calendar_day){2024, 12, 31}), 364);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(days_since_1970),
        cmocka_unit_test(every_day_counts_one),
        cmocka_unit_test(what_is_no_date),
        cmocka_unit_test(day_of_a_year),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
