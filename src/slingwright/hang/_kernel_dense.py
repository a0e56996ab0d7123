"""Small dense linear algebra for the kernels (no LAPACK: numba's needs SciPy, which the product does not)."""

from __future__ import annotations

import numpy as np

from slingwright.hang._jit import kernel

__all__ = ["cholesky", "cholesky_solve", "eigen", "lu_solve"]


@kernel
def cholesky(a, shift, low):  # type: ignore[no-untyped-def]
    """Factor a + shift*I into `low`; True where every pivot is positive."""
    n = a.shape[0]
    for j in range(n):
        s = a[j, j] + shift
        for m in range(j):
            s -= low[j, m] * low[j, m]
        if not s > 0.0:
            return False
        root = np.sqrt(s)
        low[j, j] = root
        for i in range(j + 1, n):
            t = a[i, j]
            for m in range(j):
                t -= low[i, m] * low[j, m]
            low[i, j] = t / root
    return True


@kernel
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


@kernel
def lu_solve(a, b, x, work):  # type: ignore[no-untyped-def]
    """Solve a x = b by elimination with row pivoting; `a` may be indefinite. False where it is singular."""
    n = b.shape[0]
    work[:n, :n] = a
    x[:n] = b
    for j in range(n):
        best = j
        for i in range(j + 1, n):
            if abs(work[i, j]) > abs(work[best, j]):
                best = i
        if not abs(work[best, j]) > 0.0:
            return False
        if best != j:
            for m in range(n):
                work[j, m], work[best, m] = work[best, m], work[j, m]
            x[j], x[best] = x[best], x[j]
        for i in range(j + 1, n):
            f = work[i, j] / work[j, j]
            for m in range(j, n):
                work[i, m] -= f * work[j, m]
            x[i] -= f * x[j]
    for i in range(n - 1, -1, -1):
        t = x[i]
        for m in range(i + 1, n):
            t -= work[i, m] * x[m]
        x[i] = t / work[i, i]
    return True


@kernel
def eigen(a, values, vectors):  # type: ignore[no-untyped-def]
    """Eigenvalues and vectors (columns) of a symmetric matrix by Jacobi's rotations; `a` is destroyed."""
    n = a.shape[0]
    for i in range(n):
        for j in range(n):
            vectors[i, j] = 1.0 if i == j else 0.0
    for _ in range(60):
        off = 0.0
        total = 0.0
        for i in range(n):
            for j in range(n):
                total += a[i, j] * a[i, j]
                if i != j:
                    off += a[i, j] * a[i, j]
        if off <= 1e-30 * total:
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
                for m in range(n):
                    u, v = a[p, m], a[q, m]
                    a[p, m], a[q, m] = c * u - s * v, s * u + c * v
                for m in range(n):
                    u, v = vectors[m, p], vectors[m, q]
                    vectors[m, p], vectors[m, q] = c * u - s * v, s * u + c * v
    for i in range(n):
        values[i] = a[i, i]
