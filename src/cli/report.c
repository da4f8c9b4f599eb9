#include "cli/cli.h"
#include "cli/options.h"
#include "cli/planes.h"
#include "cli/today.h"
#include "ops/ops.h"

#include <stdio.h>

int cli_report(int argc, char **argv) {
    const char *date = NULL, *planes = NULL;
    ops_plan_request request;
    const options_item items[] = {
        {"--date", "YYYY-MM-DD", "date of the document (default today)", &date, NULL}, PLANES_OPTION(planes)};
    const options_table table = {
        "report",
        "JOB FOLDER",
        "Writes plan.pdf, one SVG a face and a crack plane, faces.dxf and quantities.xlsx. The same "
        "job and date give the same bytes.",
        items,
        2,
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
    if (code == OK) code = ops_look(argv[1], &request, &job, &why);
    if (code == OK) code = ops_report(&job, argv[2], today, &result, &why);
    if (code == OK)
        for (size_t i = 0; i < result.n; i++) printf("%s\n", result.files[i]);
    ops_job_free(&job);
    return code == OK ? 0 : cli_fail(&why);
}
