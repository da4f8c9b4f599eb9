/* Who may: invitations, logins, how often one may try, sessions, roles; and that no secret lies in the file. The clock
 * is given, so nothing waits. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "store/store.h"
#include "web/code_text.h"
#include "web/tries.h"
#include "web/when.h"
#include "web/who.h"

#include <pthread.h>
#include <sodium.h>
#include <sqlite3.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define NOW "2026-03-01T09:30:00Z"
#define PASS "wet gloves, dry wall"

static char folder[40];
static const char *const endings[] = {"", "-wal", "-shm", "-journal"};

static char *path_of(const char *ending) {
    static char path[80];
    snprintf(path, sizeof path, "%s/stanch-people.db%s", folder, ending);
    return path;
}

static int set_up(void **state) {
    (void)state;
    snprintf(folder, sizeof folder, "/tmp/stanch-who-XXXXXX");
    return mkdtemp(folder) ? 0 : -1;
}

static int tear_down(void **state) {
    (void)state;
    mem_fail_at(-1, 0);
    for (int i = 0; i < 4; i++) unlink(path_of(endings[i]));
    return rmdir(folder); /* fails when something else was left behind */
}

static void must(status code, const fault *why) {
    if (code != OK) fail_msg("%s", why->text);
}

static who *open_site(void) {
    fault why = {OK, ""};
    who *w = NULL;
    must(who_open(folder, true, NULL, &w, &why), &why);
    return w;
}

static who *open_local(void) {
    fault why = {OK, ""};
    who *w = NULL;
    must(who_open(folder, false, "Ana", &w, &why), &why);
    return w;
}

static const char *later(long long seconds) {
    static char times[8][WHEN_TEXT];
    static int next;
    long long now_s = 0;
    assert_true(when_read(NOW, &now_s));
    return when_write(now_s + seconds, times[next++ % 8]);
}

static who_invitation invite(who *w, web_role role) {
    fault why = {OK, ""};
    who_invitation i;
    must(who_invite(w, role, "Ana", NOW, &i, &why), &why);
    return i;
}

static who_entry join(who *w, const char *name, web_role role) {
    fault why = {OK, ""};
    who_invitation i = invite(w, role);
    who_entry entry;
    const who_try t = {i.secret, name, PASS, "192.0.2.7", "a browser", NOW};
    must(who_join(w, &t, &entry, &why), &why);
    return entry;
}

static who_person look(who *w, const char *cookie, const char *now) {
    fault why = {OK, ""};
    who_person p;
    must(who_of(w, cookie, now, &p, &why), &why);
    return p;
}

static void expect_login(who *w, who_try t, status wanted, int code, const char *sentence) {
    fault why = {OK, ""};
    who_entry entry;
    status got = who_login(w, &t, &entry, &why);
    if (got != wanted || entry.code != code || !strstr(why.text, sentence))
        fail_msg("expected %d (%d) \"%s\", got %d (%d) \"%s\"", (int)wanted, code, sentence, (int)got,
                 entry.code, why.text);
    if (got != OK) assert_string_equal(entry.cookie, "");
}

static void expect_join(who *w, const char *invitation, const char *name, const char *now,
                        const char *sentence) {
    fault why = {OK, ""};
    who_entry entry;
    const who_try t = {invitation, name, PASS, "192.0.2.77", NULL, now};
    assert_int_not_equal(who_join(w, &t, &entry, &why), OK);
    if (!strstr(why.text, sentence)) fail_msg("expected \"%s\", got \"%s\"", sentence, why.text);
}

/* ---- the clock ---- */

static void test_when(void **state) {
    (void)state;
    static const struct {
        const char *text;
        long long seconds; /* by `date -u -d ... +%s` */
    } known[] = {{"1970-01-01T00:00:00Z", 0},
                 {"2000-02-29T23:59:59Z", 951868799},
                 {"2026-03-01T09:30:00Z", 1772357400},
                 {"2100-03-01T00:00:00Z", 4107542400},
                 {"9999-12-31T23:59:59Z", 253402300799}};
    static const char *const bad[] = {"",
                                      "2026-03-01",
                                      "2026-02-29T00:00:00Z",
                                      "2026-13-01T00:00:00Z",
                                      "2026-03-01T24:00:00Z",
                                      "2026-03-01T09:60:00Z",
                                      "2026-03-01T09:30:00z",
                                      "1969-12-31T23:59:59Z",
                                      "2026-03-01T09:30:00+",
                                      "2026-3 -01T09:30:00Z"};
    char back[WHEN_TEXT];
    long long s = 0;
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        assert_true(when_read(known[i].text, &s));
        assert_true(s == known[i].seconds);
        assert_string_equal(when_write(s, back), known[i].text);
    }
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        if (when_read(bad[i], &s)) fail_msg("%s was taken for a time", bad[i]);
    assert_false(when_read(NULL, &s));
}

/* ---- tries ---- */

