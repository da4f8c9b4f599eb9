/* Pictures from outside: upright, smaller, damaged, laid flat. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "core/mem.h"
#include "image/image.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <png.h>
#include <sys/resource.h>

enum { W = 96, H = 64 };

/* Four quarters of one colour each: top left red, top right green, bottom left blue, bottom right grey. */
static const unsigned char QUARTERS[4][3] = {{220, 20, 20}, {20, 200, 20}, {20, 20, 210}, {90, 90, 90}};

static image quarters(size_t width, size_t height) {
    image p = {width, height, mem_get(width * height, 3)};
    assert_non_null(p.rgb);
    for (size_t y = 0; y < height; y++)
        for (size_t x = 0; x < width; x++)
            memcpy(p.rgb + 3 * (y * width + x), QUARTERS[(y >= height / 2) * 2 + (x >= width / 2)], 3);
    return p;
}

static void assert_colour(const image *p, double x, double y, const unsigned char want[3]) {
    const unsigned char *got =
        p->rgb + 3 * ((size_t)(y * (double)p->height) * p->width + (size_t)(x * (double)p->width));
    for (int c = 0; c < 3; c++)
        if (abs(got[c] - want[c]) > 12)
            fail_msg("at %g, %g: %d %d %d, not %d %d %d", x, y, got[0], got[1], got[2], want[0], want[1],
                     want[2]);
}

static text jpeg_of(const image *p) {
    text bytes = {0};
    fault why = {0};
    assert_int_equal(image_write_jpeg(p, 95, &bytes, &why), OK);
    return bytes;
}

/* The same JPEG with an EXIF block that holds the orientation (TIFF 6.0 layout, little-endian). */
static text with_orientation(const text *jpeg, unsigned char orientation) {
    const unsigned char block[] = {0xFF, 0xE1, 0, 34, 'E',         'x', 'i', 'f', 0,    0,    'I', 'I',
                                   42,   0,    8, 0,  0,           0,   1,   0,   0x12, 0x01, 3,   0,
                                   1,    0,    0, 0,  orientation, 0,   0,   0,   0,    0,    0,   0};
    text out = {0};
    text_add_bytes(&out, jpeg->bytes, 2);
    text_add_bytes(&out, (const char *)block, sizeof block);
    text_add_bytes(&out, jpeg->bytes + 2, jpeg->length - 2);
    return out;
}

/* Which quarter of the stored picture is seen at the top left and top right of the upright one (EXIF 2.32 table of
 * orientations: value from memory). */
static void upright_by_its_orientation(void **state) {
    static const struct {
        unsigned char orientation, left, right;
        bool turned;
    } cases[] = {{1, 0, 1, false}, {2, 1, 0, false}, {3, 3, 2, false}, {4, 2, 3, false},
                 {5, 0, 2, true},  {6, 2, 0, true},  {7, 3, 1, true},  {8, 1, 3, true}};
    (void)state;
    image p = quarters(W, H);
    text plain = jpeg_of(&p);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        text bytes = with_orientation(&plain, cases[i].orientation);
        image back;
        fault why = {0};
        assert_int_equal(image_read(bytes.bytes, bytes.length, 1000, &back, &why), OK);
        assert_int_equal(back.width, cases[i].turned ? H : W);
        assert_int_equal(back.height, cases[i].turned ? W : H);
        assert_colour(&back, 0.2, 0.2, QUARTERS[cases[i].left]);
        assert_colour(&back, 0.8, 0.2, QUARTERS[cases[i].right]);
        image_free(&back);
        text_free(&bytes);
    }
    text_free(&plain);
    image_free(&p);
}

static void smaller_keeps_shape_and_mean(void **state) {
    (void)state;
    image p = quarters(1000, 500);
    text bytes = jpeg_of(&p);
    static const size_t sides[] = {1, 7, 99, 333, 999, 1000, 5000};
    for (size_t i = 0; i < sizeof sides / sizeof *sides; i++) {
        image back;
        fault why = {0};
        assert_int_equal(image_read(bytes.bytes, bytes.length, sides[i], &back, &why), OK);
        size_t want = sides[i] < 1000 ? sides[i] : 1000;
        assert_int_equal(back.width, want);
        assert_int_equal(back.height, want / 2 ? want / 2 : 1);
        if (want > 50) {
            assert_colour(&back, 0.25, 0.25, QUARTERS[0]);
            assert_colour(&back, 0.75, 0.75, QUARTERS[3]);
        }
        image_free(&back);
    }
    text_free(&bytes);
    image_free(&p);
}

