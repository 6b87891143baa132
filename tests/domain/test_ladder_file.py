"""Ladder files: what is read, and the sentence for every rule that can be broken."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.ladder_file import parse_ladder, read_ladder, shipped_ladder_text, shipped_ladders
from tracker.domain.target import Target
from tracker.domain.vocabulary import BallArrival, Surface
from tracker.errors import LadderError, RequestError

STAGE = """
[[stages]]
name = "{name}"
ball_arrival = "still"
surfaces = ["inside", "laces"]
gate_width_yd = 3
distance_yd = 11
set_sizes = [10, 5]
p_not_yet = 0.60
p_ready = 0.80
coaching_points = ["Roll the ball through the middle."]
source = "Our choice."
"""
LADDER = 'name = "Ours"\nage_band = "U12"\n' + STAGE.format(name="Still ball") + STAGE.format(name="Rolling ball")


def changed(old: str, new: str) -> str:
    """The ladder above with one line of its first stage (or its head) replaced."""
    assert old in LADDER
    return LADDER.replace(old, new, 1)


def test_a_ladder_file_gives_its_stages_in_order_with_lengths_in_metres() -> None:
    ladder = parse_ladder(LADDER, source="ours.toml")
    assert [(stage.position, stage.name) for stage in ladder.stages] == [(1, "Still ball"), (2, "Rolling ball")]
    assert ladder.stages[0].target == Target(width_m=2.7432, height_m=None)
    assert ladder.stages[0].distance_m == 10.0584
    assert ladder.stages[0].surfaces == (Surface.INSIDE, Surface.LACES)
    assert ladder.stages[0].set_sizes == (10, 5)


def test_risk_horizon_and_correlation_have_defaults() -> None:
    ladder = parse_ladder(LADDER, source="ours.toml")
    assert (ladder.false_ready_risk, ladder.horizon_strikes, ladder.correlation) == (0.10, 100, 0.05)


def test_a_goal_is_a_width_and_a_height() -> None:
    text = changed("gate_width_yd = 3", "goal_width_ft = 21\ngoal_height_m = 2.13")
    assert parse_ladder(text, source="f").stages[0].target == Target(width_m=6.4008, height_m=2.13)


def test_cautions_of_the_ladder_come_before_those_of_each_stage() -> None:
    text = changed('age_band = "U12"', 'age_band = "U12"\ncautions = ["Warm up."]')
    text = text.replace('source = "Our choice."', 'source = "Our choice."\ncautions = ["Anchor goals."]', 1)
    ladder = parse_ladder(text, source="f")
    assert [stage.cautions for stage in ladder.stages] == [("Warm up.", "Anchor goals."), ("Warm up.",)]


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ('name = "Still ball"\n', "", "f: stage 'number 1', field 'name': is missing"),
        ('name = "Still ball"', 'name = " "', "f: stage 'number 1', field 'name': must not be empty"),
        ('name = "Still ball"', f'name = "{"x" * 81}"', "stage '" + "x" * 81 + "', field 'name': it must have 1 to 80"),
        ('name = "Still ball"', 'name = "Still\\u0007ball"', "contains a control character"),
        ('name = "Still ball"', 'name = "ROLLING ball"', "field 'name': stages 1 and 2 have the same name"),
        ('name = "Still ball"', "name = 3", "f: stage 'number 1', field 'name': must be text in quotes, but is 3"),
        ('ball_arrival = "still"', 'ball_arrival = "thrown"', "must be one of served, still, rolling, carried, passed"),
        ('"inside", "laces"', '"shin"', "field 'surfaces item 1': must be one of laces, inside, outside, toe"),
        ('["inside", "laces"]', "[]", "field 'surfaces': must list at least 1, but lists 0"),
        ('["inside", "laces"]', '"inside"', "field 'surfaces': must be a list in square brackets, but is 'inside'"),
        ("gate_width_yd = 3\n", "", "field 'target': give either a gate width, or a goal width and height"),
        ("gate_width_yd = 3", "gate_width_yd = 3\ngoal_width_m = 5", "a goal width and height, not both"),
        (
            "gate_width_yd = 3",
            "gate_width_yd = 3\ngate_width_m = 2.7",
            "gate_width_m or gate_width_yd; here it is given",
        ),
        ("gate_width_yd = 3", "gate_width_yd = -3", "field 'gate_width_yd': must be above 0, but is -3"),
        ("gate_width_yd = 3", "gate_width_yd = 300", "must be 0.3 to 15 metres, but is 274.32 metres"),
        ("gate_width_yd = 3", "gate_width_yd = nan", "field 'gate_width_yd': must be a finite number, but is nan"),
        ("gate_width_yd = 3", "goal_width_ft = 21", "field 'goal_height': give it once, as goal_height_m or goal_hei"),
        (
            "gate_width_yd = 3",
            "goal_height_ft = 7",
            "field 'goal_width': give it once, as goal_width_m or goal_width_ft",
        ),
        (
            "distance_yd = 11",
            "distance_yd = 44",
            "field 'distance_yd': must be 0.5 to 40 metres, but is 40.2336 metres",
        ),
        ("distance_yd = 11", "distance_m = 0.4", "field 'distance_m': must be 0.5 to 40 metres, but is 0.4 metres"),
        (
            "distance_yd = 11",
            "",
            "field 'distance': give it once, as distance_m or distance_yd; here it is given nowhere",
        ),
        ("distance_yd = 11", "distance_yd = 11\ndistance_m = 10", "here it is given twice"),
        ("distance_yd = 11", 'distance_yd = "11"', "field 'distance_yd': must be a number, but is '11'"),
        ("set_sizes = [10, 5]", "set_sizes = [10, 51]", "field 'set_sizes item 2': must be at most 50, but is 51"),
        ("set_sizes = [10, 5]", "set_sizes = [0]", "field 'set_sizes item 1': must be at least 1, but is 0"),
        ("set_sizes = [10, 5]", "set_sizes = [2.5]", "field 'set_sizes item 1': must be a whole number, but is 2.5"),
        ("set_sizes = [10, 5]", f"set_sizes = {[5] * 11}", "must list at most 10, but lists more"),
        ("p_not_yet = 0.60", "p_not_yet = 0", "stage 'Still ball', field 'p_not_yet': must be above 0, but is 0"),
        ("p_ready = 0.80", "p_ready = 1.0", "field 'p_ready': must be below 1, but is 1.0"),
        ("p_ready = 0.80", "p_ready = 80", "field 'p_ready': must be below 1, but is 80"),
        ("p_ready = 0.80", "p_ready = 0.6", "field 'p_ready': must be above p_not_yet (0.6), but is 0.6"),
        ("p_ready = 0.80", "p_ready = true", "field 'p_ready': must be a number, but is True"),
        ('["Roll the ball through the middle."]', "[]", "field 'coaching_points': must list at least 1"),
        ('["Roll the ball through the middle."]', str(["a"] * 6), "must list at most 5, but lists more"),
        ('"Roll the ball through the middle."', f'"{"x" * 601}"', "must have at most 600 characters, but has 601"),
        (
            'source = "Our choice."',
            'source = "Our choice."\ncolour = "red"',
            "field 'colour': there is no such field; the",
        ),
        (
            'age_band = "U12"',
            'age_band = "U12"\nrisk = 0.1',
            "f: field 'risk': there is no such field; the fields are na",
        ),
        ('age_band = "U12"', "", "f: field 'age_band': is missing"),
        ('age_band = "U12"', 'age_band = "U12"\nfalse_ready_risk = 0.6', "must be at most 0.5, but is 0.6"),
        ('age_band = "U12"', 'age_band = "U12"\nhorizon_strikes = 9', "must be at least 10, but is 9"),
        ('age_band = "U12"', 'age_band = "U12"\ncorrelation = -0.1', "must be at least 0, but is -0.1"),
        ('age_band = "U12"', "age_band = U12", "f: this is not valid TOML: Invalid value (at line 2, column 12)"),
        ('age_band = "U12"', f"age_band = {'9' * 5000}", "this is not valid TOML: a number is too long"),
        ('age_band = "U12"', f"age_band = {'[' * 5000}", "brackets are nested too deep"),
    ],
)
def test_a_broken_rule_is_named_with_file_stage_field_and_reason(old: str, new: str, sentence: str) -> None:
    with pytest.raises(LadderError, match=re.escape(sentence)):
        parse_ladder(changed(old, new), source="f")


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ('name = "A"\nage_band = "U12"\n', "f: field 'stages': is missing"),
        ('name = "A"\nage_band = "U12"\nstages = [3, 4]\n', "stage 'number 1': must be a table, written as [[stages]]"),
        ('name = "A"\nage_band = "U12"\nstages = 3\n', "field 'stages': must be a list in square brackets, but is 3"),
        ('name = "A"\nage_band = "U12"\n' + STAGE.format(name="One"), "must list at least 2, but lists 1"),
    ],
)
def test_a_ladder_has_at_least_two_stages(text: str, sentence: str) -> None:
    with pytest.raises(LadderError, match=re.escape(sentence)):
        parse_ladder(text, source="f")


def test_an_error_carries_its_parts() -> None:
    with pytest.raises(LadderError) as caught:
        parse_ladder(changed("p_ready = 0.80", "p_ready = 0.5"), source="ours.toml")
    error = caught.value
    assert (error.source, error.stage, error.field) == ("ours.toml", "Still ball", "p_ready")


def test_a_ladder_is_read_from_a_file_with_or_without_a_byte_order_mark(tmp_path: Path) -> None:
    path = tmp_path / "ours.toml"
    path.write_text(LADDER, encoding="utf-8-sig")
    assert read_ladder(path) == parse_ladder(LADDER, source="elsewhere")


def test_a_file_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    with pytest.raises(LadderError, match=r"absent\.toml: there is no such file"):
        read_ladder(tmp_path / "absent.toml")
    (tmp_path / "latin.toml").write_bytes("name = 'Größe'".encode("latin-1"))
    with pytest.raises(LadderError, match=r"latin\.toml: this is not UTF-8 text \(byte 11\)"):
        read_ladder(tmp_path / "latin.toml")


def test_the_text_of_a_shipped_ladder_is_found_with_a_plain_hyphen_and_reads_back_the_same() -> None:
    for ladder in shipped_ladders():
        text = shipped_ladder_text(ladder.name.replace("–", "-").lower())
        assert parse_ladder(text, source="copy.toml") == ladder


def test_an_unknown_shipped_ladder_lists_the_known_ones() -> None:
    with pytest.raises(RequestError, match="There are: U8–U10, U11–U12, U13–U18"):
        shipped_ladder_text("U99")


@given(st.text() | st.text(alphabet="[]{}=\"'\n._ 019-e#\\"))
def test_any_text_is_a_ladder_or_a_ladder_error(text: str) -> None:
    try:
        ladder = parse_ladder(text, source="any")
    except LadderError:
        return
    assert isinstance(ladder, Ladder)


toml_values = st.recursive(
    st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3),
    max_leaves=5,
)


def toml(value: object) -> str:
    """A value in TOML; for text and lists JSON is TOML too, once control characters are escaped."""
    if isinstance(value, list):
        return "[" + ", ".join(toml(item) for item in value) + "]"
    if isinstance(value, bool):
        return str(value).lower()
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f") if isinstance(value, str) else str(value)


@given(st.sampled_from(sorted(set(re.findall(r"^(\w+) =", LADDER, re.MULTILINE)))), toml_values)
def test_any_value_in_any_field_is_a_ladder_or_a_ladder_error(field: str, value: object) -> None:
    text = re.sub(rf"^{field} = .*$", lambda _: f"{field} = {toml(value)}", LADDER, count=1, flags=re.MULTILINE)
    try:
        ladder = parse_ladder(text, source="any")
    except LadderError:
        return
    assert len(ladder.stages) >= 2


names = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=40).map(
    lambda text: " ".join(text.split())
)
names = names.filter(bool)
rates = st.floats(0.01, 0.99)


@st.composite
def ladders(draw: st.DrawFn) -> Ladder:
    """A valid ladder of two to four stages."""
    stage_names = draw(st.lists(names, min_size=2, max_size=4, unique_by=str.casefold))
    stages = []
    for position, name in enumerate(stage_names, start=1):
        p_not_yet, p_ready = sorted(draw(st.lists(rates, min_size=2, max_size=2, unique=True)))
        stage = Stage(
            name=name,
            position=position,
            ball_arrival=draw(st.sampled_from(BallArrival)),
            surfaces=tuple(draw(st.lists(st.sampled_from(Surface), min_size=1, unique=True))),
            target=Target(width_m=draw(st.floats(0.3, 15)), height_m=draw(st.none() | st.floats(0.3, 5))),
            distance_m=draw(st.floats(0.5, 40)),
            set_sizes=tuple(draw(st.lists(st.integers(1, 50), min_size=1, max_size=3))),
            p_not_yet=p_not_yet,
            p_ready=p_ready,
            coaching_points=tuple(draw(st.lists(names, min_size=1, max_size=5))),
            cautions=tuple(draw(st.lists(names, max_size=2))),
            source=draw(names),
        )
        stages.append(stage)
    return Ladder(
        name=draw(names),
        age_band=draw(names),
        stages=tuple(stages),
        false_ready_risk=draw(st.floats(0.001, 0.5)),
        horizon_strikes=draw(st.integers(10, 1000)),
        correlation=draw(st.floats(0, 0.5)),
    )


def written(ladder: Ladder) -> str:
    """The ladder as TOML."""
    head = ("name", "age_band", "false_ready_risk", "horizon_strikes", "correlation")
    lines = [f"{field} = {toml(getattr(ladder, field))}" for field in head]
    for stage in ladder.stages:
        lines.append("[[stages]]")
        lines += [f"{field} = {toml(getattr(stage, field))}" for field in ("name", "p_not_yet", "p_ready", "source")]
        lines += [f"{field} = {toml(list(getattr(stage, field)))}" for field in ("surfaces", "set_sizes")]
        lines += [f"{field} = {toml(list(getattr(stage, field)))}" for field in ("coaching_points", "cautions")]
        lines += [f"ball_arrival = {toml(stage.ball_arrival.value)}", f"distance_m = {stage.distance_m}"]
        lines.append(f"{'gate' if stage.target.is_gate else 'goal'}_width_m = {stage.target.width_m}")
        if stage.target.height_m is not None:
            lines.append(f"goal_height_m = {stage.target.height_m}")
    return "\n".join(lines)


@given(ladders())
def test_a_ladder_written_down_and_read_again_is_the_same(ladder: Ladder) -> None:
    assert parse_ladder(written(ladder), source="any") == ladder
