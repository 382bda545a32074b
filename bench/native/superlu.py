"""SciPy's SuperLU on a matrix from a file (the format of cholmod.c), one round for each line read.

Its best setting for such matrices: minimum degree on A + A', symmetric mode, diagonal pivots.
Each line on standard input is answered by a line: factor (ordering included), solve (milliseconds), residual.
"""
import sys
import time

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import splu

with open(sys.argv[1], "rb") as f:
    n, nnz = np.fromfile(f, np.int32, 2)
    b = np.fromfile(f, np.float64, n)
    x = np.fromfile(f, np.float64, nnz)
    p = np.fromfile(f, np.int32, n + 1)
    i = np.fromfile(f, np.int32, nnz)
lower = sp.csc_matrix((x, i, p), shape=(n, n))
A = (lower + sp.tril(lower, -1).T).tocsc()
for _ in sys.stdin:
    t0 = time.perf_counter()
    lu = splu(A, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True})
    t1 = time.perf_counter()
    y = lu.solve(b)
    t2 = time.perf_counter()
    residual = abs(b - A @ y).max() / (abs(A) @ abs(y) + abs(b)).max()
    print(f"{1e3 * (t1 - t0):.4f} {1e3 * (t2 - t1):.4f} {residual:.3e}", flush=True)
