"""What a coach reads first about the ladder: what each foot should do now."""

from __future__ import annotations

from datetime import date

from builders import SquadBuilder

from tracker.domain.vocabulary import Foot
from tracker.report import advice_words
from tracker.review.readiness import readiness

LOWEST, GATE, ROLLING = "Served volley", "Still ball through a gate", "Rolling ball"
LATER = [date(2026, 3, day) for day in (14, 21)]


def test_a_foot_is_named_with_every_stage_at_which_it_fell_back(squad: SquadBuilder) -> None:
    squad.placed("Ana", Foot.LEFT, ROLLING, day=date(2026, 3, 7))
    for day in LATER:
        for stage in (LOWEST, GATE, ROLLING):
            squad.strikes("Ana", Foot.LEFT, "-" * 10, day=day, stage=stage)
    board = readiness(squad.database, squad.scope)
    ((who, what, figures),) = advice_words.now_table(board).rows()
    assert (who, what) == ("Ana, left", f"Go back from {ROLLING} (3) to {GATE}; keep in the warm-up: {LOWEST} (1)")
    assert figures.startswith("at stage 3 the fall reached line ")
    assert "; at stage 1 the fall reached line " in figures
    assert advice_words.now_words(board).endswith("1 foot where they practise now, 1 foot at earlier stages.")


def test_a_foot_ready_at_its_stage_and_fallen_back_at_an_earlier_one_hears_one_advice(squad: SquadBuilder) -> None:
    squad.placed("Ana", Foot.LEFT, ROLLING, day=date(2026, 3, 7))
    for day in LATER:
        squad.strikes("Ana", Foot.LEFT, "-" * 10, day=day, stage=GATE)
        squad.strikes("Ana", Foot.LEFT, "+" * 20, day=day, stage=ROLLING)
    board = readiness(squad.database, squad.scope)
    ((_, what, figures),) = advice_words.now_table(board).rows()
    assert what == f"Move on from {ROLLING} (3) to Two-touch gate rally; keep in the warm-up: {GATE} (2)"
    assert "on 21 March 2026, score now " in figures
    (move,) = advice_words.suggested_moves(board)
    assert (move.stage, move.is_on, move.keeps) == ("Two-touch gate rally", True, True)
    assert move.words.endswith(f"; keep in the warm-up: {GATE} (2)")


def test_at_the_first_stage_there_is_no_way_back(squad: SquadBuilder) -> None:
    squad.placed("Ana", Foot.RIGHT, LOWEST, day=date(2026, 3, 7))
    for day in LATER:
        squad.strikes("Ana", Foot.RIGHT, "-" * 20, day=day, stage=LOWEST)
    ((who, what, _),) = advice_words.now_table(readiness(squad.database, squad.scope)).rows()
    assert (who, what) == ("Ana, right", f"Fell back at {LOWEST} (1), the first stage: practise it again")
