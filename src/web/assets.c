#include "web/assets.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

const web_asset *asset_find(const char *path) {
    if (strcmp(path, "/") == 0) path = "/index.html";
    for (size_t i = 0; i < web_assets_n; i++)
        if (strcmp(web_assets[i].path, path) == 0) return &web_assets[i];
    return NULL;
}

/* "q=0", "q=0.0" ... refuse; anything else takes. */
static bool is_refused(const char *from, const char *end) {
    for (const char *at = from; at + 2 < end; at++)
        if ((at[0] == 'q' || at[0] == 'Q') && at[1] == '=') {
            for (at += 2; at < end && (*at == '0' || *at == '.'); at++) {
            }
            return at == end || *at < '1' || *at > '9';
        }
    return false;
}

static bool takes(const char *accept, const char *coding) {
    size_t n = strlen(coding);
    for (const char *at = accept; at && *at;) {
        at += strspn(at, " \t,");
        const char *end = at + strcspn(at, ",");
        const char *name_end = at + strcspn(at, " \t;,");
        if ((size_t)(name_end - at) == n && strncasecmp(at, coding, n) == 0)
            return !is_refused(name_end, end);
        at = end;
    }
    return false;
}

asset_form asset_choose(const web_asset *asset, const char *accept_encoding) {
    if (asset->brotli && takes(accept_encoding, "br"))
        return (asset_form){asset->brotli, asset->brotli_n, "br"};
    if (asset->gzip && takes(accept_encoding, "gzip"))
        return (asset_form){asset->gzip, asset->gzip_n, "gzip"};
    return (asset_form){asset->plain, asset->plain_n, NULL};
}
