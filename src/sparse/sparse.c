#include "sparse/sparse.h"

#include "core/mem.h"

#include <cholmod.h>
#include <string.h>
#include <SuiteSparse_config.h>

struct sparse_factor {
    cholmod_common common;
    cholmod_factor *l;
    cholmod_dense *x, *y, *e; /* work of the solves, kept between them */
    int n;
};

void sparse_begin(void) {
    SuiteSparse_config.malloc_func = mem_malloc;
    SuiteSparse_config.calloc_func = mem_zero;
    SuiteSparse_config.realloc_func = mem_realloc;
    SuiteSparse_config.free_func = mem_free;
}

void sparse_matrix_free(sparse_matrix *m) {
    mem_free(m->start);
    mem_free(m->row);
    mem_free(m->value);
    *m = (sparse_matrix){0};
}

void sparse_multiply(const sparse_matrix *k, const double *x, double *y) {
    for (int j = 0; j < k->n; j++) y[j] = 0;
    for (int j = 0; j < k->n; j++) {
        int p = k->start[j];
        double sum = k->value[p] * x[j]; /* the diagonal comes first */
        for (p++; p < k->start[j + 1]; p++) {
            y[k->row[p]] += k->value[p] * x[j];
            sum += k->value[p] * x[k->row[p]];
        }
        y[j] += sum;
    }
}

/* The matrix as CHOLMOD sees it: nothing is copied. */
static cholmod_sparse as_cholmod(const sparse_matrix *k) {
    return (cholmod_sparse){.nrow = (size_t)k->n,
                            .ncol = (size_t)k->n,
                            .nzmax = (size_t)k->start[k->n],
                            .p = k->start,
                            .i = k->row,
                            .x = k->value,
                            .stype = -1,
                            .itype = CHOLMOD_INT,
                            .xtype = CHOLMOD_REAL,
                            .dtype = CHOLMOD_DOUBLE,
                            .sorted = 0,
                            .packed = 1};
}

static status told(const sparse_factor *f, fault *why) {
    if (f->common.status == CHOLMOD_OK) return OK;
    if (f->common.status == CHOLMOD_NOT_POSDEF) {
        size_t at = f->l ? f->l->minor : 0;
        const int *order = f->l ? f->l->Perm : NULL;
        return fault_set(why, E_STATE, "the matrix is not positive definite at unknown %d",
                         order && at < (size_t)f->n ? order[at] : (int)at);
    }
    if (f->common.status == CHOLMOD_OUT_OF_MEMORY || f->common.status == CHOLMOD_TOO_LARGE)
        return fault_memory(why);
    return fault_set(why, E_STATE, "the sparse factorisation failed with code %d", f->common.status);
}

/* NULL, with the reason in *code, without memory or without the library. */
static sparse_factor *new_factor(int n, status *code, fault *why) {
    sparse_factor *f = mem_zero(1, sizeof *f);
    if (!f) {
        *code = fault_memory(why);
        return NULL;
    }
    if (!cholmod_start(&f->common)) {
        mem_free(f);
        *code = fault_set(why, E_IO, "the library CHOLMOD is not there: install libcholmod3");
        return NULL;
    }
    f->common.print = 0;
    f->common.supernodal = CHOLMOD_SUPERNODAL;
    f->common.final_ll = 1;
    f->n = n;
    return f;
}

void sparse_factor_free(sparse_factor *f) {
    if (!f) return;
    cholmod_free_factor(&f->l, &f->common);
    cholmod_free_dense(&f->x, &f->common);
    cholmod_free_dense(&f->y, &f->common);
    cholmod_free_dense(&f->e, &f->common);
    cholmod_finish(&f->common);
    mem_free(f);
}

/* Work for one right-hand side. CHOLMOD would get it while solving, and crash when there is none to be had. */
static void get_work(sparse_factor *f) {
    size_t n = (size_t)f->n, edge = f->l->maxesize > 0 ? f->l->maxesize : 1;
    f->x = cholmod_allocate_dense(n, 1, n, CHOLMOD_REAL, &f->common);
    f->y = cholmod_allocate_dense(n, 1, n, CHOLMOD_REAL, &f->common);
    f->e = cholmod_allocate_dense(1, edge, 1, CHOLMOD_REAL, &f->common);
}

