/* handover_photos.c - the photos of a leak, three in a row, upright and small; a photo that is not there is named. */
#include "report/handover_parts.h"

#include "core/file.h"
#include "image/image.h"

#include <math.h>
#include <string.h>

enum { ACROSS = 3, SIDE_PX = 720, QUALITY = 80 };
static const double GAP_PT = 8, PICTURE_PT = 112, CAPTION_PT = 24;

const char *handover_photo_numbers(const handover *h, const char *mark) {
    const built_job *b = h->view->built;
    const char *all = "";
    for (size_t i = 0; i < b->n_photos;) {
        size_t end = i + 1;
        bool of = strcmp(b->photos[i].mark, mark) == 0;
        while (of && end < b->n_photos && strcmp(b->photos[end].mark, mark) == 0) end++;
        if (of && end - i == 1) all = handover_join(h, all, ", ", say_print(h->words, "photo %zu", end));
        if (of && end - i > 1)
            all = handover_join(h, all, ", ", say_print(h->words, "photos %zu-%zu", i + 1, end));
        i = end;
    }
    return all;
}

/* A name in the folder, and nothing that leads out of it. */
static bool plain_name(const char *file) {
    return file && *file && *file != '.' && !strchr(file, '/') && !strchr(file, '\\');
}

static void drop(void *bytes) {
    mem_free(bytes);
}

/* As Cairo wants it, 4 bytes a pixel; the PDF carries the JPEG itself. NULL when it cannot be had. */
static cairo_surface_t *surface_of(const image *p, text *jpeg) {
    cairo_surface_t *s = cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)p->width, (int)p->height);
    if (cairo_surface_status(s) != CAIRO_STATUS_SUCCESS) {
        cairo_surface_destroy(s);
        return NULL;
    }
    size_t stride = (size_t)cairo_image_surface_get_stride(s);
    unsigned char *to = cairo_image_surface_get_data(s);
    for (size_t y = 0; y < p->height; y++)
        for (size_t x = 0; x < p->width; x++) {
            const unsigned char *rgb = &p->rgb[(y * p->width + x) * 3];
            uint32_t pixel = (uint32_t)rgb[0] << 16 | (uint32_t)rgb[1] << 8 | rgb[2];
            memcpy(&to[y * stride + x * 4], &pixel, sizeof pixel);
        }
    cairo_surface_mark_dirty(s);
    if (jpeg->length && cairo_surface_set_mime_data(s, CAIRO_MIME_TYPE_JPEG, (unsigned char *)jpeg->bytes,
                                                    jpeg->length, drop, jpeg->bytes) == CAIRO_STATUS_SUCCESS)
        *jpeg = (text){0}; /* the surface's now */
    return s;
}

static status read_bytes(const handover *h, const char *file, char **bytes, size_t *length, fault *why) {
    const char *const folders[] = {h->options->photo_folder, h->options->photo_beside};
    status code = E_INPUT;
    for (size_t i = 0; i < 2 && code != OK && code != E_MEMORY; i++)
        if (folders[i])
            code = file_read_plain(say_print(h->words, "%s/%s", folders[i], file), bytes, length, why);
    return code;
}

static cairo_surface_t *load(const handover *h, const char *file) {
    fault why = {0};
    char *bytes = NULL;
    size_t length = 0;
    image picture = {0};
    text jpeg = {0};
    cairo_surface_t *s = NULL;
    if (!plain_name(file)) return NULL;
    if (read_bytes(h, file, &bytes, &length, &why) == OK &&
        image_read(bytes, length, SIDE_PX, &picture, &why) == OK &&
        image_write_jpeg(&picture, QUALITY, &jpeg, &why) == OK && !jpeg.failed)
        s = surface_of(&picture, &jpeg);
    if (why.code == E_MEMORY) h->words->failed = true;
    text_free(&jpeg);
    image_free(&picture);
    mem_free(bytes);
    return s;
}

static void draw_picture(doc *d, cairo_surface_t *s, sheet_box box) {
    double width = cairo_image_surface_get_width(s), height = cairo_image_surface_get_height(s);
    double scale = fmin(box.width / width, box.height / height);
    cairo_save(d->cr);
    cairo_translate(d->cr, box.x + (box.width - width * scale) / 2,
                    box.y + (box.height - height * scale) / 2);
    cairo_scale(d->cr, scale, scale);
    cairo_set_source_surface(d->cr, s, 0, 0);
    cairo_paint(d->cr);
    cairo_restore(d->cr);
    cairo_surface_destroy(s);
}

static void one(doc *d, const handover *h, size_t at, sheet_box box) {
    const built_photo *p = &h->view->built->photos[at];
    const char *file = p->file ? p->file : "";
    const char *told = p->caption && *p->caption ? p->caption : file;
    const char *caption = say_print(&d->words, "Photo %zu · %s  %s\n#%lld, %s%s%s", at + 1, p->mark, told,
                                    p->seq, handover_time(h, p->at), p->by ? ", " : "", p->by ? p->by : "");
    if (d->dry) return;
    cairo_surface_t *s = load(h, file);
    if (s) {
        draw_picture(d, s, box);
    } else {
        doc_style style = DOC_SOFT;
        style.align = ALIGN_MIDDLE;
        doc_box(d, box, 0x999999, 0xf7f7f5);
        doc_text_at(d, style, box.x + 6, box.y + box.height / 2 - 14, box.width - 12,
                    say_print(&d->words, "%.120s\nnot there", file));
    }
    PangoLayout *layout = doc_layout(d, (doc_style){6.8, false, 0x333333, ALIGN_LEFT}, box.width, caption);
    pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
    pango_layout_set_height(layout, (int)(CAPTION_PT * PANGO_SCALE));
    doc_show_layout(d, (doc_style){.colour = 0x333333}, box.x, box.y + box.height + 2, layout);
    g_object_unref(layout);
}

void handover_photos(doc *d, const char *mark) {
    handover *h = handover_of(d);
    const built_job *b = h->view->built;
    double width = (doc_inner(d) - (ACROSS - 1) * GAP_PT) / ACROSS;
    size_t n = 0;
    for (size_t i = 0; i < b->n_photos; i++) {
        if (strcmp(b->photos[i].mark, mark) != 0) continue;
        if (n % ACROSS == 0) {
            if (n) d->y += PICTURE_PT + CAPTION_PT + 6;
            doc_need(d, PICTURE_PT + CAPTION_PT + 6);
        }
        sheet_box box = {DOC_MARGIN + (double)(n % ACROSS) * (width + GAP_PT), d->y, width, PICTURE_PT};
        one(d, h, i, box);
        n++;
    }
    if (n) d->y += PICTURE_PT + CAPTION_PT + 6;
}
