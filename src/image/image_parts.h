/* image_parts.h - what the files of image/ share. */
#ifndef STANCH_IMAGE_IMAGE_PARTS_H
#define STANCH_IMAGE_IMAGE_PARTS_H

#include "image/image.h"

/* Room for a picture; E_INPUT beyond the limits, E_MEMORY. */
status image_make(size_t width, size_t height, image *out, fault *why);

status image_read_jpeg(const void *bytes, size_t length, size_t side_most, image *out, fault *why);
status image_read_png(const void *bytes, size_t length, size_t side_most, image *out, fault *why);

#endif