static void test_tries_double(void **state) {
    (void)state;
    static const int waits[] = {0, 0, 0, 0, 15, 30, 60, 120, 240, 480, 900, 900};
    tries *t = tries_new();
    long long now_s = 1000;
    for (size_t i = 0; i < sizeof waits / sizeof *waits; i++) {
        assert_int_equal(tries_wait_s(t, 'n', "ana", now_s), 0);
        tries_failed(t, 'n', "ana", now_s);
        assert_int_equal(tries_wait_s(t, 'n', "ana", now_s), waits[i]);
        assert_int_equal(tries_wait_s(t, 'a', "ana", now_s), 0); /* another kind */
        now_s += waits[i];
    }
    now_s += TRIES_FORGET_S - 1;
    tries_failed(t, 'n', "ana", now_s); /* not yet forgotten */
    assert_int_equal(tries_wait_s(t, 'n', "ana", now_s), 900);
    now_s += 900 + TRIES_FORGET_S;
    tries_failed(t, 'n', "ana", now_s); /* forgotten: the first of five */
    assert_int_equal(tries_wait_s(t, 'n', "ana", now_s), 0);
    for (int i = 0; i < 5; i++) tries_failed(t, 'n', "ana", now_s);
    assert_int_equal(tries_wait_s(t, 'n', "ana", now_s - 86400), 30); /* a clock set back by a day */
    tries_clear(t, 'n', "ana");
    assert_int_equal(tries_wait_s(t, 'n', "ana", now_s), 0);
    tries_free(t);
}

/* One who tries a flood of names neither fills the memory nor pushes out those who wait. */
static void test_tries_are_bounded(void **state) {
    (void)state;
    tries *t = tries_new();
    char name[24];
    for (int i = 0; i < 6; i++) tries_failed(t, 'a', "192.0.2.66", 5000);
    for (int i = 0; i < 2 * TRIES_KEYS; i++) {
        snprintf(name, sizeof name, "name %d", i);
        tries_failed(t, 'n', name, 5001);
    }
    assert_int_equal(tries_wait_s(t, 'a', "192.0.2.66", 5001), 29);
    tries_free(t);
}

/* ---- joining and logging in ---- */

static void test_join_once(void **state) {
    (void)state;
    who *w = open_site();
    who_invitation i = invite(w, WEB_FOREMAN);
    assert_int_equal(strlen(i.secret), 32);
    assert_string_equal(i.until, "2026-03-04T09:30:00Z");
    expect_join(w, "00112233445566778899aabbccddeeff", "Ben", NOW, "this invitation is not known here");
    expect_join(w, i.secret, "Ben", "2026-03-04T09:30:00Z", "this invitation ended at 2026-03-04T09:30:00Z");
    fault why = {OK, ""};
    who_entry entry;
    const who_try t = {i.secret, "  Ben Maß ", PASS, "192.0.2.7", "a browser", "2026-03-04T09:29:59Z"};
    must(who_join(w, &t, &entry, &why), &why);
    assert_true(entry.person.known);
    assert_string_equal(entry.person.name, "Ben Maß");
    assert_int_equal(entry.person.role, WEB_FOREMAN);
    who_person p = look(w, entry.cookie, t.now);
    assert_true(p.known && !p.expired);
    assert_string_equal(p.token, entry.person.token);
    assert_string_not_equal(p.token, entry.cookie);
    expect_join(w, i.secret, "Eve", t.now, "this invitation was used already");
    who_close(w);
}

static void test_names_and_passphrases(void **state) {
    (void)state;
    static const struct {
        const char *name, *passphrase, *sentence;
    } bad[] = {
        {"", PASS, "name: is empty"},
        {"   ", PASS, "name: is empty"},
        {"a\nb", PASS, "name: has a character that is not seen on paper"},
        {"a\xE2\x80\xAE"
         "b",
         PASS, "name: has a character that is not seen on paper"},
        {"Ana\xE2\x80\x8B", PASS, "name: has a character that is not seen on paper"},
        {"\xFF", PASS, "name: is no UTF-8 text"},
        {"1234567890123456789012345678901234567890123456789012345678901", PASS,
         "name: 61 characters; it must have 1 to 60"},
        {"Ben", "ninechars", "passphrase: 9 characters; it must have 10 to 200"},
        {"Ben", "\xC3\xA4\xC3\xA4\xC3\xA4\xC3\xA4\xC3\xA4", "passphrase: 5 characters; it must have 10"},
        {"Ben", "\xC3\xA4\xC3 aaaaaaaaaa", "passphrase: is no UTF-8 text"}};
    char many[900] = "";
    fault why = {OK, ""};
    who_entry entry;
    who *w = open_site();
    who_invitation i = invite(w, WEB_VIEWER);
    for (size_t k = 0; k < sizeof bad / sizeof *bad; k++) {
        const who_try t = {i.secret, bad[k].name, bad[k].passphrase, "192.0.2.7", NULL, NOW};
        assert_int_equal(who_join(w, &t, &entry, &why), E_INPUT);
        if (!strstr(why.text, bad[k].sentence))
            fail_msg("expected \"%s\", got \"%s\"", bad[k].sentence, why.text);
        assert_int_equal(who_login(w, &t, &entry, &why), E_INPUT);
    }
    memset(many, 'x', 201);
    const who_try longer = {i.secret, "Ben", many, "192.0.2.7", NULL, NOW};
    assert_int_equal(who_join(w, &longer, &entry, &why), E_INPUT);
    assert_non_null(strstr(why.text, "passphrase: 201 characters"));
    memset(many, 0, sizeof many);
    for (int k = 0; k < 200; k++) strcat(many, "\xF0\x9F\x92\xA7"); /* 200 characters of four bytes */
    char name[ACCOUNTS_NAME] = "";
    for (int k = 0; k < 60; k++) strcat(name, "\xF0\x9F\x92\xA7");
    const who_try longest = {i.secret, name, many, "192.0.2.7", NULL, NOW};
    must(who_join(w, &longest, &entry, &why), &why);
    assert_string_equal(entry.person.name, name);
    who_close(w);
}

