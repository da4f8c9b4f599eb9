#include "takeoff/takeoff.h"

#include <glpk.h>
#include <math.h>

static const double ROUND = 1e-9; /* a need this little above whole packs is rounding, not need; kg or l */

bool takeoff_by_volume(const survey_material *m) {
    return m->role == ROLE_RESIN || m->role == ROLE_SEALANT;
}

double takeoff_pack_size(const survey_material *m, const survey_pack *p) {
    if (!takeoff_by_volume(m)) return p->size_kg;
    if (p->size_m3.known) return p->size_m3.v;
    return m->density_kg_m3.known ? p->size_kg / m->density_kg_m3.v : 0;
}

takeoff_amount takeoff_amount_of(const takeoff_order *o) {
    if (takeoff_by_volume(o->material))
        return (takeoff_amount){UNITS_VOLUME, o->need_m3, o->bought_m3, o->left_m3};
    return (takeoff_amount){UNITS_MASS, o->need_kg, o->bought_kg, o->left_kg};
}

static bool outlasts(const survey_pack *p, double days) {
    return !p->shelf_life_days.known || p->shelf_life_days.v >= days;
}

/* The programme counts in kilograms or litres: numbers of like size, far above its tolerances. */
static double scale(const survey_material *m) {
    return takeoff_by_volume(m) ? 1000 : 1;
}

/* min sum price_i n_i, sum size_i n_i >= need, n_i whole. A millionth of money a kilogram or litre breaks ties by the
 * leftover. */
static status cover(const survey_material *m, double need, double days, int counts[], fault *why) {
    int columns = (int)m->n_packs;
    glp_prob *lp = glp_create_prob();
    glp_add_rows(lp, 1);
    glp_set_row_bnds(lp, 1, GLP_LO, need * scale(m) - ROUND, 0);
    glp_add_cols(lp, columns);
    for (int i = 1; i <= columns; i++) {
        const survey_pack *p = &m->packs[i - 1];
        double size = takeoff_pack_size(m, p) * scale(m);
        glp_set_col_kind(lp, i, GLP_IV);
        if (outlasts(p, days))
            glp_set_col_bnds(lp, i, GLP_LO, 0, 0);
        else
            glp_set_col_bnds(lp, i, GLP_FX, 0, 0);
        glp_set_obj_coef(lp, i, p->price + 1e-6 * size);
        int index[2] = {0, 1};
        double value[2] = {0, size};
        glp_set_mat_col(lp, i, 1, index, value);
    }
    glp_iocp how;
    glp_init_iocp(&how);
    how.presolve = GLP_ON;
    how.msg_lev = GLP_MSG_OFF;
    how.tm_lim = 2000; /* ms; a handful of pack sizes takes far less */
    int code = glp_intopt(lp, &how), state = glp_mip_status(lp);
    bool found = (code == 0 || code == GLP_ETMLIM) && (state == GLP_OPT || state == GLP_FEAS);
    for (int i = 1; found && i <= columns; i++) counts[i - 1] = (int)lround(glp_mip_col_val(lp, i));
    glp_delete_prob(lp);
    if (found) return OK;
    return fault_set(why, E_INPUT, "material %s: no whole number of packs covers %.3g %s", m->id,
                     need * scale(m), takeoff_by_volume(m) ? "l" : "kg");
}

static status list_packs(const survey_material *m, const int counts[], arena *memory, takeoff_order *out,
                         fault *why) {
    double bought = 0;
    out->packs = arena_get(memory, m->n_packs, sizeof *out->packs);
    if (!out->packs) return fault_memory(why);
    for (size_t i = 0; i < m->n_packs; i++) {
        if (counts[i] <= 0) continue;
        out->packs[out->n_packs++] = (takeoff_packs){&m->packs[i], counts[i]};
        bought += counts[i] * takeoff_pack_size(m, &m->packs[i]);
        out->cost += counts[i] * m->packs[i].price;
    }
    if (takeoff_by_volume(m)) {
        out->bought_m3 = bought;
        out->left_m3 = fmax(bought - out->need_m3, 0);
    } else {
        out->bought_kg = bought;
        out->left_kg = fmax(bought - out->need_kg, 0);
    }
    return OK;
}

status takeoff_buy(const survey_material *m, double need, double days, arena *memory, takeoff_order *out,
                   fault *why) {
    bool any = false;
    *out = (takeoff_order){.material = m};
    *(takeoff_by_volume(m) ? &out->need_m3 : &out->need_kg) = need;
    for (size_t i = 0; i < m->n_packs; i++)
        any = any || (outlasts(&m->packs[i], days) && takeoff_pack_size(m, &m->packs[i]) > 0);
    if (!any) {
        out->problem =
            m->n_packs ? "no pack lasts on the shelf until it is used" : "no pack size is recorded";
        return OK;
    }
    if (!(need > 0)) return OK;
    int *counts = arena_get(memory, m->n_packs, sizeof *counts);
    if (!counts) return fault_memory(why);
    glp_term_out(GLP_OFF);
    status code = cover(m, need, days, counts, why);
    glp_free_env(); /* the library keeps one for each thread and never ends it by itself */
    return code == OK ? list_packs(m, counts, memory, out, why) : code;
}
