"""Means and percentiles of many samples in memory that does not grow with their number."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Figure", "Tally"]

Floats = NDArray[np.float64]
_BINS = 16384


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure over an ensemble, with standard errors; `worst_corner` None where no limit was given."""

    mean: float
    mean_se: float
    p95: float
    p95_se: float
    p99: float
    p99_se: float
    worst_corner: float | None = None


class Tally:
    """Counts m figures in fixed bins that are merged in pairs whenever a sample falls outside.

    The bins' width is a ten-thousandth of the largest figure, far below a percentile's own standard error.
    All figures are >= 0.
    """

    def __init__(self, figures: int) -> None:
        self.samples = 0
        self._counts = np.zeros((figures, _BINS), dtype=np.int64)
        self._width = np.zeros(figures)
        self._sum = np.zeros(figures)
        self._square = np.zeros(figures)
        self._shift = np.zeros(figures)

    def add(self, rows: Floats) -> None:
        """Count a block of samples (S, m)."""
        if self.samples == 0:
            self._shift = rows.mean(axis=0)
            # a power of two, so that merging keeps the bins' edges
            self._width = 2.0 ** np.ceil(np.log2(np.maximum(rows.max(axis=0), 1e-300) / _BINS))
        self.samples += len(rows)
        apart = rows - self._shift
        self._sum += apart.sum(axis=0)
        self._square += (apart * apart).sum(axis=0)
        for m in range(rows.shape[1]):
            top = float(rows[:, m].max())
            while top >= self._width[m] * _BINS:
                half = self._counts[m].reshape(-1, 2).sum(axis=1)
                self._counts[m, : _BINS // 2] = half
                self._counts[m, _BINS // 2 :] = 0
                self._width[m] *= 2.0
            at = (rows[:, m] / self._width[m]).astype(np.int64)
            self._counts[m] += np.bincount(at, minlength=_BINS)

    def _quantile(self, m: int, share: float) -> float:
        """The value below which a share of the samples lies, linear within a bin."""
        below = np.cumsum(self._counts[m])
        wanted = min(max(share, 0.0), 1.0) * self.samples
        bin_ = int(np.searchsorted(below, wanted))
        before = int(below[bin_ - 1]) if bin_ else 0
        count = int(self._counts[m, bin_])
        inside = (wanted - before) / count if count else 0.0
        return float((bin_ + inside) * self._width[m])

    def figure(self, m: int, worst: float | None) -> Figure:
        """Figure m with its errors (a percentile's from the order statistics beside it)."""
        n = self.samples
        mean = float(self._sum[m]) / n
        spread = max(float(self._square[m]) / n - mean * mean, 0.0)
        error = {}
        for share in (0.95, 0.99):
            d = float(np.sqrt(share * (1.0 - share) / n))
            # two deviations to each side where the ensemble is long enough for them: a steadier figure
            d *= 2.0 if share + 2.0 * d < 1.0 else 1.0
            far = 2.0 * d / float(np.sqrt(share * (1.0 - share) / n))
            error[share] = (self._quantile(m, share + d) - self._quantile(m, share - d)) / far
        return Figure(
            mean=mean + float(self._shift[m]),
            mean_se=float(np.sqrt(spread / n)),
            p95=self._quantile(m, 0.95),
            p95_se=error[0.95],
            p99=self._quantile(m, 0.99),
            p99_se=error[0.99],
            worst_corner=worst,
        )
