/* JPEG by libjpeg-turbo. The library leaves a fault by a jump; nothing is allocated by us between the mark and the jump
 * but what the frame of the mark knows. */
#include "core/mem.h"
#include "image/image_parts.h"

#include <setjmp.h>
#include <stdio.h>
#include <stdlib.h>

#include <jpeglib.h>

/* Our limits. A JPEG in many passes stands in memory whole, 6 bytes a pixel. */
static const double PROGRESSIVE_MOST = 16e6;
enum { SCANS_MOST = 200 };

typedef struct {
    struct jpeg_error_mgr base; /* first: the library knows only this */
    jmp_buf away;
    char words[JMSG_LENGTH_MAX];
} jpeg_faults;

static void leave(j_common_ptr info) {
    jpeg_faults *f = (jpeg_faults *)info->err;
    f->base.format_message(info, f->words);
    longjmp(f->away, 1);
}

/* The first warning is the one that tells ("premature end"); the library would print it. */
static void keep(j_common_ptr info, int level) {
    jpeg_faults *f = (jpeg_faults *)info->err;
    if (level >= 0) return;
    if (f->base.num_warnings++ == 0) f->base.format_message(info, f->words);
}

/* A file of a few bytes may ask for thousands of passes over a large picture. */
static void watch(j_common_ptr info) {
    jpeg_faults *f = (jpeg_faults *)info->err;
    if (!info->is_decompressor || ((j_decompress_ptr)info)->input_scan_number <= SCANS_MOST) return;
    snprintf(f->words, sizeof f->words, "more than %d passes", SCANS_MOST);
    longjmp(f->away, 1);
}

static void hook(jpeg_faults *f, struct jpeg_error_mgr **err) {
    *err = jpeg_std_error(&f->base);
    f->base.error_exit = leave;
    f->base.emit_message = keep;
    f->words[0] = 0;
}

/* The strongest reduction by eighths whose longer side is still at least `side_most`, or none at all. */
static unsigned eighths(const struct jpeg_decompress_struct *in, size_t side_most) {
    size_t longer = in->image_width > in->image_height ? in->image_width : in->image_height;
    unsigned n = 8;
    while (n > 1 && longer * (n - 1) / 8 >= side_most) n--;
    return n;
}

static status start(struct jpeg_decompress_struct *in, size_t side_most, image *out, fault *why) {
    jpeg_read_header(in, TRUE);
    if (in->image_width > IMAGE_SIDE_MOST || in->image_height > IMAGE_SIDE_MOST ||
        (double)in->image_width * in->image_height > IMAGE_PIXELS_MOST)
        return image_make(in->image_width, in->image_height, out, why); /* says so */
    if (jpeg_has_multiple_scans(in) && (double)in->image_width * in->image_height > PROGRESSIVE_MOST)
        return fault_set(why, E_INPUT,
                         "the picture has %u x %u pixels in many passes; such a JPEG may have %.0f in all",
                         in->image_width, in->image_height, PROGRESSIVE_MOST);
    in->scale_num = eighths(in, side_most);
    in->scale_denom = 8;
    in->out_color_space = JCS_RGB;
    jpeg_start_decompress(in);
    return image_make(in->output_width, in->output_height, out, why);
}

status image_read_jpeg(const void *bytes, size_t length, size_t side_most, image *out, fault *why) {
    struct jpeg_decompress_struct in = {0};
    jpeg_faults faults;
    hook(&faults, &in.err);
    if (setjmp(faults.away)) {
        jpeg_destroy_decompress(&in);
        image_free(out);
        return fault_set(why, E_FORMAT, "the JPEG cannot be read: %s", faults.words);
    }
    struct jpeg_progress_mgr progress = {.progress_monitor = watch};
    jpeg_create_decompress(&in);
    in.progress = &progress;
    jpeg_mem_src(&in, bytes, (unsigned long)length);
    status code = start(&in, side_most, out, why);
    while (code == OK && in.output_scanline < in.output_height) {
        JSAMPROW row = out->rgb + (size_t)in.output_scanline * 3 * out->width;
        jpeg_read_scanlines(&in, &row, 1);
        if (faults.base.num_warnings > 0)
            code = fault_set(why, E_FORMAT, "the JPEG is damaged or cut short: %s", faults.words);
    }
    if (code == OK) jpeg_finish_decompress(&in);
    jpeg_destroy_decompress(&in);
    if (code != OK) image_free(out);
    return code;
}

/* ---- out ---- */

status image_write_jpeg(const image *p, int quality, text *to, fault *why) {
    struct jpeg_compress_struct out = {0};
    jpeg_faults faults;
    unsigned char *bytes = NULL;
    unsigned long length = 0;
    hook(&faults, &out.err);
    if (setjmp(faults.away)) {
        jpeg_destroy_compress(&out);
        free(bytes); /* of the library's own malloc */
        return fault_set(why, E_IO, "the JPEG cannot be written: %s", faults.words);
    }
    jpeg_create_compress(&out);
    jpeg_mem_dest(&out, &bytes, &length);
    out.image_width = (JDIMENSION)p->width;
    out.image_height = (JDIMENSION)p->height;
    out.input_components = 3;
    out.in_color_space = JCS_RGB;
    jpeg_set_defaults(&out);
    jpeg_set_quality(&out, quality, TRUE);
    jpeg_start_compress(&out, TRUE);
    while (out.next_scanline < out.image_height) {
        JSAMPROW row = p->rgb + (size_t)out.next_scanline * 3 * p->width;
        jpeg_write_scanlines(&out, &row, 1);
    }
    jpeg_finish_compress(&out);
    jpeg_destroy_compress(&out);
    text_add_bytes(to, (const char *)bytes, length);
    free(bytes);
    return to->failed ? fault_memory(why) : OK;
}