/* PNG written by libpng itself: half of it see-through. */
static void png_on_white(void **state) {
    (void)state;
    unsigned char rgba[8 * 4 * 4] = {0};
    for (int i = 0; i < 32; i++) {
        rgba[4 * i] = 200;
        rgba[4 * i + 3] = i % 8 < 4 ? 255 : 0;
    }
    png_image out = {.version = PNG_IMAGE_VERSION, .width = 8, .height = 4, .format = PNG_FORMAT_RGBA};
    png_alloc_size_t length = 0;
    assert_true(png_image_write_to_memory(&out, NULL, &length, 0, rgba, 0, NULL));
    unsigned char *bytes = mem_get(length, 1);
    assert_true(png_image_write_to_memory(&out, bytes, &length, 0, rgba, 0, NULL));
    image back;
    fault why = {0};
    assert_int_equal(image_read(bytes, length, 100, &back, &why), OK);
    assert_colour(&back, 0.2, 0.5, (const unsigned char[]){200, 0, 0});
    assert_colour(&back, 0.8, 0.5, (const unsigned char[]){255, 255, 255});
    image_free(&back);
    for (size_t cut = 0; cut + 16 < length; cut++) { /* the last chunk, IEND, may be missing */
        status code = image_read(bytes, cut, 100, &back, &why);
        if (code != E_FORMAT) fail_msg("a PNG cut at %zu of %zu: %d %s", cut, (size_t)length, code, why.text);
    }
    mem_free(bytes);
}

typedef struct {
    int depth, colour, interlace;
    unsigned width, height;
} png_kind;

static void add_bytes(png_structp png, png_bytep bytes, size_t length) {
    text_add_bytes(png_get_io_ptr(png), (const char *)bytes, length);
}

/* A picture that is 0 on its left half and as bright as can be on its right, with a text of 6 MB that packs well. */
static text png_of(png_kind k, bool with_text) {
    text out = {0};
    static char zeros[6000000];
    png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
    png_infop info = png_create_info_struct(png);
    png_color two[2] = {{0, 0, 0}, {255, 255, 255}};
    memset(zeros, ' ', sizeof zeros - 1);
    png_text note = {.compression = PNG_TEXT_COMPRESSION_zTXt,
                     .key = (char[]){"note"},
                     .text = zeros,
                     .text_length = sizeof zeros - 1};
    assert_int_equal(setjmp(png_jmpbuf(png)), 0);
    png_set_write_fn(png, &out, add_bytes, NULL);
    png_set_IHDR(png, info, k.width, k.height, k.depth, k.colour, k.interlace, 0, 0);
    if (k.colour == PNG_COLOR_TYPE_PALETTE) png_set_PLTE(png, info, two, 2);
    for (int i = 0; with_text && i < 40; i++) png_set_text(png, info, &note, 1);
    png_write_info(png, info);
    size_t bytes = png_get_rowbytes(png, info);
    unsigned char *row = mem_zero(bytes, 1);
    memset(row + bytes / 2, k.colour == PNG_COLOR_TYPE_PALETTE && k.depth == 8 ? 1 : 255, bytes - bytes / 2);
    for (int pass = png_set_interlace_handling(png); pass > 0; pass--)
        for (unsigned y = 0; y < k.height; y++) png_write_row(png, row);
    png_write_end(png, info);
    png_destroy_write_struct(&png, &info);
    mem_free(row);
    return out;
}

/* Whatever its depth and colours, in one pass or in seven. */
static void png_of_every_kind(void **state) {
    (void)state;
    static const int kinds[][2] = {{1, PNG_COLOR_TYPE_GRAY},    {8, PNG_COLOR_TYPE_GRAY},
                                   {16, PNG_COLOR_TYPE_GRAY},   {16, PNG_COLOR_TYPE_RGB},
                                   {1, PNG_COLOR_TYPE_PALETTE}, {8, PNG_COLOR_TYPE_PALETTE}};
    for (size_t i = 0; i < 2 * sizeof kinds / sizeof *kinds; i++) {
        const png_kind k = {kinds[i / 2][0], kinds[i / 2][1],
                            i % 2 ? PNG_INTERLACE_ADAM7 : PNG_INTERLACE_NONE, 64, 40};
        text bytes = png_of(k, false);
        image back;
        fault why = {0};
        for (size_t side = 64; side > 10; side /= 2) {
            if (image_read(bytes.bytes, bytes.length, side, &back, &why) != OK)
                fail_msg("kind %zu: %s", i, why.text);
            assert_int_equal(back.width, side);
            assert_int_equal(back.height, side * 40 / 64);
            assert_colour(&back, 0.2, 0.9, (const unsigned char[]){0, 0, 0});
            assert_colour(&back, 0.8, 0.1, (const unsigned char[]){255, 255, 255});
            image_free(&back);
        }
        text_free(&bytes);
    }
}

