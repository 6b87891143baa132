"""What is usual: how the rates of many players spread, and how far clubs differ, fitted in two levels.

A player's rate is taken to be drawn from a beta distribution around the mean of all (`pooling`), and so is a club's.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from tracker.stats.checks import FloatArray, checked_codes, checked_tallies
from tracker.stats.clustering import design_effect, intraclass_correlation
from tracker.stats.pooling import FEWEST_ATTEMPTS, FEWEST_PLAYERS, PoolingMethod, SquadPrior, fitted_prior

FEWEST_CLUBS = 8


@dataclass(frozen=True, kw_only=True, slots=True)
class FittedNorm:
    """The mean of players' rates and how they spread: Beta(mean × strength, (1 − mean) × strength).

    ``lower_quartile`` and ``upper_quartile`` hold the middle half of players. ``club_strength`` says the same of clubs'
    means, and is None where fewer than eight clubs speak, or they do not differ beyond chance.
    """

    mean: float
    strength: float
    lower_quartile: float
    upper_quartile: float
    club_strength: float | None


def fitted_norm(attempts: ArrayLike, on_target: ArrayLike, club: ArrayLike) -> FittedNorm | None:
    """The norm of one kind of strike, or None where the players are too few, or too alike, to tell their spread.

    One row a player in a club: ``attempts`` > 0 and ``on_target`` are counts, plain or effective; ``club`` integer
    codes from 0. First the players of all clubs are fitted together, so that their spread holds that of clubs. Then
    clubs: each one's counts are divided by the design effect of its players, who differ *within* clubs, and the clubs
    are fitted in the same way. Raises ValueError for impossible counts or codes.
    Sources: Griffiths 1973, Biometrics 29:637 (fit); Rao & Scott 1992, Biometrics 48:577 (effective counts); Ridout,
    Demétrio & Firth 1999, Biometrics 55:137 (how players of a club differ).
    """
    tries, hits = checked_tallies(attempts, on_target)
    clubs = checked_codes(club, name="club", length=tries.size)
    players = _fitted(tries, hits, fewest=FEWEST_PLAYERS)
    if players is None:
        return None
    within = intraclass_correlation(
        tries,
        hits,
        np.zeros_like(clubs),
        subject=clubs,
        default=1.0 / (1.0 + players.strength) if players.strength >= 1.0 else 0.5,
        fewest_clusters=FEWEST_PLAYERS,
    )
    effect = design_effect(tries, clubs, within.correlation[0])
    of_clubs = _fitted(np.bincount(clubs, tries) / effect, np.bincount(clubs, hits) / effect, fewest=FEWEST_CLUBS)
    lower, upper = quartiles(players.mean, players.strength)
    return FittedNorm(
        mean=players.mean,
        strength=players.strength,
        lower_quartile=lower,
        upper_quartile=upper,
        club_strength=None if of_clubs is None else of_clubs.strength,
    )


def quartiles(mean: float, strength: float) -> tuple[float, float]:
    """The rates that hold the middle half of Beta(mean × strength, (1 − mean) × strength).

    >>> [round(rate, 2) for rate in quartiles(0.55, 10.0)]
    [0.44, 0.66]
    """
    a, b = mean * strength, (1.0 - mean) * strength
    return float(special.betaincinv(a, b, 0.25)), float(special.betaincinv(a, b, 0.75))


def _fitted(n: FloatArray, k: FloatArray, *, fewest: int) -> SquadPrior | None:
    seen = n > 0
    is_enough = int(np.count_nonzero(n >= FEWEST_ATTEMPTS)) >= fewest
    fit = fitted_prior(n[seen], k[seen], is_enough=is_enough)
    return None if fit.method is PoolingMethod.DEFAULT else fit