static void test_login(void **state) {
    (void)state;
    fault why = {OK, ""};
    who *w = open_site();
    join(w, "Ana", WEB_ESTIMATOR);
    expect_login(w, (who_try){NULL, "Ana", PASS ".", "192.0.2.8", NULL, NOW}, E_INPUT, 401,
                 "name or passphrase is not right");
    expect_login(w, (who_try){NULL, "Nobody", PASS, "192.0.2.8", NULL, NOW}, E_INPUT, 401,
                 "name or passphrase is not right");
    expect_login(w, (who_try){NULL, "Ana", "short", "192.0.2.8", NULL, NOW}, E_INPUT, 0,
                 "passphrase: 5 characters");
    who_entry entry, other;
    const who_try right = {NULL, "aNA", PASS, "192.0.2.8", "a browser", NOW};
    must(who_login(w, &right, &entry, &why), &why);
    must(who_login(w, &right, &other, &why), &why);
    assert_string_equal(entry.person.name, "Ana");
    assert_int_equal(entry.person.role, WEB_ESTIMATOR);
    assert_string_not_equal(entry.cookie, other.cookie);
    assert_true(who_token_right(&entry.person, entry.person.token));
    assert_false(who_token_right(&entry.person, other.person.token));
    assert_false(who_token_right(&entry.person, NULL));
    assert_false(who_token_right(&entry.person, ""));
    who_person nobody = entry.person;
    nobody.known = false; /* whatever token it has */
    assert_false(who_token_right(&nobody, entry.person.token));
    who_close(w);
    w = open_site(); /* what was kept is there after a restart */
    assert_true(look(w, entry.cookie, NOW).known);
    who_close(w);
}

/* By name from many addresses, and by address with many names. The right passphrase does not help while one waits. */
static void test_tries_are_limited(void **state) {
    (void)state;
    char peer[24], name[24];
    who *w = open_site();
    join(w, "Ana", WEB_ESTIMATOR);
    for (int i = 0; i < 5; i++) {
        snprintf(peer, sizeof peer, "192.0.2.%d", 10 + i);
        expect_login(w, (who_try){NULL, i % 2 ? "ANA" : "Ana", PASS "!", peer, NULL, NOW}, E_INPUT, 401,
                     "not right");
    }
    expect_login(w, (who_try){NULL, "Ana", PASS, "192.0.2.50", NULL, NOW}, E_STATE, 429,
                 "too many tries; wait 15 s before the next one");
    expect_login(w, (who_try){NULL, "Ana", PASS, "192.0.2.50", NULL, later(14)}, E_STATE, 429, "wait 1 s");
    expect_login(w, (who_try){NULL, "Ana", PASS, "192.0.2.50", NULL, later(15)}, OK, 0, "");
    expect_login(w, (who_try){NULL, "Ana", PASS "!", "192.0.2.50", NULL, later(15)}, E_INPUT, 401,
                 "not right");
    for (int i = 0; i < 5; i++) { /* one network of IPv6 is one address */
        snprintf(peer, sizeof peer, "2001:db8:0:1::%d", 10 + i);
        snprintf(name, sizeof name, "guess %d", i);
        expect_join(w, "ffffffffffffffffffffffffffffffff", name, NOW, "not known"); /* another address */
        expect_login(w, (who_try){NULL, name, PASS, peer, NULL, NOW}, E_INPUT, 401, "not right");
    }
    expect_login(w, (who_try){NULL, "Ana", PASS, "2001:db8:0:1::99", NULL, NOW}, E_STATE, 429, "wait 15 s");
    expect_join(w, "ffffffffffffffffffffffffffffffff", "Ben", NOW, "too many tries; wait 15 s");
    who_close(w);
}

/* ---- sessions ---- */