static long peak_kb(void) {
    struct rusage use;
    assert_int_equal(getrusage(RUSAGE_SELF, &use), 0);
    return use.ru_maxrss;
}

/* 63 million pixels (189 MB), and texts of 240 MB in a file of a few kilobytes: neither ever stands in memory. */
static void png_takes_little_memory(void **state) {
    (void)state;
    image back;
    fault why = {0};
    text large = png_of((png_kind){1, PNG_COLOR_TYPE_GRAY, PNG_INTERLACE_NONE, 30000, 2100}, false);
    text wordy = png_of((png_kind){8, PNG_COLOR_TYPE_GRAY, PNG_INTERLACE_NONE, 40, 40}, true);
    long before = peak_kb();
    assert_int_equal(image_read(large.bytes, large.length, 2400, &back, &why), OK);
    assert_int_equal(back.width, 2400);
    assert_int_equal(back.height, 168);
    image_free(&back);
    assert_int_equal(image_read(wordy.bytes, wordy.length, 2400, &back, &why), OK);
    image_free(&back);
    if (peak_kb() - before > 20000) fail_msg("%ld kB more", peak_kb() - before);
    text_free(&large);
    text_free(&wordy);
    large = png_of((png_kind){1, PNG_COLOR_TYPE_GRAY, PNG_INTERLACE_ADAM7, 16384, 1024}, false);
    assert_int_equal(image_read(large.bytes, large.length, 2400, &back, &why), E_INPUT);
    assert_non_null(strstr(why.text, "many passes"));
    text_free(&large);
}

/* Cut anywhere before its last bytes it is refused; never half a picture, never a crash. */
static void damaged_is_refused(void **state) {
    (void)state;
    image p = quarters(W, H), back;
    text bytes = jpeg_of(&p);
    fault why = {0};
    for (size_t cut = 0; cut + 8 < bytes.length; cut += 5) {
        assert_int_equal(image_read(bytes.bytes, cut, 1000, &back, &why), E_FORMAT);
        assert_null(back.rgb);
    }
    assert_int_equal(image_read("GIF89a....", 10, 1000, &back, &why), E_FORMAT);
    assert_non_null(strstr(why.text, "neither a JPEG nor a PNG"));
    srand(7);
    for (int round = 0; round < 400; round++) { /* any answer, but an answer */
        text bad = {0};
        text_add_bytes(&bad, bytes.bytes, bytes.length);
        for (int k = 0; k < 3; k++) bad.bytes[2 + (size_t)rand() % (bad.length - 2)] = (char)rand();
        if (image_read(bad.bytes, bad.length, 1000, &back, &why) == OK) image_free(&back);
        text_free(&bad);
    }
    text_free(&bytes);
    image_free(&p);
}

/* A header that claims 60,000 x 60,000 pixels behind a few bytes. */
static void a_giant_is_refused_before_memory(void **state) {
    (void)state;
    image p = quarters(W, H), back;
    text bytes = jpeg_of(&p);
    fault why = {0};
    for (size_t i = 0; i + 9 < bytes.length; i++)
        if ((unsigned char)bytes.bytes[i] == 0xFF && (unsigned char)bytes.bytes[i + 1] == 0xC0)
            memcpy(bytes.bytes + i + 5, "\xEA\x60\xEA\x60", 4);
    assert_int_equal(image_read(bytes.bytes, bytes.length, 1000, &back, &why), E_INPUT);
    assert_non_null(strstr(why.text, "60000 x 60000"));
    text_free(&bytes);
    image_free(&p);
}

/* The crossing of the diagonals is the crossing of the diagonals in any projection: for the trapezoid (0,0) (4,0) (3,2) (1,2)
 * it lies, by similar triangles of bases 4 and 2, at 2/3 of the height: (2, 4/3). */
