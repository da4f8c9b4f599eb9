/* assets.h - the files of the page, built into the program (web/build.mjs makes the table), and which form of one to send.
 * Threads  constant. */
#ifndef STANCH_WEB_ASSETS_H
#define STANCH_WEB_ASSETS_H

#include <stdbool.h>
#include <stddef.h>

typedef struct {
    const char *path, *type, *etag; /* "/main-1a2b.js", "text/javascript; charset=utf-8", "\"1a2b\"" */
    bool immutable;                 /* its name has its hash: keep it for ever */
    const unsigned char *plain, *gzip, *brotli; /* gzip, brotli: NULL where they would not be smaller */
    size_t plain_n, gzip_n, brotli_n;
} web_asset;

extern const web_asset web_assets[];
extern const size_t web_assets_n;

/* By decoded path; "/" is "/index.html". NULL when there is none. */
const web_asset *asset_find(const char *path);

typedef struct {
    const unsigned char *bytes;
    size_t length;
    const char *encoding; /* "br", "gzip" or NULL */
} asset_form;

/* The smallest form that Accept-Encoding (NULL: none) takes. */
asset_form asset_choose(const web_asset *asset, const char *accept_encoding);

#endif
