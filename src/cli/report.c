#include "cli/cli.h"
#include "cli/options.h"
#include "cli/planes.h"
#include "cli/today.h"
#include "ops/ops.h"

#include <stdio.h>
#include <string.h>

static status read_address(const char *address, fault *why) {
    if (!address) return OK;
    size_t length = strlen(address);
    bool http = strncmp(address, "http://", 7) == 0 || strncmp(address, "https://", 8) == 0;
    if (!http || length > 200 || address[length - 1] == '/' || !text_is_utf8(address, length))
        return fault_set(
            why, E_INPUT,
            "--address is %.100s; it must be like https://192.0.2.7:8466, without a / at its end", address);
    return OK;
}

int cli_report(int argc, char **argv) {
    const char *date = NULL, *planes = NULL, *address = NULL;
    ops_plan_request request;
    const options_item items[] = {
        {"--date", "YYYY-MM-DD", "date of the document (default today)", &date, NULL},
        {"--address", "URL", "of the page on site: a QR code on each step card opens the leak", &address,
         NULL},
        PLANES_OPTION(planes)};
    const options_table table = {
        "report",
        "JOB FOLDER",
        "Writes plan.pdf, one SVG a face, a crack plane and a gauge, faces.dxf and quantities.xlsx. The same "
        "job and date give the same bytes.",
        items,
        3,
        2,
        2};
    fault why = {0};
    size_t n;
    bool done;
    char today[TODAY_TEXT];
    ops_job job = {0};
    ops_report_result result;
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    if (code == OK) code = today_read(date, today, &why);
    if (code == OK) code = planes_read(planes, &request, &why);
    request.works = true;
    if (code == OK) code = ops_look(argv[1], &request, &job, &why);
    if (code == OK) code = read_address(address, &why);
    if (code == OK) {
        const ops_report_request report = {
            argv[2], today, address ? ops_link(job.plan->memory, address, argv[1]) : NULL, job.plan->memory};
        code = ops_report(&job, &report, &result, &why);
    }
    if (code == OK)
        for (size_t i = 0; i < result.n; i++) printf("%s\n", result.files[i]);
    ops_job_free(&job);
    return code == OK ? 0 : cli_fail(&why);
}