static void test_sessions_expire(void **state) {
    (void)state;
    who *w = open_local();
    fault why = {OK, ""};
    who_entry e, f;
    must(who_local(w, "a browser", NOW, &e, &why), &why);
    must(who_local(w, "another", NOW, &f, &why), &why);
    assert_true(look(w, e.cookie, later(WHO_IDLE_S - 1)).known); /* and seen: idle begins anew */
    assert_true(look(w, e.cookie, later(2LL * WHO_IDLE_S - 2)).known);
    who_person p = look(w, f.cookie, later(WHO_IDLE_S));
    assert_true(!p.known && p.expired && p.role == WEB_NOBODY);
    assert_string_equal(p.token, "");
    assert_false(look(w, f.cookie, NOW).known); /* it is gone, not only over */
    for (long long s = 0; s < WHO_SESSION_S; s += WHO_IDLE_S / 2)
        assert_true(look(w, e.cookie, later(s)).known);
    assert_false(look(w, e.cookie, later(WHO_SESSION_S)).known);
    who_close(w);
}

static void test_cookies_that_are_none(void **state) {
    (void)state;
    who *w = open_local();
    static const char *const odd[] = {"x", "' OR 1=1 --",
                                      "0000000000000000000000000000000000000000000000000000000000000000",
                                      "00000000000000000000000000000000000000000000000000000000000000000"};
    assert_false(look(w, NULL, NOW).expired);
    assert_false(look(w, "", NOW).expired);
    for (int i = 0; i < 4; i++) {
        who_person p = look(w, odd[i], NOW);
        assert_true(!p.known && p.expired && p.role == WEB_NOBODY && !*p.name && !*p.token);
    }
    who_close(w);
}

static size_t count_sessions(who *w, const who_person *asks, const char *now) {
    fault why = {OK, ""};
    arena *memory = arena_new();
    who_session_list list;
    must(who_sessions(w, asks, now, memory, &list, &why), &why);
    arena_free(memory);
    return list.n;
}

static void test_sessions_end(void **state) {
    (void)state;
    fault why = {OK, ""};
    bool found = false;
    who *w = open_site();
    who_entry ana = join(w, "Ana", WEB_ESTIMATOR), ben = join(w, "Ben", WEB_FOREMAN);
    assert_int_equal(count_sessions(w, &ana.person, NOW), 2);
    assert_int_equal(count_sessions(w, &ben.person, NOW), 1);
    assert_int_equal(count_sessions(w, &ana.person, later(WHO_IDLE_S)), 0);
    must(who_end_session(w, &ben.person, ana.person.session, &found, &why), &why);
    assert_false(found); /* not his */
    must(who_end_session(w, &ana.person, "", &found, &why), &why);
    assert_false(found);
    assert_true(look(w, ana.cookie, NOW).known);
    must(who_end_session(w, &ana.person, ben.person.session, &found, &why), &why);
    assert_true(found);
    assert_true(look(w, ben.cookie, NOW).expired);
    must(who_end_session(w, &ana.person, ana.person.session, &found, &why), &why);
    assert_true(look(w, ana.cookie, NOW).expired);
    who_close(w);
}

static void test_sessions_are_bounded(void **state) {
    (void)state;
    fault why = {OK, ""};
    who *w = open_local();
    who_entry first, e;
    must(who_local(w, NULL, NOW, &first, &why), &why);
    for (int i = 1; i <= WHO_SESSIONS_MOST; i++) must(who_local(w, NULL, later(i), &e, &why), &why);
    assert_false(look(w, first.cookie, NOW).known);
    assert_true(look(w, e.cookie, NOW).known);
    assert_int_equal(count_sessions(w, &e.person, NOW), WHO_SESSIONS_MOST);
    who_close(w);
}

/* ---- roles ---- */

static void expect_change(who *w, const char *name, web_role role, status wanted, const char *sentence) {
    fault why = {OK, ""};
    bool found = false;
    const who_change c = {name, role, "Ana", NOW};
    status got = role == WEB_NOBODY ? who_end(w, &c, &found, &why) : who_set_role(w, &c, &found, &why);
    if (got != wanted || !strstr(why.text, sentence))
        fail_msg("expected %d \"%s\", got %d \"%s\"", (int)wanted, sentence, (int)got, why.text);
    if (got == OK) assert_true(found);
}

