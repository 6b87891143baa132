"""A plan kept as JSON comes back as it was, and never holds a name."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from uuid import uuid4

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.domain.practice_plan import PracticePlan
from tracker.domain.squad import checked_name
from tracker.domain.standards import Federation
from tracker.errors import RequestError
from tracker.plan.plan_document import PlanDocument, parse_plan, plan_document
from tracker.plan.practice_plan import plan_practice
from tracker.plan.request import (
    AS_USUAL,
    Equipment,
    FootPhase,
    PlanOptions,
    PlanRequest,
    ladder_for_age,
    players_by_number,
)

LADDER = ladder_for_age(12)


def plan_for(names: list[str], *, minutes: int = 60) -> PracticePlan:
    players = players_by_number(len(names), LADDER)
    named = tuple(replace(player, name=name) for player, name in zip(players, names, strict=True))
    return plan_practice(
        PlanRequest(ladder=LADDER, minutes=minutes, players=named, held_on=date(2026, 10, 6), loggers=1)
    )


def is_name(text: str) -> bool:
    try:
        return checked_name(text, what="player") == text and not set("⟦⟧") & set(text)
    except ValueError:
        return False


NAMES = st.lists(st.text(min_size=1, max_size=12).filter(is_name), min_size=4, max_size=5, unique=True)
OPTIONS = st.builds(
    PlanOptions,
    equipment=st.builds(
        Equipment,
        gates=st.integers(0, 9),
        goals=st.integers(0, 4),
        goal_width_m=st.none() | st.floats(1, 8),
    ),
    loggers=st.integers(0, 3),
    federation=st.none() | st.sampled_from(Federation),
    age=st.none() | st.integers(8, 18),
    phase=st.none() | st.sampled_from(FootPhase),
    space_width_m=st.floats(20, 80),
)


@given(names=NAMES, options=OPTIONS, minutes=st.integers(30, 90))
@settings(max_examples=25)
def test_a_plan_comes_back_as_it_was_whatever_the_names(names: list[str], options: PlanOptions, minutes: int) -> None:
    ids = {name: str(uuid4()) for name in names}
    document = PlanDocument(plan=plan_for(names, minutes=minutes), options=options)
    text = plan_document(document, ids)
    assert parse_plan(text, {one: name for name, one in ids.items()}) == document


@pytest.fixture
def kept() -> tuple[str, dict[str, str]]:
    """The document of a plan for five players, and their ids by name."""
    names = ["Kaya D.", "Kaya", "Zoë L.", "D'Andre W.", "Amara N."]
    ids = {name: f"id-{number}" for number, name in enumerate(names)}
    return plan_document(PlanDocument(plan=plan_for(names), options=AS_USUAL), ids), ids


def test_no_name_stands_in_the_document(kept: tuple[str, dict[str, str]]) -> None:
    text, ids = kept
    assert [name for name in ids if name in json.dumps(json.loads(text), ensure_ascii=False)] == []


def test_a_player_renamed_has_the_new_name_in_every_sentence(kept: tuple[str, dict[str, str]]) -> None:
    text, ids = kept
    names = {one: name for name, one in ids.items()} | {ids["Kaya"]: "Kay"}
    plan = parse_plan(text, names).plan
    assert {"Kay", "Kaya D."} <= {work.player for _, _, work in plan.work()}
    told = [one.sentence for one in plan.questions if one.player == "Kay"]
    assert told
    assert all("Kay's" in sentence for sentence in told)


def test_a_player_who_was_erased_is_nowhere_in_it(kept: tuple[str, dict[str, str]]) -> None:
    text, ids = kept
    plan = parse_plan(text, {one: name for name, one in ids.items() if name != "Zoë L."}).plan
    said = [*(one.sentence for one in plan.questions), *plan.remarks]
    assert "Zoë L." not in {work.player for _, _, work in plan.work()}
    assert not [sentence for sentence in said if "Zoë" in sentence or ids["Zoë L."] in sentence or "⟦" in sentence]
    assert all(turn.players for turn in plan.focal_turns)


def test_a_plan_of_a_newer_program_is_refused(kept: tuple[str, dict[str, str]]) -> None:
    newer = json.dumps(json.loads(kept[0]) | {"version": 2})
    with pytest.raises(RequestError, match="newer Strike Ladder"):
        parse_plan(newer, {})


@pytest.mark.parametrize("text", ["", "{}", '{"version": 1}', "[1]"])
def test_what_is_no_plan_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(RequestError, match="no plan that can be read"):
        parse_plan(text, {})


def test_a_player_without_an_id_is_not_kept() -> None:
    with pytest.raises(RequestError, match="Dua"):
        plan_document(
            PlanDocument(plan=plan_for(["Ana", "Ben", "Cem", "Dua"]), options=AS_USUAL),
            {name: name for name in ("Ana", "Ben", "Cem")},
        )
