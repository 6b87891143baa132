"""The Player page: both feet, the evidence, and the coach's decisions."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from builders import SquadBuilder
from streamlit.testing.v1 import AppTest

from dashboards.ui.views import PlayerView
from tracker.domain.vocabulary import Foot
from tracker.review import decisions

OpenPage = Callable[[str], AppTest]
Words = Callable[[AppTest], str]
GATE, ROLLING = "Still ball through a gate", "Rolling ball"


@pytest.fixture
def season(squad: SquadBuilder) -> SquadBuilder:
    """Ana is ready with the left foot at the gate; her right foot has six strikes there."""
    for day in (7, 14, 21):
        squad.strikes("Ana", Foot.LEFT, "++++++++++", day=date(2026, 3, day), stage=GATE)
    squad.strikes("Ana", Foot.RIGHT, "+-+-+-", day=date(2026, 3, 14), stage=GATE)
    return squad


def titles(app: AppTest) -> list[str]:
    return [json.loads(picture.proto.spec)["title"]["text"]["expr"] for picture in app.get("vega_lite_chart")]


def keyed(app: AppTest, what: str, foot: Foot) -> Any:
    """The one widget of a foot, whoever the player is."""
    (found,) = [
        one for one in (*app.selectbox, *app.text_input) if str(one.key).startswith(what) and one.key.endswith(foot)
    ]
    return found


def place(app: AppTest, foot: Foot, stage: str, note: str = "") -> AppTest:
    keyed(app, "placed_at", foot).set_value(stage)
    keyed(app, "note", foot).set_value(note)
    app.button(key=f"FormSubmitter:place:{foot.value}-Place").click().run()
    assert not app.exception
    return app


def test_a_player_without_strikes_is_told_so_for_each_foot(
    open_page: OpenPage, squad: SquadBuilder, words: Words
) -> None:
    shown = words(open_page("player"))
    assert shown.count("No strikes yet.") == 2
    assert "No decision yet." in shown


def test_the_left_foot_stands_on_the_left_and_says_whether_it_is_preferred(
    open_page: OpenPage, season: SquadBuilder
) -> None:
    heads = [head.value for head in open_page("player").header]
    places = [heads.index(one) for one in ("Left foot (other)", "Right foot (preferred)", "Decisions")]
    assert places == sorted(places)


def test_status_and_reason_stand_beside_the_evidence(open_page: OpenPage, season: SquadBuilder, words: Words) -> None:
    app = open_page("player")
    shown = words(app)
    assert "30 of 30 on target" in shown
    assert "At Still ball through a gate now. Ready since" in shown
    assert "only 1 time in 10." in shown
    assert "Too few strikes to say: 6 strikes so far; 10 are the least." in shown
    assert "ready since" in titles(app)[0]


@pytest.mark.parametrize(
    ("view", "found"),
    [
        (PlayerView.PRACTICES, "30 of 30 on target over 3 practices"),
        (PlayerView.AIM, "Left foot (other): "),
        (PlayerView.DISTANCE, "too few strikes of known distance to say"),
        (PlayerView.SETS, "no practice with two sets at a stage yet"),
        (PlayerView.TWENTY, "about 20 of 20 strikes on target"),
    ],
)
def test_one_picture_of_each_foot_is_looked_at_and_has_its_table(
    open_page: OpenPage, season: SquadBuilder, view: PlayerView, found: str
) -> None:
    app = open_page("player")
    app.segmented_control(key="player_view").set_value(view).run()
    assert not app.exception
    assert len(titles(app)) == 2
    assert found in titles(app)[0]
    assert [one.label for one in app.expander].count("The figures behind it") == 2


def test_another_stage_can_be_looked_at(open_page: OpenPage, season: SquadBuilder, words: Words) -> None:
    app = open_page("player")
    keyed(app, "stage_looked_at", Foot.LEFT).select(ROLLING).run()
    assert "No strikes at this stage yet." in words(app)


def test_the_form_offers_the_stage_the_tool_suggests(open_page: OpenPage, season: SquadBuilder) -> None:
    app = open_page("player")
    assert keyed(app, "placed_at", Foot.LEFT).value == ROLLING
    assert keyed(app, "placed_at", Foot.RIGHT).value == GATE


def test_a_decision_is_kept_with_its_note_and_what_the_tool_said(
    open_page: OpenPage, season: SquadBuilder, words: Words
) -> None:
    app = place(open_page("player"), Foot.LEFT, ROLLING, "calm and clean")
    (placement,) = decisions.placements_of(season.database, season.player("Ana"))
    assert (placement.foot, placement.stage, placement.note) == (Foot.LEFT, ROLLING, "calm and clean")
    assert app.success[0].value == "Ana, left foot, practises Rolling ball from now on."
    assert "Rolling ball (ready)" in words(app)
    assert "calm and clean" in words(app)


def test_the_last_decision_can_be_taken_back(open_page: OpenPage, season: SquadBuilder) -> None:
    app = place(place(open_page("player"), Foot.LEFT, ROLLING), Foot.RIGHT, ROLLING)
    app.button[-1].click().run()
    (placement,) = decisions.placements_of(season.database, season.player("Ana"))
    assert placement.foot is Foot.LEFT


def test_the_evidence_follows_the_foot_to_its_new_stage(open_page: OpenPage, season: SquadBuilder) -> None:
    app = place(open_page("player"), Foot.LEFT, ROLLING)
    assert keyed(app, "stage_looked_at", Foot.LEFT).value == ROLLING


def test_another_player_starts_from_their_own_stages(open_page: OpenPage, season: SquadBuilder) -> None:
    season.strikes("Ben", Foot.LEFT, "++--", day=date(2026, 3, 14), stage=ROLLING)
    app = open_page("player")
    app.selectbox(key="player_shown").select(season.player("Ben").player_id).run()
    assert keyed(app, "stage_looked_at", Foot.LEFT).value == ROLLING
    assert keyed(app, "placed_at", Foot.LEFT).value == ROLLING
    place(app, Foot.LEFT, GATE)
    (placement,) = decisions.placements_of(season.database, season.player("Ben"))
    assert placement.stage == GATE
    assert not decisions.placements_of(season.database, season.player("Ana"))


def test_a_child_is_never_called_weak_or_worst(open_page: OpenPage, season: SquadBuilder, words: Words) -> None:
    shown = words(open_page("player")).lower()
    for word in ("weak", "worst", "best", "fail", "rank", "talent"):
        assert word not in shown
