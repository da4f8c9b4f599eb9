/* offer_inputs.c - from what is kept to what is printed: survey, plan, risk; and the options of the printing. */
#include "ops/offer_parts.h"

#include "core/file.h"
#include "survey/read_json.h"

#include <errno.h>
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

void offer_made_free(offer_made *made) {
    ops_job_free(&made->job);
    *made = (offer_made){0};
}

static status read_survey(const char *inputs, survey **out, fault *why) {
    fault_list *faults = fault_list_new();
    survey *s = survey_new();
    status code = faults && s ? OK : fault_memory(why);
    if (code == OK && !survey_read_json(s, "what the offer was made from", inputs, strlen(inputs), faults))
        code = fault_list_status(faults, why);
    fault_list_free(faults);
    if (code == OK)
        *out = s;
    else
        survey_free(s);
    return code;
}

status offer_plan_inputs(const char *inputs, ops_job *out, fault *why) {
    /* No price reads the water in the crack planes, and its last digits are a matter of the machine. */
    const plan_options options = {.planes = PLANES_OFF, .threads = 1};
    status code = read_survey(inputs, &out->survey, why);
    return code == OK ? plan_make(out->survey, &options, &out->plan, why) : code;
}

status offer_from_inputs(const char *inputs, const ops_offer_request *request, offer_made *out, fault *why) {
    *out = (offer_made){.paper = {.date = request->on,
                                  .version = STANCH_VERSION,
                                  .link = request->link,
                                  .without_risk = request->without_risk}};
    status code = offer_plan_inputs(inputs, &out->job, why);
    if (code == OK) code = risk_run(out->job.plan, &request->options, out->job.plan->memory, &out->risk, why);
    if (code != OK) offer_made_free(out);
    return code;
}

/* ---- the spreadsheet's bytes ---- */

static status read_back(const char *file, text *out, fault *why) {
    char *bytes = NULL;
    size_t length = 0;
    status code = file_read(file, &bytes, &length, why);
    if (code == OK) text_add_bytes(out, bytes, length);
    mem_free(bytes);
    return code == OK && out->failed ? fault_memory(why) : code;
}

status offer_xlsx(const offer_made *made, const char *path, text *out, fault *why) {
    char *file = arena_print(made->job.plan->memory, "%s.offer-XXXXXX", path);
    if (!file) return fault_memory(why);
    int handle = mkstemp(file);
    if (handle < 0)
        return fault_set(why, E_IO, "%s: the spreadsheet cannot be made beside it: %s", path,
                         strerror(errno));
    close(handle);
    status code = report_offer_xlsx(made->job.plan, &made->risk, &made->paper, file, why);
    if (code == OK) code = read_back(file, out, why);
    unlink(file);
    return code;
}

/* ---- options ---- */

status offer_write_options(const ops_offer_request *request, text *out, fault *why) {
    char seed[32]; /* as a text: JSON numbers of others hold 53 bits */
    json_out o = {.to = out};
    snprintf(seed, sizeof seed, "%" PRIu64, request->options.seed);
    json_out_open(&o, NULL, '{');
    json_out_whole(&o, "runs", (long long)request->options.runs);
    json_out_text(&o, "seed", seed);
    json_out_number(&o, "correlation", request->options.correlation);
    json_out_bool(&o, "without_risk", request->without_risk);
    json_out_text(&o, "link", request->link);
    json_out_close(&o, '}');
    return out->failed ? fault_memory(why) : OK;
}

status offer_read_options(const store_offer *kept, arena *memory, ops_offer_request *out, fault *why) {
    json_t *root = json_loads(kept->options, 0, NULL);
    const char *seed = json_string_value(json_object_get(root, "seed")),
               *link = json_string_value(json_object_get(root, "link"));
    status code = OK;
    *out = (ops_offer_request){.on = kept->on};
    if (!seed) {
        json_decref(root);
        return fault_set(why, E_FORMAT, "offer %lld: its options cannot be read", kept->number);
    }
    out->options.runs = (size_t)json_integer_value(json_object_get(root, "runs"));
    out->options.seed = strtoull(seed, NULL, 10);
    out->options.correlation = json_number_value(json_object_get(root, "correlation"));
    out->without_risk = json_is_true(json_object_get(root, "without_risk"));
    out->link = link ? arena_copy(memory, link) : NULL;
    if (link && !out->link) code = fault_memory(why);
    json_decref(root);
    return code;
}
