"""Many players looked at together: chance alone makes some of them stand out."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from tracker.stats.checks import FloatArray, checked_counts, checked_level


def benjamini_hochberg(p_values: ArrayLike) -> FloatArray:
    """P-values adjusted so that calling those at or below q leaves at most a share q of the calls wrong on average.

    A flat array in, one of the same length out; NaN (no test was possible) stays NaN and counts for nothing.
    Raises ValueError for a value outside [0, 1].
    Source: Benjamini & Hochberg 1995, J R Stat Soc B 57:289, as SciPy computes it.

    >>> benjamini_hochberg([0.01, 0.04, 0.03]).round(3).tolist()
    [0.03, 0.04, 0.04]
    """
    from scipy.stats import false_discovery_control  # takes half a second to import, and few runs need it

    values = np.asarray(p_values, dtype=np.float64)
    known = ~np.isnan(values)
    wrong = known & ~((values >= 0) & (values <= 1))
    if wrong.any():
        raise ValueError(f"p_values must be between 0 and 1, but one is {values[wrong].flat[0]:g}")
    adjusted = np.full(values.shape, np.nan)
    if known.any():
        adjusted[known] = false_discovery_control(values[known], method="bh")
    return adjusted


def expected_wrong_ready_calls(ready: ArrayLike, judged: ArrayLike, *, risk: float) -> FloatArray:
    """About how many of ``ready`` calls to expect wrong, at most, out of ``judged`` player-feet in all.

    ``risk`` bounds the chance that a player who should stay is called ready. If W of the ready calls are wrong, the
    players who should stay are those W and at most the judged − ready others, so on average W ≤ risk (judged − ready +
    W), or W ≤ risk / (1 − risk) × (judged − ready). It is never more than ``ready``. Multiplying the ready calls by the
    risk instead would be no bound: with nobody ready in truth every call is wrong.
    Raises ValueError for ready > judged, negative counts, or a risk outside (0, 1).

    >>> float(expected_wrong_ready_calls(12, 30, risk=0.10))
    2.0
    """
    checked_level(risk, name="risk")
    calls, all_judged = checked_counts(ready, judged, k_name="ready", n_name="judged")
    return np.asarray(np.minimum(calls, risk / (1.0 - risk) * (all_judged - calls)))
