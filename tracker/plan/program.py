"""A mixed-integer linear program, put together by name and solved by SciPy's HiGHS."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

Terms = Iterable[tuple[int, float]]

NODES = 60
"""Branches looked at before the best answer found is taken: a limit in steps, not seconds, keeps answers the same."""
GAP = 0.02
"""An answer this close to the best possible is taken. The constraints are kept whatever the worth."""
_STOPPED_AT_A_LIMIT = 1


class Program:
    """Collects variables and constraints; ``solve`` maximises the worth of the variables."""

    def __init__(self) -> None:
        self.worth: list[float] = []
        self.most: list[float] = []
        self.is_whole: list[int] = []
        self._rows: list[int] = []
        self._columns: list[int] = []
        self._values: list[float] = []
        self._low: list[float] = []
        self._high: list[float] = []

    def variable(self, *, most: float = 1.0, worth: float = 0.0, is_whole: bool = True) -> int:
        """The number of a new variable from 0 to ``most``."""
        self.worth.append(worth)
        self.most.append(most)
        self.is_whole.append(int(is_whole))
        return len(self.worth) - 1

    def between(self, terms: Terms, *, low: float = -np.inf, high: float = np.inf) -> None:
        """Asks that the sum of coefficient × variable lie between two bounds."""
        row = len(self._low)
        for variable, coefficient in terms:
            self._rows.append(row)
            self._columns.append(variable)
            self._values.append(coefficient)
        self._low.append(low)
        self._high.append(high)

    def solve(self) -> NDArray[np.float64] | None:
        """The value of every variable, whole ones rounded, or None when nothing fits."""
        from scipy.optimize import Bounds, LinearConstraint, OptimizeResult, milp  # a tenth of a second to import
        from scipy.sparse import csr_array

        shape = (len(self._low), len(self.worth))
        matrix = csr_array((self._values, (self._rows, self._columns)), shape=shape)
        is_whole = np.array(self.is_whole)

        def answered(**limits: float) -> OptimizeResult:
            return milp(
                -np.array(self.worth),
                integrality=is_whole,
                bounds=Bounds(np.zeros(shape[1]), np.array(self.most)),
                constraints=LinearConstraint(matrix, np.array(self._low), np.array(self._high)),
                options={"mip_rel_gap": GAP, **limits},
            )

        answer = answered(node_limit=NODES)
        if answer.x is None and answer.status == _STOPPED_AT_A_LIMIT:
            answer = answered()
        if answer.x is None:
            return None
        values: NDArray[np.float64] = np.asarray(answer.x, dtype=np.float64)
        return np.where(is_whole == 1, values.round(), values)