static void homography_keeps_the_diagonals(void **state) {
    (void)state;
    const double square[8] = {0, 0, 1, 0, 1, 1, 0, 1}, trapezoid[8] = {0, 0, 4, 0, 3, 2, 1, 2};
    image_map map;
    double at[2];
    fault why = {0};
    assert_int_equal(image_map_of(square, trapezoid, &map, &why), OK);
    image_map_point(&map, 0.5, 0.5, at);
    assert_true(fabs(at[0] - 2) < 1e-12 && fabs(at[1] - 4.0 / 3) < 1e-12);
    for (int i = 0; i < 4; i++) {
        image_map_point(&map, square[2 * i], square[2 * i + 1], at);
        assert_true(hypot(at[0] - trapezoid[2 * i], at[1] - trapezoid[2 * i + 1]) < 1e-12);
    }
}

static void bad_points_are_told(void **state) {
    (void)state;
    const double square[8] = {0, 0, 1, 0, 1, 1, 0, 1}, line[8] = {0, 0, 1, 1, 2, 2, 0, 5},
                 crossed[8] = {0, 0, 1, 1, 1, 0, 0, 1};
    const double none[8] = {0, 0, (double)NAN, 0, 1, 1, 0, 1};
    image_map map;
    fault why = {0};
    assert_int_equal(image_map_of(line, square, &map, &why), E_INPUT);
    assert_non_null(strstr(why.text, "of the picture lie on a line"));
    assert_int_equal(image_map_of(square, line, &map, &why), E_INPUT);
    assert_non_null(strstr(why.text, "on the face lie on a line"));
    assert_int_equal(image_map_of(square, crossed, &map, &why), E_INPUT);
    assert_non_null(strstr(why.text, "same order"));
    assert_int_equal(image_map_of(none, square, &map, &why), E_INPUT);
}

/* A picture seen aslant, made by warping, comes back flat. */
static void laid_flat_again(void **state) {
    (void)state;
    const double flat[8] = {0, 0, 200, 0, 200, 100, 0, 100}, aslant[8] = {20, 30, 260, 10, 230, 170, 50, 140};
    image p = quarters(200, 100), photo, back;
    image_map map;
    fault why = {0};
    assert_int_equal(image_map_of(aslant, flat, &map, &why), OK);
    assert_int_equal(image_warp(&p, &map, 300, 200, &photo, &why), OK);
    assert_colour(&photo, 0.01, 0.01, (const unsigned char[]){255, 255, 255}); /* beyond the edge */
    assert_int_equal(image_map_of(flat, aslant, &map, &why), OK);
    assert_int_equal(image_warp(&photo, &map, 200, 100, &back, &why), OK);
    size_t wrong = 0;
    for (size_t i = 0; i < (size_t)200 * 100; i++)
        for (size_t c = 0; c < 3; c++)
            if (abs(back.rgb[3 * i + c] - p.rgb[3 * i + c]) > 40) {
                wrong++;
                break;
            }
    assert_true(wrong < 200 * 100 / 30); /* the edges of the quarters blur by a pixel or two */
    image_free(&p);
    image_free(&photo);
    image_free(&back);
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    image p = quarters(W, H), back;
    text plain = jpeg_of(&p), bytes = with_orientation(&plain, 6);
    fault why = {0};
    status code = E_MEMORY;
    for (long n = 0; code != OK && n < 100; n++) {
        mem_fail_at(n, 0);
        code = image_read(bytes.bytes, bytes.length, 30, &back, &why);
        mem_fail_at(-1, 0);
        if (code == OK)
            image_free(&back);
        else
            assert_int_equal(code, E_MEMORY);
    }
    assert_int_equal(code, OK);
    text_free(&plain);
    text_free(&bytes);
    image_free(&p);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(upright_by_its_orientation),
        cmocka_unit_test(smaller_keeps_shape_and_mean),
        cmocka_unit_test(png_on_white),
        cmocka_unit_test(png_of_every_kind),
        cmocka_unit_test(png_takes_little_memory),
        cmocka_unit_test(damaged_is_refused),
        cmocka_unit_test(a_giant_is_refused_before_memory),
        cmocka_unit_test(homography_keeps_the_diagonals),
        cmocka_unit_test(bad_points_are_told),
        cmocka_unit_test(laid_flat_again),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
