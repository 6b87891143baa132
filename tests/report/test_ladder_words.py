"""What a coach reads about the ladder: who is to do what now."""

from __future__ import annotations

from datetime import date

from builders import SquadBuilder

from tracker.domain.vocabulary import Foot
from tracker.report import ladder_words
from tracker.review.readiness import readiness

LOWEST, GATE, ROLLING = "Served volley", "Still ball through a gate", "Rolling ball"
LATER = [date(2026, 3, day) for day in (14, 21)]


def test_a_foot_is_named_with_every_stage_at_which_it_fell_back(squad: SquadBuilder) -> None:
    squad.placed("Ana", Foot.LEFT, ROLLING, day=date(2026, 3, 7))
    for day in LATER:
        for stage in (LOWEST, GATE, ROLLING):
            squad.strikes("Ana", Foot.LEFT, "-" * 10, day=day, stage=stage)
    board = readiness(squad.database, squad.scope)
    assert ladder_words.now_table(board).rows() == [
        (f"Fell back at {ROLLING} (3), practised now: go back a stage", "Ana", "–"),
        (f"Fell back at {LOWEST} (1), already passed: practise it again", "Ana", "–"),
        (f"Fell back at {GATE} (2), already passed: practise it again", "Ana", "–"),
    ]
    assert ladder_words.now_words(board).endswith("1 at the stage practised now, 2 at stages already passed.")


def test_at_the_first_stage_there_is_no_way_back(squad: SquadBuilder) -> None:
    squad.placed("Ana", Foot.RIGHT, LOWEST, day=date(2026, 3, 7))
    for day in LATER:
        squad.strikes("Ana", Foot.RIGHT, "-" * 20, day=day, stage=LOWEST)
    ((what, left, right),) = ladder_words.now_table(readiness(squad.database, squad.scope)).rows()
    assert (what, left, right) == (f"Fell back at {LOWEST} (1), the first stage: practise it again", "–", "Ana")
