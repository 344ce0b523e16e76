/* CVODE (BDF, Newton, dense matrix) over one smooth piece of a drive; SUNDIALS 6. */
#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

typedef int (*rates_fn)(double, const double *, double *, void *);
typedef int (*jacobian_fn)(const double *, double *, void *);

struct side {
    rates_fn rates;
    jacobian_fn jacobian;
    void *user;
};

static int rates(realtype t, N_Vector x, N_Vector dx, void *user) {
    struct side *s = user;
    return s->rates(t, N_VGetArrayPointer(x), N_VGetArrayPointer(dx), s->user);
}

/* SUNDIALS keeps dense matrices column by column, and so does the other side. */
static int jacobian(realtype t, N_Vector x, N_Vector dx, SUNMatrix j, void *user, N_Vector a,
                    N_Vector b, N_Vector c) {
    struct side *s = user;
    return s->jacobian(N_VGetArrayPointer(x), SUNDenseMatrix_Data(j), s->user);
}

/* Integrates from `start` at t0; writes the state at each of the times into `out`. 0 when all went well. */
int cvode_piece(long n, rates_fn f, jacobian_fn j, void *user, double *start, double t0,
                double relative, const double *absolute, const double *times, long count,
                double *out, long *steps) {
    SUNContext context;
    if (SUNContext_Create(NULL, &context)) return 1;
    struct side s = {f, j, user};
    N_Vector x = N_VMake_Serial(n, start, context);
    N_Vector least = N_VMake_Serial(n, (double *)absolute, context);
    SUNMatrix matrix = SUNDenseMatrix(n, n, context);
    SUNLinearSolver solver = SUNLinSol_Dense(x, matrix, context);
    void *memory = CVodeCreate(CV_BDF, context);
    int bad = CVodeInit(memory, rates, t0, x) || CVodeSVtolerances(memory, relative, least) ||
              CVodeSetUserData(memory, &s) || CVodeSetLinearSolver(memory, solver, matrix) ||
              CVodeSetMaxNumSteps(memory, 1000000) ||
              CVodeSetStopTime(memory, times[count - 1]) ||
              (j != NULL && CVodeSetJacFn(memory, jacobian));
    for (long i = 0; !bad && i < count; i++) {
        double t;
        bad = CVode(memory, times[i], x, &t, CV_NORMAL) < 0;
        for (long k = 0; k < n; k++) out[i * n + k] = N_VGetArrayPointer(x)[k];
    }
    if (!bad) CVodeGetNumSteps(memory, steps);
    CVodeFree(&memory);
    SUNLinSolFree(solver);
    SUNMatDestroy(matrix);
    N_VDestroy(least);
    N_VDestroy(x);
    SUNContext_Free(&context);
    return bad;
}