/* `keep`: the order given is kept to the letter, without postordering. */
static status factorise(const sparse_matrix *k, sparse_order order, const int *given, bool keep,
                        sparse_factor **out, fault *why) {
    cholmod_sparse a = as_cholmod(k);
    int *perm = NULL;
    status code = OK;
    sparse_factor *f = new_factor(k->n, &code, why);
    if (!f) return code;
    if (order != SPARSE_AUTO) {
        f->common.nmethods = 1;
        f->common.method[0].ordering = order == SPARSE_GIVEN ? CHOLMOD_GIVEN : CHOLMOD_NATURAL;
        f->common.postorder = !keep;
    }
    if (order == SPARSE_GIVEN) {
        /* CHOLMOD takes the order without const and does not write to it; a copy keeps the promise here. */
        perm = mem_get((size_t)k->n, sizeof *perm);
        if (perm) memcpy(perm, given, (size_t)k->n * sizeof *perm);
    }
    code = order == SPARSE_GIVEN && !perm ? fault_memory(why) : OK;
    if (code == OK) {
        f->l = cholmod_analyze_p(&a, perm, NULL, 0, &f->common);
        if (f->l && f->common.status == CHOLMOD_OK) cholmod_factorize(&a, f->l, &f->common);
        code = told(f, why);
    }
    if (code == OK) {
        get_work(f);
        if (!f->x || !f->y || !f->e) code = fault_memory(why);
    }
    mem_free(perm);
    if (code == OK)
        *out = f;
    else
        sparse_factor_free(f);
    return code;
}

status sparse_factorise(const sparse_matrix *k, sparse_order order, const int *given, sparse_factor **out,
                        fault *why) {
    *out = NULL;
    return factorise(k, order, given, false, out, why);
}

status sparse_solve(sparse_factor *f, double *b, int columns, fault *why) {
    size_t n = (size_t)f->n;
    for (int c = 0; c < columns; c++) {
        double *at = b + n * (size_t)c;
        cholmod_dense rhs = {.nrow = n, .ncol = 1, .nzmax = n, .d = n, .x = at, .xtype = CHOLMOD_REAL};
        cholmod_solve2(CHOLMOD_A, f->l, &rhs, NULL, &f->x, NULL, &f->y, &f->e, &f->common);
        status code = told(f, why);
        if (code != OK) return code;
        memcpy(at, f->x->x, n * sizeof *at);
    }
    return OK;
}

double sparse_factor_entries(const sparse_factor *f) {
    return (double)f->l->xsize;
}

/* An order that keeps L sparse with the kept unknowns last, as given. */
static status order_kept_last(const sparse_matrix *k, const int *kept, int kept_n, int *order, fault *why) {
    cholmod_sparse a = as_cholmod(k);
    int *group = mem_zero((size_t)k->n, sizeof *group);
    status code = OK;
    sparse_factor *f = new_factor(k->n, &code, why);
    if (!group) code = fault_memory(why);
    if (f && group) {
        for (int i = 0; i < kept_n; i++) group[kept[i]] = 1;
        cholmod_camd(&a, NULL, 0, group, order, &f->common);
        code = told(f, why);
    }
    if (code == OK) memcpy(order + (k->n - kept_n), kept, (size_t)kept_n * sizeof *order);
    mem_free(group);
    sparse_factor_free(f);
    return code;
}

/* The trailing block of a supernodal L: its columns lie in supernodes, each a dense block whose rows are
 * listed. */
static void trailing_block(const cholmod_factor *l, int kept_n, double *lower) {
    const int *super = l->super, *pi = l->pi, *px = l->px, *rows = l->s;
    const double *x = l->x;
    int first = (int)l->n - kept_n;
    for (size_t s = 0; s < l->nsuper; s++) {
        int height = pi[s + 1] - pi[s];
        for (int j = super[s]; j < super[s + 1]; j++) {
            if (j < first) continue;
            const double *column = x + px[s] + (ptrdiff_t)(j - super[s]) * height;
            for (int i = j - super[s]; i < height; i++)
                lower[(size_t)(j - first) * (size_t)kept_n + (size_t)(rows[pi[s] + i] - first)] = column[i];
        }
    }
}

