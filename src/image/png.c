/* PNG by libpng, row by row: a picture of many pixels is made smaller while it comes in and never stands in memory whole.
 * What is no pixel (texts, profiles, times) is passed over unread: it may unfold to far more than the file. The library
 * leaves a fault by a jump; all that is allocated lies in `reading`, which both ways out know. */
#include "core/mem.h"
#include "image/image_parts.h"

#include <png.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

/* Our limit: a PNG in seven passes stands in memory whole, 4 bytes a pixel. */
static const double INTERLACED_MOST = 16e6;
enum { CHANNELS = 4 };

typedef struct {
    const unsigned char *bytes;
    size_t left;
    png_structp png;
    png_infop info;
    size_t width, height;
    unsigned char *rows; /* one row, or all of them */
    uint64_t *sums;      /* of the row of the smaller picture that is being filled: three a pixel */
    char words[100];
} reading;

static void leave(png_structp png, png_const_charp words) {
    reading *r = png_get_error_ptr(png);
    snprintf(r->words, sizeof r->words, "%s", words);
    longjmp(png_jmpbuf(png), 1);
}

static void pass_over(png_structp png, png_const_charp words) {
    (void)png, (void)words;
}

static void give(png_structp png, png_bytep to, size_t length) {
    reading *r = png_get_io_ptr(png);
    if (length > r->left) png_error(png, "it ends too early");
    memcpy(to, r->bytes, length);
    r->bytes += length;
    r->left -= length;
}

/* Rows of 8-bit red, green, blue and cover, whatever the file has. */
static void set_form(png_structp png, png_infop info) {
    png_set_expand(png);
    png_set_scale_16(png);
    png_set_gray_to_rgb(png);
    png_set_add_alpha(png, 0xFF, PNG_FILLER_AFTER);
    png_set_interlace_handling(png);
    png_read_update_info(png, info);
}

static status begin(reading *r, size_t side_most, image *out, fault *why) {
    png_set_keep_unknown_chunks(r->png, PNG_HANDLE_CHUNK_NEVER, NULL, -1);
    png_set_user_limits(r->png, IMAGE_SIDE_MOST, IMAGE_SIDE_MOST);
    png_set_read_fn(r->png, r, give);
    png_read_info(r->png, r->info);
    r->width = png_get_image_width(r->png, r->info);
    r->height = png_get_image_height(r->png, r->info);
    bool whole = png_get_interlace_type(r->png, r->info) != PNG_INTERLACE_NONE;
    double pixels = (double)r->width * (double)r->height;
    if (pixels > IMAGE_PIXELS_MOST) return image_make(r->width, r->height, out, why); /* says so */
    if (whole && pixels > INTERLACED_MOST)
        return fault_set(why, E_INPUT,
                         "the picture has %zu x %zu pixels in many passes; such a PNG may have %.0f in all",
                         r->width, r->height, INTERLACED_MOST);
    set_form(r->png, r->info);
    size_t longer = r->width > r->height ? r->width : r->height,
           most = longer < side_most ? longer : side_most;
    size_t width = r->width * most / longer, height = r->height * most / longer;
    status code = image_make(width ? width : 1, height ? height : 1, out, why);
    if (code != OK) return code;
    r->rows = mem_zero(r->width * (whole ? r->height : 1), CHANNELS);
    r->sums = mem_zero(out->width, 3 * sizeof *r->sums);
    return r->rows && r->sums ? OK : fault_memory(why);
}

/* Add a row, on white where it is see-through, to the sums of the smaller picture. */
static void add_row(const reading *r, const unsigned char *row, const image *out) {
    for (size_t x = 0; x < out->width; x++) {
        size_t x0 = x * r->width / out->width, x1 = (x + 1) * r->width / out->width;
        for (const unsigned char *p = row + CHANNELS * x0; p < row + CHANNELS * x1; p += CHANNELS)
            for (size_t c = 0; c < 3; c++)
                r->sums[3 * x + c] += (p[c] * (uint64_t)p[3] + 255u * (255u - p[3]) + 127) / 255;
    }
}

/* The mean of the source pixels of each pixel of row y, of which there are `rows` rows; the sums are empty again. */
static void end_row(reading *r, size_t y, size_t rows, image *out) {
    unsigned char *to = out->rgb + 3 * y * out->width;
    for (size_t x = 0; x < out->width; x++) {
        uint64_t n = rows * ((x + 1) * r->width / out->width - x * r->width / out->width);
        if (n == 0) continue; /* never: the picture is made smaller */
        for (size_t c = 0; c < 3; c++) to[3 * x + c] = (unsigned char)((r->sums[3 * x + c] + n / 2) / n);
    }
    memset(r->sums, 0, out->width * 3 * sizeof *r->sums);
}

static void read_rows(reading *r, image *out) {
    bool whole = png_get_interlace_type(r->png, r->info) != PNG_INTERLACE_NONE;
    size_t stride = CHANNELS * r->width;
    for (int pass = 0; whole && pass < PNG_INTERLACE_ADAM7_PASSES; pass++)
        for (size_t j = 0; j < r->height; j++) png_read_row(r->png, r->rows + j * stride, NULL);
    for (size_t y = 0; y < out->height; y++) {
        size_t j0 = y * r->height / out->height, j1 = (y + 1) * r->height / out->height;
        for (size_t j = j0; j < j1; j++) {
            if (!whole) png_read_row(r->png, r->rows, NULL);
            add_row(r, r->rows + (whole ? j * stride : 0), out);
        }
        end_row(r, y, j1 - j0, out);
    }
    png_read_end(r->png, NULL);
}

static void end(reading *r) {
    png_destroy_read_struct(&r->png, &r->info, NULL);
    mem_free(r->rows);
    mem_free(r->sums);
}

status image_read_png(const void *bytes, size_t length, size_t side_most, image *out, fault *why) {
    reading r = {.bytes = bytes, .left = length};
    *out = (image){0};
    r.png = png_create_read_struct(PNG_LIBPNG_VER_STRING, &r, leave, pass_over);
    r.info = r.png ? png_create_info_struct(r.png) : NULL;
    if (!r.info) {
        end(&r);
        return fault_memory(why);
    }
    if (setjmp(png_jmpbuf(r.png))) {
        end(&r);
        image_free(out);
        return fault_set(why, E_FORMAT, "the PNG cannot be read: %s", r.words);
    }
    status code = begin(&r, side_most, out, why);
    if (code == OK) read_rows(&r, out);
    end(&r);
    if (code != OK) image_free(out);
    return code;
}
