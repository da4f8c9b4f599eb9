/* late.c - CHOLMOD and BLAS, loaded when the first of them is called.
 *
 * Binding OpenBLAS costs every start of the program 3 ms of its 10 (12,000 relocations more than the 18,000 of all
 * other libraries), and few commands need it. So each function of CHOLMOD and BLAS that this folder calls is defined
 * here under its own name and hands on to the library's. BLAS comes with CHOLMOD, whichever of them is installed.
 * Threads  loaded once, constant after. */
#include "sparse/blas.h"

#include <assert.h>
#include <cholmod.h>
#include <dlfcn.h>
#include <pthread.h>
#include <stdbool.h>
#include <string.h>

#define LIBRARY "libcholmod.so.3" /* Debian 12 */

/* X(name, what it returns, parameters, arguments) */
#define LATE_FUNCTIONS                                                                                       \
    X(cholmod_analyze_p, cholmod_factor *,                                                                   \
      (cholmod_sparse * a, int *perm, int *set, size_t size, cholmod_common *c), (a, perm, set, size, c))    \
    X(cholmod_factorize, int, (cholmod_sparse * a, cholmod_factor * l, cholmod_common * c), (a, l, c))       \
    X(cholmod_solve2, int,                                                                                   \
      (int sys, cholmod_factor *l, cholmod_dense *b, cholmod_sparse *bset, cholmod_dense **x,                \
       cholmod_sparse **xset, cholmod_dense **y, cholmod_dense **e, cholmod_common *c),                      \
      (sys, l, b, bset, x, xset, y, e, c))                                                                   \
    X(cholmod_camd, int,                                                                                     \
      (cholmod_sparse * a, int *set, size_t size, int *group, int *perm, cholmod_common *c),                 \
      (a, set, size, group, perm, c))                                                                        \
    X(cholmod_allocate_dense, cholmod_dense *,                                                               \
      (size_t rows, size_t columns, size_t d, int xtype, cholmod_common *c), (rows, columns, d, xtype, c))   \
    X(cholmod_free_dense, int, (cholmod_dense * *x, cholmod_common * c), (x, c))                             \
    X(cholmod_free_factor, int, (cholmod_factor * *l, cholmod_common * c), (l, c))                           \
    X(cholmod_finish, int, (cholmod_common * c), (c))                                                        \
    X(ddot_, double, (const int *n, const double *x, const int *incx, const double *y, const int *incy),     \
      (n, x, incx, y, incy))

#define LATE_ROUTINES                                                                                        \
    X(dpotrf_, (const char *uplo, const int *n, double *a, const int *lda, int *info),                       \
      (uplo, n, a, lda, info))                                                                               \
    X(dtrsv_,                                                                                                \
      (const char *uplo, const char *trans, const char *diag, const int *n, const double *a, const int *lda, \
       double *x, const int *incx),                                                                          \
      (uplo, trans, diag, n, a, lda, x, incx))                                                               \
    X(dtrmm_,                                                                                                \
      (const char *side, const char *uplo, const char *trans, const char *diag, const int *m, const int *n,  \
       const double *alpha, const double *a, const int *lda, double *b, const int *ldb),                     \
      (side, uplo, trans, diag, m, n, alpha, a, lda, b, ldb))                                                \
    X(dtrsm_,                                                                                                \
      (const char *side, const char *uplo, const char *trans, const char *diag, const int *m, const int *n,  \
       const double *alpha, const double *a, const int *lda, double *b, const int *ldb),                     \
      (side, uplo, trans, diag, m, n, alpha, a, lda, b, ldb))                                                \
    X(dsyrk_,                                                                                                \
      (const char *uplo, const char *trans, const int *n, const int *k, const double *alpha,                 \
       const double *a, const int *lda, const double *beta, double *c, const int *ldc),                      \
      (uplo, trans, n, k, alpha, a, lda, beta, c, ldc))                                                      \
    X(dsymv_,                                                                                                \
      (const char *uplo, const int *n, const double *alpha, const double *a, const int *lda,                 \
       const double *x, const int *incx, const double *beta, double *y, const int *incy),                    \
      (uplo, n, alpha, a, lda, x, incx, beta, y, incy))

static struct {
    bool good;
    int (*start)(cholmod_common *c);
#define X(name, returns, parameters, arguments) returns(*name##call) parameters;
    LATE_FUNCTIONS
#undef X
#define X(name, parameters, arguments) void(*name##call) parameters;
    LATE_ROUTINES
#undef X
} late;

/* The address of a function into a pointer of its type, which C does not convert from a pointer to data. */
static void find(void *library, const char *name, void *pointer) {
    void *at = library ? dlsym(library, name) : NULL;
    memcpy(pointer, &at, sizeof at);
    late.good = late.good && at;
}

static void load(void) {
    void *library = dlopen(LIBRARY, RTLD_LAZY | RTLD_LOCAL);
    late.good = true;
    find(library, "cholmod_start", &late.start);
#define X(name, returns, parameters, arguments) find(library, #name, &late.name##call);
    LATE_FUNCTIONS
#undef X
#define X(name, parameters, arguments) find(library, #name, &late.name##call);
    LATE_ROUTINES
#undef X
}

static bool ready(void) {
    static pthread_once_t once = PTHREAD_ONCE_INIT;
    pthread_once(&once, load);
    return late.good;
}

/* The first that is called; 0 where the library is not there, or lacks a function. The others must not be called then. */
int cholmod_start(cholmod_common *c) {
    return ready() ? late.start(c) : 0;
}

#define X(name, returns, parameters, arguments)                                                              \
    returns name parameters {                                                                                \
        bool loaded = ready();                                                                               \
        assert(loaded);                                                                                      \
        (void)loaded;                                                                                        \
        return late.name##call arguments;                                                                    \
    }
LATE_FUNCTIONS
#undef X
#define X(name, parameters, arguments)                                                                       \
    void name parameters {                                                                                   \
        bool loaded = ready();                                                                               \
        assert(loaded);                                                                                      \
        (void)loaded;                                                                                        \
        late.name##call arguments;                                                                           \
    }
LATE_ROUTINES
#undef X
