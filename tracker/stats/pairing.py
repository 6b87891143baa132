"""Which strike in one observer's record is which in the other's?"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from tracker.stats.checks import IntArray, checked_range


def paired_in_time(first: ArrayLike, second: ArrayLike, *, within: float) -> tuple[IntArray, IntArray]:
    """Pairs the moments of two records one to one: (rows of first, rows of second), in order of time.

    ``first`` and ``second`` are flat arrays of moments and ``within`` the most that the two moments of a pair may lie
    apart, all in one unit. Of all ways to pair them this makes the most pairs, and among those the one with the least
    time between: a strike that only one observer saw stays alone. Pairs never cross.
    Raises ValueError for moments that are not finite or a negative ``within``.
    Source: Crouse 2016, IEEE Trans Aerosp Electron Syst 52:1679 (the assignment problem, as SciPy solves it).

    >>> ours, theirs = paired_in_time([0, 10, 20, 30], [1, 23, 31, 60], within=8)
    >>> ours.tolist(), theirs.tolist()
    ([0, 2, 3], [0, 1, 2])
    """
    from scipy.optimize import linear_sum_assignment  # a sixth of a second to import

    ours, theirs = checked_range(first, name="first"), checked_range(second, name="second")
    farthest = float(checked_range(within, name="within", least=0.0))
    in_time, in_their_time = np.argsort(ours, kind="stable"), np.argsort(theirs, kind="stable")
    apart = np.abs(ours[in_time][:, None] - theirs[in_their_time][None, :])
    may_pair = apart <= farthest
    # One pair more is worth more than all the time that could be saved on the others.
    a_pair = (farthest + 1.0) * (min(apart.shape, default=0) + 1.0)
    rows, columns = linear_sum_assignment(np.where(may_pair, apart - a_pair, 0.0))
    kept = may_pair[rows, columns]
    # Where two pairs cross, pairing the same four moments in order costs no more and reaches no farther.
    pairs = (in_time[np.sort(rows[kept])], in_their_time[np.sort(columns[kept])])
    return pairs[0].astype(np.int64), pairs[1].astype(np.int64)
