/* The native yardstick: CHOLMOD's supernodal LL' on a matrix from a file, one round for each line read.
 *
 * usage: cholmod FILE
 * FILE, little endian: int32 n, int32 nnz, then double b[n], double x[nnz], int32 p[n + 1], int32 i[nnz]: the lower
 * triangle by columns, rows ascending.
 * Each line on standard input makes one round, answered by a line
 *   order symbolic numeric solve residual nnzL   (milliseconds, scaled residual, non-zeros of L)
 *
 * So that the yardstick is strong: freed memory is kept (page faults cost a fifth of a factorisation otherwise), and the
 * caller sets OMP_THREAD_LIMIT=1, since CHOLMOD before version 6 opens threads of its own whatever OMP_NUM_THREADS says.
 */
#include <malloc.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <suitesparse/cholmod.h>
#include <time.h>

static double now(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return 1e3 * t.tv_sec + 1e-6 * t.tv_nsec;
}

static void *get(FILE *f, size_t size, size_t count) {
  void *p = malloc(size * count);
  if (!p || fread(p, size, count, f) != count) {
    fprintf(stderr, "cholmod: the file is too short\n");
    exit(2);
  }
  return p;
}

int main(int argc, char **argv) {
  mallopt(M_MMAP_THRESHOLD, 1 << 30);
  mallopt(M_TRIM_THRESHOLD, 2000000000);
  FILE *f = argc == 2 ? fopen(argv[1], "rb") : NULL;
  if (!f) {
    fprintf(stderr, "usage: cholmod FILE\n");
    return 2;
  }
  int *head = get(f, sizeof(int), 2), n = head[0], nnz = head[1];
  cholmod_common c;
  cholmod_start(&c);
  c.supernodal = CHOLMOD_SUPERNODAL;
  c.final_ll = 1;
  cholmod_dense *b = cholmod_allocate_dense(n, 1, n, CHOLMOD_REAL, &c);
  double *given = get(f, sizeof(double), n);
  for (int k = 0; k < n; k++) ((double *)b->x)[k] = given[k];
  cholmod_sparse A = {0};
  A.nrow = A.ncol = n;
  A.nzmax = nnz;
  A.x = get(f, sizeof(double), nnz);
  A.p = get(f, sizeof(int), n + 1);
  A.i = get(f, sizeof(int), nnz);
  A.stype = -1;
  A.itype = CHOLMOD_INT;
  A.xtype = CHOLMOD_REAL;
  A.dtype = CHOLMOD_DOUBLE;
  A.sorted = A.packed = 1;
  fclose(f);
  int *order = malloc(n * sizeof(int));
  char line[64];
  while (fgets(line, sizeof line, stdin)) {
    double t0 = now();
    cholmod_amd(&A, NULL, 0, order, &c);
    double t1 = now();
    c.nmethods = 1;
    c.method[0].ordering = CHOLMOD_GIVEN;
    c.postorder = 1;
    cholmod_factor *L = cholmod_analyze_p(&A, order, NULL, 0, &c);
    double t2 = now();
    cholmod_factorize(&A, L, &c);
    double t3 = now();
    cholmod_dense *x = cholmod_solve(CHOLMOD_A, L, b, &c);
    double t4 = now();
    if (c.status != CHOLMOD_OK || !x) {
      fprintf(stderr, "cholmod: status %d\n", c.status);
      return 1;
    }
    /* max |b - A x| over max row of |A| |x| + |b| */
    double *r = calloc(n, sizeof(double)), *s = calloc(n, sizeof(double));
    double *X = x->x, *V = A.x, worst = 0, scale = 0;
    int *P = A.p, *I = A.i;
    for (int j = 0; j < n; j++)
      for (int p = P[j]; p < P[j + 1]; p++) {
        int i = I[p];
        r[i] += V[p] * X[j];
        s[i] += fabs(V[p] * X[j]);
        if (i != j) {
          r[j] += V[p] * X[i];
          s[j] += fabs(V[p] * X[i]);
        }
      }
    for (int k = 0; k < n; k++) {
      worst = fmax(worst, fabs(given[k] - r[k]));
      scale = fmax(scale, s[k] + fabs(given[k]));
    }
    printf("%.4f %.4f %.4f %.4f %.3e %.0f\n", t1 - t0, t2 - t1, t3 - t2, t4 - t3, worst / scale, c.lnz);
    fflush(stdout);
    free(r);
    free(s);
    cholmod_free_dense(&x, &c);
    cholmod_free_factor(&L, &c);
  }
  return 0;
}
