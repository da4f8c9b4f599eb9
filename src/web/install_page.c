#include "web/install_page.h"

const char install_style[] =
    ":root{color-scheme:light dark;--ink:#1c1c1a;--paper:#fafaf7;--line:#8a8a84;--link:#0b4f7d}\n"
    "@media(prefers-color-scheme:dark){:root{--ink:#ecece6;--paper:#1a1b1c;--line:#8d8d86;--link:#8cc4ee}}\n"
    "body{margin:0 auto;padding:1.5rem 1rem 4rem;max-width:38rem;font:1.0625rem/1.5 system-ui,sans-serif;"
    "color:var(--ink);background:var(--paper)}\n"
    "h1{font-size:1.5rem;line-height:1.2}h2{font-size:1.2rem;margin-top:2rem}\n"
    "li{margin:.5rem 0}a{color:var(--link)}\n"
    "a.take{display:block;padding:1rem;text-align:center;border:2px solid var(--link);border-radius:.5rem;"
    "font-weight:600}\n"
    "code{display:block;padding:.75rem;border:1px solid var(--line);border-radius:.5rem;word-spacing:.2em;"
    "overflow-wrap:break-word}\n"
    ":focus-visible{outline:3px solid var(--link);outline-offset:2px}\n";

static const char head[] = "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\n"
                           "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                           "<title>Let this phone trust the site</title>\n<link rel=\"stylesheet\" "
                           "href=\"/install.css\"></head><body><main>\n"
                           "<h1>Let this phone trust the site</h1>\n"
                           "<p>So that stanch works on this phone without a signal, the phone has to trust "
                           "the computer of this site. You "
                           "do this once. It takes two minutes.</p>\n"
                           "<h2>1. Compare</h2>\n<p>Ask the office, by voice or on paper, for the "
                           "fingerprint of the site. Go on only when "
                           "it is this one, to the last pair:</p>\n<code>";

static const char take[] =
    "</code>\n<h2>2. Take the certificate</h2>\n"
    "<p><a class=\"take\" href=\"/stanch-authority.crt\">Take the certificate of the site</a></p>\n";

static const char iphone[] =
    "<h2>3. On an iPhone</h2>\n<ol>\n"
    "<li>Open this page in the browser that came with the phone. When it asks whether a profile may be "
    "loaded, "
    "allow it.</li>\n"
    "<li>Open Settings. At the top it says that a profile was loaded: open it and choose Install. Type the "
    "code of "
    "the phone. The fingerprint is shown under More Details.</li>\n"
    "<li>In Settings open General, About, at the very bottom Certificate Trust Settings, and switch on the "
    "certificate that is called &ldquo;stanch site authority&rdquo; and four characters. Without this step "
    "the phone does not "
    "trust it.</li>\n</ol>\n";

static const char android[] =
    "<h2>3. On an Android phone</h2>\n<ol>\n"
    "<li>After taking the certificate it lies among the downloads.</li>\n"
    "<li>Open Settings and search there for &ldquo;certificate&rdquo;. Choose to install a CA certificate "
    "from the "
    "phone. On most phones this stands under Security, then Encryption and credentials.</li>\n"
    "<li>The phone warns that a CA certificate can be used to listen in. It is right, which is why you "
    "compared the "
    "fingerprint. Choose to install anyway, type the code of the phone, and pick the file "
    "<b>stanch-authority.crt</b>.</li>\n</ol>\n";

static const char last[] =
    "<h2>5. When the job is over</h2>\n"
    "<p>Take the certificate away again: on an iPhone in Settings, General, VPN and Device Management; on an "
    "Android phone where you installed it, under User credentials or Trusted credentials.</p>\n"
    "</main></body></html>\n";

static void add_escaped(text *out, const char *words) {
    for (const char *c = words; *c; c++) switch (*c) {
        case '&': text_add(out, "&amp;"); break;
        case '<': text_add(out, "&lt;"); break;
        case '>': text_add(out, "&gt;"); break;
        case '"': text_add(out, "&quot;"); break;
        case '\'': text_add(out, "&#39;"); break;
        default: text_add_bytes(out, c, 1);
        }
}

void install_page_write(const char *fingerprint, const char *address, text *out) {
    text_add(out, head);
    add_escaped(out, fingerprint);
    text_add(out, take);
    text_add(out, iphone);
    text_add(out, android);
    text_add(out, "<h2>4. Go on</h2>\n<p>Open <a href=\"");
    add_escaped(out, address);
    text_add(out, "\">");
    add_escaped(out, address);
    text_add(out, "</a>. No warning may appear. If one does, do not go past it: ask the office.</p>\n");
    text_add(out, last);
}