static void test_roles_and_the_last_estimator(void **state) {
    (void)state;
    fault why = {OK, ""};
    bool found = true;
    who *w = open_site();
    who_entry ana = join(w, "Ana", WEB_ESTIMATOR), ben = join(w, "Ben", WEB_VIEWER);
    expect_change(w, "Ana", WEB_FOREMAN, E_STATE, "Ana is the last estimator");
    expect_change(w, "ana", WEB_NOBODY, E_STATE, "is the last estimator"); /* the case does not matter */
    expect_change(w, "Ana", WEB_ESTIMATOR, OK, "");
    expect_change(w, "Ben", WEB_ROLES, E_INPUT, "the role must be");
    expect_change(w, "Ben", WEB_FOREMAN, OK, "");
    assert_int_equal(look(w, ben.cookie, NOW).role, WEB_FOREMAN); /* at once */
    expect_change(w, "Ben", WEB_ESTIMATOR, OK, "");
    expect_change(w, "Ana", WEB_VIEWER, OK, "");
    assert_int_equal(look(w, ana.cookie, NOW).role, WEB_VIEWER);
    expect_change(w, "Ben", WEB_NOBODY, E_STATE, "Ben is the last estimator");
    const who_change nobody = {"Carla", WEB_VIEWER, "Ben", NOW};
    must(who_set_role(w, &nobody, &found, &why), &why);
    assert_false(found);
    who_close(w);
}

static long long number_of(const char *sql) {
    sqlite3 *db = NULL;
    sqlite3_stmt *s = NULL;
    assert_int_equal(sqlite3_open(path_of(""), &db), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &s, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(s), SQLITE_ROW);
    long long n = sqlite3_column_int64(s, 0);
    sqlite3_finalize(s);
    sqlite3_close(db);
    return n;
}

/* A person who was ended while the passphrase was being worked out: no session is left for one who comes back. */
static void expect_no_session(const char *name) {
    fault why = {OK, ""};
    accounts *a = NULL;
    must(accounts_open(path_of(""), &a, &why), &why);
    const accounts_session s = {"0123456789012345678901234567890123456789012345678901234567890123", name, NOW,
                                NOW, NULL};
    assert_int_equal(accounts_add_session(a, &s, 20, &why), E_STATE);
    assert_non_null(strstr(why.text, "Ben was ended"));
    accounts_close(a);
}

static void test_ended_and_back(void **state) {
    (void)state;
    fault why = {OK, ""};
    who *w = open_site();
    arena *memory = arena_new();
    accounts_person *people = NULL;
    size_t n = 0;
    join(w, "Ana", WEB_ESTIMATOR);
    who_entry ben = join(w, "Ben", WEB_FOREMAN);
    expect_join(w, invite(w, WEB_VIEWER).secret, "BEN", NOW, "the name BEN is taken");
    expect_change(w, "Ben", WEB_NOBODY, OK, "");
    assert_true(look(w, ben.cookie, NOW).expired);
    expect_login(w, (who_try){NULL, "Ben", PASS, "192.0.2.8", NULL, NOW}, E_INPUT, 401, "not right");
    must(who_people(w, memory, &people, &n, &why), &why);
    assert_int_equal(n, 1);
    assert_string_equal(people[0].name, "Ana");
    assert_string_equal(people[0].role, "estimator");
    assert_string_equal(people[0].last, NOW);
    assert_int_equal(number_of("SELECT count(*) FROM person WHERE ended IS NOT NULL AND passphrase <> ''"),
                     0);
    expect_no_session("Ben");
    who_entry again = join(w, "Ben", WEB_VIEWER);
    assert_int_equal(again.person.role, WEB_VIEWER);
    assert_true(look(w, ben.cookie, NOW).expired); /* the old session stays gone */
    arena_free(memory);
    who_close(w);
}

/* Whoever is sent away, or made less, does not come back by an invitation kept for it. */
static void test_invitations_go_with_the_inviter(void **state) {
    (void)state;
    fault why = {OK, ""};
    who_invitation bens, anas;
    who *w = open_site();
    join(w, "Ana", WEB_ESTIMATOR);
    join(w, "Ben", WEB_ESTIMATOR);
    for (int ended = 0; ended < 2; ended++) {
        must(who_invite(w, WEB_ESTIMATOR, "Ben", NOW, &bens, &why), &why);
        must(who_invite(w, WEB_VIEWER, "Ana", NOW, &anas, &why), &why);
        expect_change(w, "ben", WEB_ESTIMATOR, OK, "");
        assert_int_equal(number_of("SELECT count(*) FROM invitation WHERE used IS NULL AND \"by\" = 'Ben'"),
                         1);
        expect_change(w, "ben", ended ? WEB_NOBODY : WEB_FOREMAN, OK, "");
        expect_join(w, bens.secret, "Cem", NOW, "not known here");
        const who_try t = {anas.secret, ended ? "Dag" : "Eda", PASS, "192.0.2.7", NULL, NOW};
        who_entry entry;
        must(who_join(w, &t, &entry, &why), &why);
    }
    who_close(w);
}

