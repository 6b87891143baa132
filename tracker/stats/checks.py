"""Checks of arguments shared by the statistics: each refuses with a ValueError naming the argument and the value."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray: TypeAlias = NDArray[np.float64]
IntArray: TypeAlias = NDArray[np.int64]
BoolArray: TypeAlias = NDArray[np.bool_]


def checked_counts(
    k: ArrayLike, n: ArrayLike, *, k_name: str = "k", n_name: str = "n"
) -> tuple[FloatArray, FloatArray]:
    """Hits and attempts as float arrays of one shape, with 0 ≤ k ≤ n and n finite.

    They need not be whole numbers: effective counts are not. Raises ValueError naming the argument and the first value
    that is wrong.
    """
    hits, attempts = np.broadcast_arrays(np.asarray(k, dtype=np.float64), np.asarray(n, dtype=np.float64))
    fine = (hits >= 0) & (hits <= attempts)
    if not fine.all() or (attempts.size and attempts.max() == np.inf):
        refuse_counts(hits, attempts, k_name=k_name, n_name=n_name)
    return hits, attempts


def refuse_counts(k: FloatArray, n: FloatArray, *, k_name: str, n_name: str) -> None:
    """Raises ValueError for the first pair that cannot be hits and attempts."""
    wrong_n = ~((n >= 0) & (n < np.inf))
    if wrong_n.any():
        raise ValueError(f"{n_name} must be a finite number of at least 0, but is {n[wrong_n].flat[0]:g}")
    wrong_k = ~((k >= 0) & (k <= n))
    hits, attempts = k[wrong_k].flat[0], n[wrong_k].flat[0]
    raise ValueError(f"{k_name} must be between 0 and {n_name} ({attempts:g}), but is {hits:g}")


def checked_level(level: float, *, name: str = "level") -> float:
    """A confidence level strictly between 0 and 1, or ValueError."""
    if not 0.0 < level < 1.0:
        raise ValueError(f"{name} must be above 0 and below 1, but is {level!r}")
    return float(level)


def checked_range(values: ArrayLike, *, name: str, least: float = -np.inf, most: float = np.inf) -> FloatArray:
    """Finite numbers within ``least`` … ``most``, both included, as a float array; ValueError for any other."""
    numbers = np.asarray(values, dtype=np.float64)
    wrong = ~((numbers >= least) & (numbers <= most) & np.isfinite(numbers))
    if wrong.any():
        rule = f"at least {least:g}" if most == np.inf else f"between {least:g} and {most:g}"
        raise ValueError(f"{name} must be {rule}, but is {numbers[wrong].flat[0]:g}")
    return numbers


def checked_codes(codes: ArrayLike, *, name: str, length: int) -> IntArray:
    """Whole-number codes 0, 1, … in a flat array of ``length``, or ValueError."""
    given = np.asarray(codes)
    if given.shape != (length,):
        raise ValueError(f"{name} must be a flat array of {length} codes, but has the shape {given.shape}")
    if given.size and not np.issubdtype(given.dtype, np.integer):
        raise ValueError(f"{name} must hold whole numbers, but holds {given.dtype}")
    if given.size and given.min() < 0:
        raise ValueError(f"{name} must be codes of at least 0, but holds {given.min()}")
    return given.astype(np.int64)


def checked_tallies(attempts: ArrayLike, on_target: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Flat arrays (attempts, on_target) of one length, with 0 ≤ on_target ≤ attempts, or ValueError."""
    hits, tries = checked_counts(on_target, attempts, k_name="on_target", n_name="attempts")
    if tries.ndim != 1:
        raise ValueError(f"attempts must be a flat array, but has {tries.ndim} dimensions")
    return tries, hits