/* y = L_bb v: turns the kept part of L^-1 P b into the condensed right-hand side. */
static void lower_times(const double *lower, int n, const double *v, double *y) {
    for (int i = 0; i < n; i++) y[i] = 0;
    for (int j = 0; j < n; j++)
        for (int i = j; i < n; i++) y[i] += lower[(size_t)j * (size_t)n + (size_t)i] * v[j];
}

static bool solve_part(sparse_factor *f, int system, const double *from, double *to) {
    size_t n = (size_t)f->n;
    /* CHOLMOD does not write to a right-hand side; `to` holds a copy so that it need not be trusted. */
    memcpy(to, from, n * sizeof *to);
    cholmod_dense rhs = {.nrow = n, .ncol = 1, .nzmax = n, .d = n, .x = to, .xtype = CHOLMOD_REAL};
    if (!cholmod_solve2(system, f->l, &rhs, NULL, &f->x, NULL, &f->y, &f->e, &f->common)) return false;
    memcpy(to, f->x->x, n * sizeof *to);
    return true;
}

/* L^-1 P b ends with L_bb^-1 (b_b - K_bi K_ii^-1 b_i). */
static status condense_loads(sparse_condensed *c, const double *b, fault *why) {
    size_t n = (size_t)c->factor->n, kept = (size_t)c->kept_n;
    double *work = mem_get(n, sizeof *work), *reordered = mem_get(n, sizeof *work);
    status code = work && reordered ? OK : fault_memory(why);
    for (int i = 0; i < c->columns && code == OK; i++) {
        if (solve_part(c->factor, CHOLMOD_P, b + n * (size_t)i, reordered) &&
            solve_part(c->factor, CHOLMOD_L, reordered, work))
            lower_times(c->lower, c->kept_n, work + (n - kept), c->load + kept * (size_t)i);
        else
            code = told(c->factor, why);
    }
    mem_free(work);
    mem_free(reordered);
    return code;
}

status sparse_condense(const sparse_matrix *k, const int *kept, int kept_n, const double *b, int columns,
                       sparse_condensed *out, fault *why) {
    sparse_condensed c = {.kept_n = kept_n, .columns = columns};
    int *order = mem_get((size_t)k->n, sizeof *order);
    c.lower = mem_zero((size_t)kept_n, (size_t)kept_n * sizeof *c.lower);
    c.load = mem_zero((size_t)kept_n, (size_t)columns * sizeof *c.load);
    *out = (sparse_condensed){0};
    status code = order && c.lower && c.load ? OK : fault_memory(why);
    if (code == OK) code = order_kept_last(k, kept, kept_n, order, why);
    if (code == OK) code = factorise(k, SPARSE_GIVEN, order, true, &c.factor, why);
    if (code == OK) {
        trailing_block(c.factor->l, kept_n, c.lower);
        if (columns > 0) code = condense_loads(&c, b, why);
    }
    mem_free(order);
    if (code == OK)
        *out = c;
    else
        sparse_condensed_free(&c);
    return code;
}

void sparse_condensed_free(sparse_condensed *c) {
    mem_free(c->lower);
    mem_free(c->load);
    sparse_factor_free(c->factor);
    *c = (sparse_condensed){0};
}

/* With the head of the kept unknowns given, forward substitution is done as far as the others go, the kept
 * part is replaced by L_bb' x_b, and back substitution finds the others: L' (P x) = (L^-1 P b)_i, L_bb' x_b.
 */
status sparse_expand(sparse_condensed *c, const double *b, const double *kept_x, double *x, fault *why) {
    size_t n = (size_t)c->factor->n, kept = (size_t)c->kept_n;
    double *work = mem_zero(n, sizeof *work), *other = mem_zero(n, sizeof *other);
    bool good = work && other;
    if (good && b)
        good = solve_part(c->factor, CHOLMOD_P, b, other) && solve_part(c->factor, CHOLMOD_L, other, work);
    if (good) {
        for (size_t i = 0; i < kept; i++) {
            double sum = 0;
            for (size_t j = i; j < kept; j++) sum += c->lower[i * kept + j] * kept_x[j];
            work[n - kept + i] = sum;
        }
        good = solve_part(c->factor, CHOLMOD_Lt, work, other) && solve_part(c->factor, CHOLMOD_Pt, other, x);
    }
    status code = OK;
    if (!good) code = work && other ? told(c->factor, why) : fault_memory(why);
    mem_free(work);
    mem_free(other);
    return code;
}
