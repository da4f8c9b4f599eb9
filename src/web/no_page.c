/* The table of assets of a program built with STANCH_PAGE=OFF. */
#include "web/assets.h"

static const unsigned char sentence[] =
    "<!doctype html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n<title>stanch</title>\n"
    "<p>This stanch was built without the page (STANCH_PAGE=OFF); what is under /api/ "
    "answers.</p>\n</html>\n";

const web_asset web_assets[] = {
    {"/index.html", "text/html; charset=utf-8", "\"no-page\"", false, sentence, 0, 0, sizeof sentence - 1, 0,
     0},
};
const size_t web_assets_n = 1;