static void test_log(void **state) {
    (void)state;
    static const char *const wanted[] = {"Ana invited estimator ", "Ana joined as estimator Ana",
                                         "Ana invited foreman ",   "Ben joined as foreman Ben",
                                         "Ana made viewer Ben",    "Ana ended Ben"};
    fault why = {OK, ""};
    char line[200];
    who *w = open_site();
    join(w, "Ana", WEB_ESTIMATOR);
    join(w, "Ben", WEB_FOREMAN);
    expect_change(w, "Ben", WEB_VIEWER, OK, "");
    expect_change(w, "Ben", WEB_NOBODY, OK, "");
    expect_login(w, (who_try){NULL, "Ben", PASS, "192.0.2.8", NULL, NOW}, E_INPUT, 401, "not right");
    who_close(w);
    accounts *a = NULL;
    accounts_deed *deeds = NULL;
    size_t n = 0;
    arena *memory = arena_new();
    must(accounts_open(path_of(""), &a, &why), &why);
    must(accounts_log(a, memory, &deeds, &n, &why), &why);
    assert_int_equal(n, 6);
    for (size_t i = 0; i < n; i++) {
        snprintf(line, sizeof line, "%s %s %s", deeds[i].by, deeds[i].what, deeds[i].whom);
        assert_string_equal(line, wanted[i]);
        assert_string_equal(deeds[i].at, NOW);
    }
    accounts_close(a);
    arena_free(memory);
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(path_of(""), &db), SQLITE_OK);
    assert_int_not_equal(sqlite3_exec(db, "DELETE FROM log", NULL, NULL, NULL), SQLITE_OK);
    assert_int_not_equal(sqlite3_exec(db, "UPDATE log SET whom = ''", NULL, NULL, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db,
                                  "CREATE TABLE t (one INTEGER CHECK (one = 1));"
                                  "INSERT INTO t SELECT times FROM failed WHERE day = '2026-03-01'",
                                  NULL, NULL, NULL),
                     SQLITE_OK);
    assert_int_equal(sqlite3_changes(db), 1);
    sqlite3_close(db);
}

/* ---- the file ---- */

static bool holds(const char *path, const char *secret) {
    FILE *f = fopen(path, "rb");
    if (!f) return false;
    char *bytes = malloc(1 << 22);
    size_t n = fread(bytes, 1, 1 << 22, f), length = strlen(secret);
    bool found = false;
    for (size_t i = 0; i + length <= n && !found; i++) found = memcmp(bytes + i, secret, length) == 0;
    free(bytes);
    fclose(f);
    return found;
}

static void test_no_secret_in_the_file(void **state) {
    (void)state;
    who *w = open_site();
    who_invitation open = invite(w, WEB_VIEWER);
    who_entry ana = join(w, "Ana", WEB_ESTIMATOR);
    unsigned char raw[33] = {0};
    sodium_hex2bin(raw, 32, ana.cookie, 64, NULL, NULL, NULL);
    struct stat about;
    bool seen = false;
    for (int i = 0; i < 4; i++) {
        if (stat(path_of(endings[i]), &about) != 0) continue;
        assert_int_equal(about.st_mode & 0777, 0600);
        assert_false(holds(path_of(endings[i]), ana.cookie));
        assert_false(holds(path_of(endings[i]), ana.person.token));
        assert_false(holds(path_of(endings[i]), open.secret));
        assert_false(holds(path_of(endings[i]), PASS));
        assert_false(holds(path_of(endings[i]), (const char *)raw));
        seen |=
            holds(path_of(endings[i]), "$argon2id$v=19$m=65536,t=2,p=1$"); /* the cost that was promised */
    }
    assert_true(seen);
    who_close(w);
}

static void expect_open(status wanted, const char *sentence) {
    fault why = {OK, ""};
    who *w = NULL;
    status got = who_open(folder, true, NULL, &w, &why);
    if (got != wanted || !strstr(why.text, sentence))
        fail_msg("expected %d \"%s\", got %d \"%s\"", (int)wanted, sentence, (int)got, why.text);
    who_close(w);
}

