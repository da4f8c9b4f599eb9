#include "core/mem.h"
#include "image/image_parts.h"

#include <libexif/exif-data.h>
#include <string.h>

void image_free(image *p) {
    mem_free(p->rgb);
    *p = (image){0};
}

status image_make(size_t width, size_t height, image *out, fault *why) {
    *out = (image){0};
    if (width == 0 || height == 0 || width > IMAGE_SIDE_MOST || height > IMAGE_SIDE_MOST ||
        (double)width * (double)height > IMAGE_PIXELS_MOST)
        return fault_set(why, E_INPUT,
                         "the picture has %zu x %zu pixels; it must have 1 to %d a side and %.0f in all",
                         width, height, (int)IMAGE_SIDE_MOST, IMAGE_PIXELS_MOST);
    unsigned char *rgb = mem_get(width * height, 3);
    if (!rgb) return fault_memory(why);
    *out = (image){width, height, rgb};
    return OK;
}

/* ---- upright ---- */

enum { UPRIGHT = 1, ORIENTATIONS = 8 };

/* Tag 0x0112 of the first directory, 1 to 8; 1 when there is none. */
static int orientation_of(const void *bytes, size_t length) {
    ExifData *exif = exif_data_new_from_data(bytes, (unsigned)(length < 1u << 30 ? length : 1u << 30));
    if (!exif) return UPRIGHT;
    const ExifEntry *entry = exif_content_get_entry(exif->ifd[EXIF_IFD_0], EXIF_TAG_ORIENTATION);
    int found = UPRIGHT;
    if (entry && entry->format == EXIF_FORMAT_SHORT && entry->components == 1 && entry->size >= 2)
        found = exif_get_short(entry->data, exif_data_get_byte_order(exif));
    exif_data_unref(exif);
    return found >= 1 && found <= ORIENTATIONS ? found : UPRIGHT;
}

/* Where the upright picture's pixel (x, y) lies in the one of `orientation` (EXIF 2.32, 4.6.4 A, from memory). */
static size_t source_of(const image *p, int orientation, size_t x, size_t y) {
    size_t right = p->width - 1, bottom = p->height - 1, at_x = x, at_y = y;
    switch (orientation) {
    case 2: at_x = right - x; break;
    case 3: at_x = right - x, at_y = bottom - y; break;
    case 4: at_y = bottom - y; break;
    case 5: at_x = y, at_y = x; break;
    case 6: at_x = y, at_y = bottom - x; break;
    case 7: at_x = right - y, at_y = bottom - x; break;
    case 8: at_x = right - y, at_y = x; break;
    default: break;
    }
    return at_y * p->width + at_x;
}

static status turn_upright(image *p, int orientation, fault *why) {
    if (orientation == UPRIGHT) return OK;
    bool turned = orientation >= 5;
    image out;
    status code = image_make(turned ? p->height : p->width, turned ? p->width : p->height, &out, why);
    if (code != OK) return code;
    for (size_t y = 0; y < out.height; y++)
        for (size_t x = 0; x < out.width; x++)
            memcpy(out.rgb + 3 * (y * out.width + x), p->rgb + 3 * source_of(p, orientation, x, y), 3);
    image_free(p);
    *p = out;
    return OK;
}

/* ---- smaller ---- */

/* Mean of the source pixels whose centres fall into each pixel of the smaller picture: at least one, since it is smaller. */
static void average(const image *p, image *out) {
    for (size_t y = 0; y < out->height; y++) {
        size_t y0 = y * p->height / out->height, y1 = (y + 1) * p->height / out->height;
        for (size_t x = 0; x < out->width; x++) {
            size_t x0 = x * p->width / out->width, x1 = (x + 1) * p->width / out->width, sum[3] = {0};
            for (size_t j = y0; j < y1; j++)
                for (size_t i = x0; i < x1; i++)
                    for (size_t c = 0; c < 3; c++) sum[c] += p->rgb[3 * (j * p->width + i) + c];
            size_t n = (y1 - y0) * (x1 - x0);
            if (n == 0) continue; /* never: the picture is made smaller */
            for (size_t c = 0; c < 3; c++)
                out->rgb[3 * (y * out->width + x) + c] = (unsigned char)((sum[c] + n / 2) / n);
        }
    }
}

static status make_smaller(image *p, size_t side_most, fault *why) {
    size_t longer = p->width > p->height ? p->width : p->height;
    if (longer <= side_most) return OK;
    image out;
    size_t width = p->width * side_most / longer, height = p->height * side_most / longer;
    status code = image_make(width ? width : 1, height ? height : 1, &out, why);
    if (code != OK) return code;
    average(p, &out);
    image_free(p);
    *p = out;
    return OK;
}

/* ---- in ---- */

status image_read(const void *bytes, size_t length, size_t side_most, image *out, fault *why) {
    static const unsigned char jpeg[] = {0xFF, 0xD8, 0xFF}, png[] = {0x89, 'P', 'N', 'G'};
    *out = (image){0};
    bool is_jpeg = length >= sizeof jpeg && memcmp(bytes, jpeg, sizeof jpeg) == 0;
    if (!is_jpeg && (length < sizeof png || memcmp(bytes, png, sizeof png) != 0))
        return fault_set(why, E_FORMAT, "the picture is neither a JPEG nor a PNG");
    status code = is_jpeg ? image_read_jpeg(bytes, length, side_most, out, why)
                          : image_read_png(bytes, length, side_most, out, why);
    if (code == OK) code = make_smaller(out, side_most, why);
    if (code == OK && is_jpeg) code = turn_upright(out, orientation_of(bytes, length), why);
    if (code != OK) image_free(out);
    return code;
}
