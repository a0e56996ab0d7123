"""Small dense linear algebra for the kernels (no LAPACK: numba's needs SciPy, which the product does not)."""

from __future__ import annotations

import numpy as np

from slingwright.hang._jit import inner_kernel

__all__ = ["RANK", "between", "cholesky", "cholesky_solve", "eigen"]

RANK = 0.05  # of the largest singular value (own study): tells determinate from indeterminate


@inner_kernel
def between(low, high, over, under):  # type: ignore[no-untyped-def]
    """Where to look next for a change of sign between low (value over >= 0) and high (value under < 0).

    The secant's place, kept off the ends; the caller halves an end's value that stays twice (Illinois).
    """
    if not over > 0.0:
        return 0.5 * (low + high)
    share = over / (over - under)
    return low + (high - low) * min(max(share, 0.02), 0.98)


@inner_kernel
def cholesky(a, shift, low):  # type: ignore[no-untyped-def]
    """Factor a + shift*I into `low`; True where every pivot is positive."""
    n = a.shape[0]
    for j in range(n):
        for i in range(j, n):
            t = a[i, j]
            if i == j:
                t += shift
            for m in range(j):
                t -= low[i, m] * low[j, m]
            if i == j:
                if not t > 0.0:
                    return False
                low[j, j] = np.sqrt(t)
            else:
                low[i, j] = t / low[j, j]
    return True


@inner_kernel
def cholesky_solve(low, b, x):  # type: ignore[no-untyped-def]
    """Solve with a Cholesky factor: low lowᵀ x = b."""
    n = b.shape[0]
    for i in range(n):
        t = b[i]
        for m in range(i):
            t -= low[i, m] * x[m]
        x[i] = t / low[i, i]
    for i in range(n - 1, -1, -1):
        t = x[i]
        for m in range(i + 1, n):
            t -= low[m, i] * x[m]
        x[i] = t / low[i, i]


@inner_kernel
def eigen(a, values, vectors):  # type: ignore[no-untyped-def]
    """Eigenvalues and vectors (columns) of a symmetric matrix by Jacobi's rotations; `a` is destroyed."""
    n = a.shape[0]
    for i in range(n):
        for j in range(n):
            vectors[i, j] = 1.0 if i == j else 0.0
    for _ in range(60):
        off, total = 0.0, 0.0
        for i in range(n):
            total += a[i, i] * a[i, i]
            for j in range(i):
                off += a[i, j] * a[i, j]
        if off <= 1e-31 * total:
            break
        for p in range(n - 1):
            for q in range(p + 1, n):
                if a[p, q] == 0.0:
                    continue
                theta = (a[q, q] - a[p, p]) / (2.0 * a[p, q])
                t = 1.0 / (abs(theta) + np.sqrt(theta * theta + 1.0))
                if theta < 0.0:
                    t = -t
                c = 1.0 / np.sqrt(t * t + 1.0)
                s = t * c
                for m in range(n):
                    u, v = a[m, p], a[m, q]
                    a[m, p], a[m, q] = c * u - s * v, s * u + c * v
                    u, v = vectors[m, p], vectors[m, q]
                    vectors[m, p], vectors[m, q] = c * u - s * v, s * u + c * v
                for m in range(n):
                    u, v = a[p, m], a[q, m]
                    a[p, m], a[q, m] = c * u - s * v, s * u + c * v
    for i in range(n):
        values[i] = a[i, i]