static void run_sql(const char *sql) {
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(path_of(""), &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
}

static void put_file(const char *words) {
    FILE *f = fopen(path_of(""), "wb");
    fputs(words, f);
    fclose(f);
}

static void test_files_that_are_no_people(void **state) {
    (void)state;
    struct stat about;
    put_file(""); /* a start that was killed at the first moment */
    expect_open(OK, "");
    chmod(path_of(""), 0644);
    expect_open(OK, "");
    stat(path_of(""), &about);
    assert_int_equal(about.st_mode & 0777, 0600);
    run_sql("PRAGMA user_version = 99");
    expect_open(E_FORMAT, "made by a newer stanch: people file version 99; this one reads up to 1");
    unlink(path_of(""));
    run_sql("CREATE TABLE t (a)");
    expect_open(E_FORMAT, "is a database of another kind, not a stanch people file");
    put_file(
        "no database at all, but long enough to look like one if nobody looks closely at its first bytes");
    expect_open(E_FORMAT, "is not a stanch people file");
    unlink(path_of(""));
    assert_int_equal(symlink("/dev/null", path_of("")), 0);
    expect_open(E_IO, "cannot be opened");
    unlink(path_of(""));
    mkdir(path_of(""), 0700);
    expect_open(E_IO, "cannot be opened");
    rmdir(path_of(""));
}

/* ---- local, and the first start ---- */

static void test_local(void **state) {
    (void)state;
    fault why = {OK, ""};
    who *w = open_local();
    who_entry e;
    who_invitation i;
    text none = {0};
    must(who_local(w, "a browser", NOW, &e, &why), &why);
    assert_string_equal(e.person.name, "Ana");
    assert_int_equal(e.person.role, WEB_ESTIMATOR);
    who_person seen = look(w, e.cookie, NOW);
    assert_true(who_token_right(&seen, e.person.token));
    const who_try t = {NULL, "Ana", PASS, "127.0.0.1", NULL, NOW};
    assert_int_equal(who_login(w, &t, &e, &why), E_STATE);
    assert_int_equal(who_join(w, &t, &e, &why), E_STATE);
    assert_int_equal(who_invite(w, WEB_VIEWER, "Ana", NOW, &i, &why), E_STATE);
    expect_change(w, "Ana", WEB_VIEWER, E_STATE, "this server is for one person");
    must(who_first_invitation(w, "http://127.0.0.1:8466", NOW, &none, &why), &why);
    assert_string_equal(text_get(&none), "");
    who_close(w);
    assert_int_equal(access(path_of(""), F_OK), -1); /* nothing on the disk */
    w = open_site();
    assert_int_equal(who_local(w, NULL, NOW, &e, &why), E_STATE);
    who_close(w);
}

/* The secret in the text that is shown. */
static void read_secret(const text *shown, char into[WHO_INVITATION]) {
    const char *at = strstr(text_get(shown), "https://192.0.2.7:8466/#/join?i=");
    assert_non_null(at);
    snprintf(into, WHO_INVITATION, "%s", at + strlen("https://192.0.2.7:8466/#/join?i="));
}

static void test_first_invitation(void **state) {
    (void)state;
    fault why = {OK, ""};
    char first[WHO_INVITATION], second[WHO_INVITATION];
    text shown = {0}, again = {0}, none = {0};
    who *w = open_site();
    must(who_first_invitation(w, "https://192.0.2.7:8466", NOW, &shown, &why), &why);
    must(who_first_invitation(w, "https://192.0.2.7:8466", NOW, &again, &why), &why);
    read_secret(&shown, first);
    read_secret(&again, second);
    expect_join(w, first, "Eve", NOW, "not known"); /* the second took its place */
    who_entry e;
    const who_try t = {second, "Ana", PASS, "192.0.2.7", NULL, NOW};
    must(who_join(w, &t, &e, &why), &why);
    assert_int_equal(e.person.role, WEB_ESTIMATOR);
    must(who_first_invitation(w, "https://192.0.2.7:8466", NOW, &none, &why), &why);
    assert_string_equal(text_get(&none), "");
    text_free(&shown);
    text_free(&again);
    who_close(w);
}

/* Every line as wide as the others, in whole half blocks, within 80 columns. */
static void test_code_text(void **state) {
    (void)state;
    fault why = {OK, ""};
    text out = {0};
    char longest[460];
    must(code_text("https://192.0.2.7:8466/#/join?i=00112233445566778899aabbccddeeff", &out, &why), &why);
    size_t width = 0, lines = 0;
    for (const char *c = text_get(&out); *c; lines++) {
        const char *end = strchr(c, '\n');
        size_t columns = 0;
        for (const char *b = c; b < end; b++) columns += ((unsigned char)*b & 0xC0) != 0x80;
        if (lines == 0) width = columns;
        assert_int_equal(columns, width);
        c = end + 1;
    }
    assert_in_range(width, 29, 80);
    assert_int_equal(lines, (width + 1) / 2);
    text_free(&out);
    memset(longest, 'x', sizeof longest - 1);
    longest[sizeof longest - 1] = '\0';
    assert_int_equal(code_text(longest, &out, &why), E_INPUT);
    assert_non_null(strstr(why.text, "too long for a QR code of 80 columns"));
    text_free(&out);
}

/* ---- no memory ---- */

/* `work` again and again, another allocation failing each time, every `step`-th of them, until it gets through. */
typedef status try_work(who *w, fault *why);

static void fail_in_turn(who *w, try_work *work, long step) {
    for (long n = 0;; n += step) {
        fault why = {OK, ""};
        mem_fail_at(n, n % 2 != 0);
        status code = work(w, &why);
        mem_fail_at(-1, 0);
        if (code == OK) return;
        if (code != E_MEMORY) fail_msg("allocation %ld: %d, %s", n, (int)code, why.text);
        assert_true(n < 5000);
    }
}

static status work_open(who *w, fault *why) {
    (void)w;
    who *mine = NULL;
    status code = who_open(folder, true, NULL, &mine, why);
    who_close(mine);
    return code;
}

static char the_cookie[WHO_SECRET];

static status work_look(who *w, fault *why) {
    who_person p;
    return who_of(w, the_cookie, later(3600), &p, why);
}

static status work_invite(who *w, fault *why) {
    who_invitation i;
    return who_invite(w, WEB_VIEWER, "Ana", NOW, &i, why);
}

static status work_local(who *w, fault *why) {
    who_entry e;
    return who_local(w, "a browser", NOW, &e, why);
}

static status work_lists(who *w, fault *why) {
    const who_person ana = {.role = WEB_ESTIMATOR};
    accounts_person *people = NULL;
    size_t n = 0;
    who_session_list list;
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    status code = who_people(w, memory, &people, &n, why);
    if (code == OK) code = who_sessions(w, &ana, NOW, memory, &list, why);
    arena_free(memory);
    return code;
}

static status work_change(who *w, fault *why) {
    bool found = false;
    const who_change c = {"Ben", WEB_FOREMAN, "Ana", NOW};
    return who_set_role(w, &c, &found, why);
}

static status work_login(who *w, fault *why) {
    who_entry e;
    const who_try t = {NULL, "Ana", PASS, "192.0.2.7", NULL, NOW};
    return who_login(w, &t, &e, why);
}

static status work_first(who *w, fault *why) {
    text shown = {0};
    status code = who_first_invitation(w, "https://192.0.2.7:8466", NOW, &shown, why);
    text_free(&shown);
    return code;
}

static void test_no_memory(void **state) {
    (void)state;
    fail_in_turn(NULL, work_open, 1);
    who *w = open_site();
    fail_in_turn(w, work_first, 1);
    who_entry ana = join(w, "Ana", WEB_ESTIMATOR);
    join(w, "Ben", WEB_VIEWER);
    memcpy(the_cookie, ana.cookie, sizeof the_cookie);
    fail_in_turn(w, work_look, 1);
    fail_in_turn(w, work_invite, 1);
    fail_in_turn(w, work_lists, 1);
    fail_in_turn(w, work_change, 1);
    fail_in_turn(w, work_login, 29); /* each that comes to the passphrase costs a tenth of a second */
    who_close(w);
    w = open_local();
    fail_in_turn(w, work_local, 1);
    who_close(w);
}

/* ---- threads ---- */

static atomic_int refused, wrong;

/* Each look is over a minute after the one before, so that it writes too. */
static void *read_along(void *data) {
    char now[WHEN_TEXT];
    long long now_s = 0;
    when_read(NOW, &now_s);
    for (int i = 0; i < 100; i++) {
        fault why = {OK, ""};
        who_person p;
        if (who_of(data, the_cookie, when_write(now_s + 61 * i, now), &p, &why) != OK || !p.known)
            atomic_fetch_add(&wrong, 1);
    }
    return NULL;
}

static void *log_in(void *data) {
    fault why = {OK, ""};
    who_entry e;
    const who_try t = {NULL, "Ana", PASS, "192.0.2.7", NULL, NOW};
    status code = who_login(data, &t, &e, &why);
    if (code == E_BUSY && e.code == 503)
        atomic_fetch_add(&refused, 1);
    else if (code != OK)
        atomic_fetch_add(&wrong, 1);
    return NULL;
}

/* Readers go on while people log in; of sixteen at once some are told to come again, and none waits for ever. */
static void test_threads(void **state) {
    (void)state;
    pthread_t threads[20];
    who *w = open_site();
    who_entry ana = join(w, "Ana", WEB_ESTIMATOR);
    memcpy(the_cookie, ana.cookie, sizeof the_cookie);
    for (int i = 0; i < 20; i++) pthread_create(&threads[i], NULL, i < 4 ? read_along : log_in, w);
    for (int i = 0; i < 20; i++) pthread_join(threads[i], NULL);
    assert_int_equal(wrong, 0);
    assert_in_range(refused, 1, 16 - WHO_QUEUE_MOST);
    who_close(w);
}

int main(void) {
    fault why = {OK, ""};
    if (store_use_memory_hooks(&why) != OK) return 1;
#define CASE(f) cmocka_unit_test_setup_teardown(f, set_up, tear_down)
    const struct CMUnitTest tests[] = {CASE(test_when),
                                       CASE(test_tries_double),
                                       CASE(test_tries_are_bounded),
                                       CASE(test_join_once),
                                       CASE(test_names_and_passphrases),
                                       CASE(test_login),
                                       CASE(test_tries_are_limited),
                                       CASE(test_sessions_expire),
                                       CASE(test_cookies_that_are_none),
                                       CASE(test_sessions_end),
                                       CASE(test_sessions_are_bounded),
                                       CASE(test_roles_and_the_last_estimator),
                                       CASE(test_ended_and_back),
                                       CASE(test_invitations_go_with_the_inviter),
                                       CASE(test_log),
                                       CASE(test_no_secret_in_the_file),
                                       CASE(test_files_that_are_no_people),
                                       CASE(test_local),
                                       CASE(test_first_invitation),
                                       CASE(test_code_text),
                                       CASE(test_no_memory),
                                       CASE(test_threads)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
