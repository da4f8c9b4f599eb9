/* Pictures of a job: kept once, served by name only, laid flat under a face. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "core/file.h"
#include "core/mem.h"
#include "image/image.h"
#include "ops/edit.h"
#include "ops/photo.h"
#include "store/log.h"

#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define ID "0f8fad5b-d9cb-469f-a165-70867728950e"
static const ops_actor ACTOR = {.by = "N. N.", .at = "2026-03-01T09:30:00Z", .through = "page"};

typedef struct {
    char folder[64], job[96], upload[96];
    arena *memory;
} bench;

/* A chequered picture: 8 x 8 squares, dark where the sum of column and row is even. */
static void write_picture(const char *path, size_t side) {
    image p = {side, side, mem_get(side * side, 3)};
    text bytes = {0};
    fault why = {0};
    assert_non_null(p.rgb);
    for (size_t y = 0; y < side; y++)
        for (size_t x = 0; x < side; x++)
            memset(p.rgb + 3 * (y * side + x), (x * 8 / side + y * 8 / side) % 2 ? 230 : 30, 3);
    assert_int_equal(image_write_jpeg(&p, 95, &bytes, &why), OK);
    assert_int_equal(file_write(path, bytes.bytes, bytes.length, &why), OK);
    text_free(&bytes);
    image_free(&p);
}

static void set_up(bench *b, units_system system, const char *faces) {
    fault why = {0};
    char file[96];
    ops_import_result imported;
    *b = (bench){.memory = arena_new()};
    strcpy(b->folder, "/tmp/stanch-photo-XXXXXX");
    assert_non_null(mkdtemp(b->folder));
    snprintf(b->job, sizeof b->job, "%s/pit.stanch", b->folder);
    snprintf(b->upload, sizeof b->upload, "%s/upload", b->folder);
    snprintf(file, sizeof file, "%s/faces.json", b->folder);
    assert_int_equal(ops_new(b->job, &(ops_new_request){.system = system}, &ACTOR, &why), OK);
    assert_int_equal(file_write(file, faces, strlen(faces), &why), OK);
    const char *const files[] = {file};
    const ops_import_request import = {.files = files, .n = 1};
    fault_list *faults = fault_list_new();
    status code = ops_import(b->job, &import, &ACTOR, faults, &imported, &why);
    if (code != OK) fail_msg("%s", why.text);
    fault_list_free(faults);
    write_picture(b->upload, 800);
}

static void tear_down(bench *b) {
    char command[96];
    snprintf(command, sizeof command, "rm -r '%s'", b->folder);
    assert_int_equal(system(command), 0);
    arena_free(b->memory);
}

static const char METRIC[] =
    "{\"stanch_survey\": 1, \"units\": \"metric\", \"faces\": [{\"id\": \"N\", \"lie\": \"wall\","
    "\"thickness_m\": 0.3, \"elevation_m\": 0, \"outline\": [[1, 2], [5, 2], [5, 4], [1, 4]]}]}";
static const char US[] =
    "{\"stanch_survey\": 1, \"units\": \"us\", \"faces\": [{\"id\": \"N\", \"lie\": \"wall\","
    "\"thickness_ft\": 1, \"elevation_ft\": 0, \"outline\": [[0, 0], [10, 0], [10, 10], [0, 10]]}]}";

static void a_photo_is_kept_once(void **state) {
    bench b;
    const char *name, *path;
    fault why = {0};
    struct stat first, second;
    (void)state;
    set_up(&b, UNITS_METRIC, METRIC);
    assert_int_equal(ops_photo_path(b.job, ID ".jpg", b.memory, &path, &why), E_STATE);
    assert_int_equal(ops_photo_add(b.job, ID, b.upload, b.memory, &name, &why), OK);
    assert_string_equal(name, ID ".jpg");
    assert_int_equal(ops_photo_path(b.job, name, b.memory, &path, &why), OK);
    assert_int_equal(stat(path, &first), 0);
    write_picture(b.upload, 400); /* the same id again, whatever it brings, is the same photo */
    assert_int_equal(ops_photo_add(b.job, ID, b.upload, b.memory, &name, &why), OK);
    assert_int_equal(stat(path, &second), 0);
    assert_int_equal(first.st_ino, second.st_ino);
    tear_down(&b);
}

static void only_names_of_photos_are_looked_up(void **state) {
    static const char *const wrong[] = {"",
                                        "..",
                                        "../pit.stanch",
                                        "pit.stanch",
                                        ID,
                                        ID ".png",
                                        ID ".jpg.jpg",
                                        "0F8FAD5B-D9CB-469F-A165-70867728950E.jpg",
                                        "../../../../../../etc/aaaaaaaaaaaaaaaaaaaaaa.jpg"};
    bench b;
    const char *path, *name;
    fault why = {0};
    (void)state;
    set_up(&b, UNITS_METRIC, METRIC);
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        assert_int_equal(ops_photo_path(b.job, wrong[i], b.memory, &path, &why), E_INPUT);
    assert_int_equal(ops_photo_add(b.job, "../" ID, b.upload, b.memory, &name, &why), E_INPUT);
    assert_int_equal(file_write(b.upload, "no picture", 10, &why), OK);
    assert_int_equal(ops_photo_add(b.job, ID, b.upload, b.memory, &name, &why), E_FORMAT);
    assert_int_equal(ops_photo_path(b.job, ID ".jpg", b.memory, &path, &why), E_STATE);
    tear_down(&b);
}

static image read_back(const char *path) {
    char *bytes = NULL;
    size_t length;
    image p;
    fault why = {0};
    assert_int_equal(file_read(path, &bytes, &length, &why), OK);
    assert_int_equal(image_read(bytes, length, 10000, &p, &why), OK);
    mem_free(bytes);
    return p;
}

static bool dark(const image *p, double x, double y) {
    return p->rgb[3 * ((size_t)(y * (double)p->height) * p->width + (size_t)(x * (double)p->width))] < 128;
}

/* The whole picture over the whole face, which is 4 m x 2 m: the flat one has the shape of the face and the same squares. */
static void a_picture_lies_under_its_face(void **state) {
    bench b;
    const char *path, *again;
    fault why = {0};
    long long revision = 0;
    ops_underlay_request r = {
        .face = "N", .corners = {0, 0, 1, 0, 1, 1, 0, 1}, .onto = {1, 4, 5, 4, 5, 2, 1, 2}};
    (void)state;
    set_up(&b, UNITS_METRIC, METRIC);
    r.upload = b.upload;
    assert_int_equal(ops_underlay_path(b.job, "N", b.memory, &path, &why), E_STATE);
    assert_int_equal(ops_underlay_set(b.job, &r, &ACTOR, &revision, &why), OK);
    assert_true(revision > 0);
    assert_int_equal(ops_underlay_path(b.job, "N", b.memory, &path, &why), OK);
    image flat = read_back(path);
    assert_int_equal(flat.width, 2 * flat.height);
    for (int i = 0; i < 8; i++)
        for (int j = 0; j < 8; j++)
            assert_int_equal(dark(&flat, (i + 0.5) / 8, (j + 0.5) / 8), (i + j) % 2 == 0);
    image_free(&flat);
    text page = {0};
    assert_int_equal(ops_survey_json(b.job, &revision, &page, &why), OK);
    assert_non_null(strstr(text_get(&page), "\"underlays\": [\"N\"]"));
    text_free(&page);
    assert_int_equal(ops_underlay_path(b.job, "N", b.memory, &again, &why), OK);
    assert_string_equal(path, again);
    store *job = NULL; /* a file that came from elsewhere */
    store_underlay row = {.face = "N",
                          .file = "../outside.jpg",
                          .corners = {0, 0, 1, 0, 1, 1, 0, 1},
                          .onto_m = {1, 4, 5, 4, 5, 2, 1, 2}};
    assert_int_equal(store_open(b.job, false, &job, &why), OK);
    assert_int_equal(store_set_underlay(job, &row, &why), OK);
    store_close(job);
    assert_int_equal(ops_underlay_path(b.job, "N", b.memory, &again, &why), E_FORMAT);
    assert_non_null(strstr(why.text, "../outside.jpg"));
    r.face = "X";
    assert_int_equal(ops_underlay_set(b.job, &r, &ACTOR, &revision, &why), E_STATE);
    r.face = "N";
    r.onto[2] = 1, r.onto[3] = 3; /* three points on a line */
    assert_int_equal(ops_underlay_set(b.job, &r, &ACTOR, &revision, &why), E_INPUT);
    tear_down(&b);
}

/* Onto the middle of a US face, in feet: white round it, the picture's dark corner at a quarter. */
static void feet_are_the_jobs_units(void **state) {
    bench b;
    const char *path;
    fault why = {0};
    long long revision;
    ops_underlay_request r = {
        .face = "N", .corners = {0, 0, 1, 0, 1, 1, 0, 1}, .onto = {2.5, 7.5, 7.5, 7.5, 7.5, 2.5, 2.5, 2.5}};
    (void)state;
    set_up(&b, UNITS_US, US);
    r.upload = b.upload;
    assert_int_equal(ops_underlay_set(b.job, &r, &ACTOR, &revision, &why), OK);
    assert_int_equal(ops_underlay_path(b.job, "N", b.memory, &path, &why), OK);
    image flat = read_back(path);
    assert_int_equal(flat.width, flat.height);
    assert_false(dark(&flat, 0.2, 0.2));
    assert_true(dark(&flat, 0.25 + 0.5 / 16, 0.25 + 0.5 / 16));
    image_free(&flat);
    tear_down(&b);
}

typedef struct {
    const char *path;
    char letter;
    int failed;
} writer;

static void *write_often(void *data) {
    writer *w = data;
    char bytes[100000];
    fault why = {0};
    memset(bytes, w->letter, sizeof bytes);
    for (int i = 0; i < 50; i++) w->failed += file_write(w->path, bytes, sizeof bytes, &why) != OK;
    return NULL;
}

/* A phone that sends its photo again while the first is still being kept: both are told yes, and the file is whole. */
static void two_write_one_file(void **state) {
    (void)state;
    char path[] = "/tmp/stanch-file-XXXXXX", *got;
    int file = mkstemp(path);
    writer writers[] = {{path, 'a', 0}, {path, 'b', 0}};
    pthread_t threads[2];
    size_t length;
    fault why = {0};
    assert_true(file >= 0 && close(file) == 0);
    for (int i = 0; i < 2; i++)
        assert_int_equal(pthread_create(&threads[i], NULL, write_often, &writers[i]), 0);
    for (int i = 0; i < 2; i++) pthread_join(threads[i], NULL);
    assert_int_equal(writers[0].failed + writers[1].failed, 0);
    assert_int_equal(file_read(path, &got, &length, &why), OK);
    assert_int_equal(length, 100000);
    for (size_t i = 0; i < length; i++) assert_int_equal(got[i], got[0]);
    mem_free(got);
    unlink(path);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_write_one_file),
        cmocka_unit_test(a_photo_is_kept_once),
        cmocka_unit_test(only_names_of_photos_are_looked_up),
        cmocka_unit_test(a_picture_lies_under_its_face),
        cmocka_unit_test(feet_are_the_jobs_units),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
