"""What a phone may ask and send, and what it is told."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

import pytest
from builders import SquadBuilder
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from phone import Phone

from tracker.domain.practice import Practice
from tracker.domain.vocabulary import Dimension, Foot, Outcome
from tracker.review import club
from tracker.review.accuracy import accuracy
from tracker.review.pad import give_pass, passes, revoke_pass
from tracker.store.plans import PlannedTurn, save_plan
from tracker.store.strikes import StrikeFilter, exported_strikes


def stored(squad: SquadBuilder) -> list[dict[str, object]]:
    return exported_strikes(squad.database, StrikeFilter()).to_dicts()


def test_a_strike_is_stored_with_its_foot_outcome_miss_stage_and_logger(phone: Phone, squad: SquadBuilder) -> None:
    strike = phone.strike(stage="rolling ball")
    answer = phone.post("/api/strikes", {"strikes": [strike]})
    assert answer.status_code == 200
    assert answer.json() == {"stored": [strike["strike_id"]], "already_there": [], "rejected": []}
    (row,) = stored(squad)
    stage = squad.ladder.stage_named("Rolling ball")
    assert stage is not None
    wanted = {"foot": "left", "outcome": "off target", "miss": "over", "stage": "Rolling ball", "logger": "Tess"}
    assert {name: row[name] for name in wanted} == wanted
    assert row["distance_m"] == pytest.approx(stage.distance_m)
    assert row["target_width_m"] == pytest.approx(stage.target.width_m)


def test_sent_twice_it_is_stored_once(phone: Phone, squad: SquadBuilder) -> None:
    strike = phone.strike()
    phone.post("/api/strikes", {"strikes": [strike, strike]})
    again = phone.post("/api/strikes", {"strikes": [strike]})
    assert again.json() == {"stored": [], "already_there": [strike["strike_id"]], "rejected": []}
    assert len(stored(squad)) == 1


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"foot": "middle"}, "foot"),
        ({"outcome": "on target"}, "miss"),
        ({"player": str(uuid4())}, "player"),
        ({"distance_m": 4000}, "distance_m"),
        ({"struck_at": (datetime.now(UTC) + timedelta(hours=2)).isoformat()}, "struck_at"),
        ({"struck_at": "2026-03-12T18:00:00"}, "struck_at"),
        ({"stage": ""}, "stage"),
    ],
)
def test_a_wrong_strike_is_refused_with_its_field_and_spoils_no_other(
    phone: Phone, squad: SquadBuilder, change: dict[str, object], field: str
) -> None:
    right, wrong = phone.strike(), phone.strike(**change)
    answer = phone.post("/api/strikes", {"strikes": [wrong, right]}).json()
    assert answer["stored"] == [right["strike_id"]]
    assert [(one["strike_id"], one["field"]) for one in answer["rejected"]] == [(wrong["strike_id"], field)]
    assert answer["rejected"][0]["why"]
    assert len(stored(squad)) == 1


def test_a_pass_for_one_practice_may_not_log_another(phone: Phone, squad: SquadBuilder) -> None:
    other = squad.practice(date(2026, 3, 12))
    answer = phone.post("/api/strikes", {"strikes": [phone.strike(practice=str(other.practice_id))]})
    assert answer.status_code == 403
    assert stored(squad) == []


def test_a_revoked_pass_may_do_nothing(phone: Phone, squad: SquadBuilder) -> None:
    assert phone.get("/api/practice").status_code == 200
    revoke_pass(squad.database, phone.given.token_id)
    assert phone.get("/api/practice").status_code == 401
    assert phone.post("/api/strikes", {"strikes": [phone.strike()]}).status_code == 401
    assert phone.post("/api/corrections", {"corrections": []}).status_code == 401
    assert stored(squad) == []


def test_an_expired_pass_opens_nothing_but_delivers_what_was_struck_before_for_seven_days(
    phone: Phone, squad: SquadBuilder, practice: Practice
) -> None:
    long_ago = datetime.now(UTC) - timedelta(days=3)
    earlier = squad.practice((long_ago - timedelta(days=1)).date())
    old = give_pass(squad.database, earlier, logger="Tess", now=long_ago)
    strike = phone.strike(practice=str(old.practice_id), struck_at=(long_ago - timedelta(hours=1)).isoformat())
    late = phone.strike(practice=str(old.practice_id), struck_at=datetime.now(UTC).isoformat())
    assert phone.get("/api/practice", token=old.token).status_code == 401
    answer = phone.post("/api/strikes", {"strikes": [strike, late]}, token=old.token).json()
    assert answer["stored"] == [strike["strike_id"]]
    assert answer["rejected"][0]["field"] == "struck_at"
    very_old = squad.practice((datetime.now(UTC) - timedelta(days=9)).date())
    older = give_pass(squad.database, very_old, logger="Tess", now=datetime.now(UTC) - timedelta(days=9))
    refused = phone.post(
        "/api/strikes", {"strikes": [phone.strike(practice=str(older.practice_id))]}, token=older.token
    )
    assert refused.status_code == 401


@pytest.mark.parametrize("token", ["", "no-such-token", "'; drop table strike; --"])
def test_without_a_known_token_nothing_is_told_or_stored(phone: Phone, squad: SquadBuilder, token: str) -> None:
    headers = {"Authorization": f"Bearer {token}"} if token else {}
    assert phone.client.get("/api/practice", headers=headers).status_code == 401
    answer = phone.client.post("/api/strikes", json={"strikes": [phone.strike()]}, headers=headers)
    assert answer.status_code == 401
    assert stored(squad) == []


@pytest.mark.parametrize("body", [[], {}, {"strikes": {}}, {"strikes": [{"foot": "left"}]}, {"strikes": ["x"]}, 7])
def test_json_of_another_shape_is_refused_whole(phone: Phone, squad: SquadBuilder, body: object) -> None:
    assert phone.post("/api/strikes", body).status_code == 422
    assert stored(squad) == []


def test_what_is_not_json_is_refused_whole(phone: Phone) -> None:
    headers = {"Authorization": f"Bearer {phone.given.token}", "Content-Type": "application/json"}
    assert phone.client.post("/api/strikes", content=b"{", headers=headers).status_code == 422
    headers["Content-Type"] = "text/plain"
    assert phone.client.post("/api/strikes", content=b"{}", headers=headers).status_code == 415


def test_more_than_500_strikes_a_call_are_too_many(phone: Phone, squad: SquadBuilder) -> None:
    assert phone.post("/api/strikes", {"strikes": [phone.strike()] * 501}).status_code == 413
    padding = "x" * 1_100_000
    assert phone.post("/api/strikes", {"strikes": [phone.strike(note=padding)]}).status_code == 413
    assert stored(squad) == []


def test_a_page_of_another_site_may_not_deliver(phone: Phone, squad: SquadBuilder) -> None:
    body = {"strikes": [phone.strike()]}
    assert phone.post("/api/strikes", body, Origin="https://elsewhere.example").status_code == 403
    assert phone.post("/api/strikes", body, Origin="http://testserver").status_code == 200


def test_an_unknown_address_is_a_404_in_json_and_a_wrong_method_a_405(phone: Phone) -> None:
    answer = phone.get("/api/players")
    assert (answer.status_code, answer.headers["content-type"]) == (404, "application/json")
    assert phone.get("/api/strikes").status_code == 405
    assert phone.get("/pad/app.py").status_code == 404
    assert phone.get("/pad/..%2Fapp.py").status_code == 404


def test_the_page_comes_with_a_policy_that_allows_no_other_host(phone: Phone) -> None:
    page = phone.client.get("/pad")
    assert page.headers["content-type"].startswith("text/html")
    policy = page.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "'unsafe-inline'" not in policy
    assert "http" not in policy


def test_the_page_is_told_no_result_and_no_birth_year(phone: Phone, squad: SquadBuilder) -> None:
    club.add_player(squad.database, squad.squad, display_name="Cem", birth_year=2014)
    squad.strikes("Ana", Foot.LEFT, "+-+-", day=date(2026, 3, 12), stage="Rolling ball")
    told = phone.get("/api/practice").text
    assert "2014" not in told
    for word in ("birth", "rate", "on_target", "score", "2026-03-12"):
        assert word not in told
    assert {"player_id": str(phone.player_id), "foot": "left", "attempts": 0} in json.loads(told)["today"]


def test_a_plan_says_whom_to_watch_in_which_minute(phone: Phone, squad: SquadBuilder, practice: Practice) -> None:
    turn = PlannedTurn(
        position=1,
        starts_at=14,
        minutes=5,
        logger=1,
        player_id=squad.player("Ana").player_id,
        foot=Foot.LEFT,
        stage="Rolling ball",
    )
    with squad.database.transaction() as transaction:
        save_plan(transaction, practice.practice_id, minutes=75, document="{}", strikes=[], turns=[turn])
    assert phone.get("/api/practice").json()["watch"] == [
        {
            "player_id": str(squad.player("Ana").player_id),
            "foot": "left",
            "stage": "Rolling ball",
            "reason": "minute 14 to 19, logger 1",
        }
    ]


def test_names_come_as_they_are_for_the_page_to_show_as_text(phone: Phone, squad: SquadBuilder) -> None:
    club.add_player(squad.database, squad.squad, display_name="<script>alert(1)</script>")
    names = [one["display_name"] for one in phone.get("/api/practice").json()["players"]]
    assert "<script>alert(1)</script>" in names


def test_a_correction_voids_a_strike_of_this_practice_once(phone: Phone, squad: SquadBuilder) -> None:
    strike = phone.strike()
    phone.post("/api/strikes", {"strikes": [strike]})
    correction = {"strike_id": strike["strike_id"], "why": "undo", "at": datetime.now(UTC).isoformat()}
    unknown = correction | {"strike_id": str(uuid4())}
    answer = phone.post("/api/corrections", {"corrections": [correction, unknown]}).json()
    assert answer["stored"] == [strike["strike_id"]]
    assert [one["strike_id"] for one in answer["rejected"]] == [unknown["strike_id"]]
    again = phone.post("/api/corrections", {"corrections": [correction]}).json()
    assert again["already_there"] == [strike["strike_id"]]
    assert accuracy(squad.database, squad.scope, by=[Dimension.PLAYER]).height == 0


def test_a_correction_of_another_practice_is_refused(phone: Phone, squad: SquadBuilder) -> None:
    (strike,) = squad.strikes("Ana", Foot.LEFT, "+", day=date(2026, 3, 12))
    correction = {"strike_id": str(strike.strike_id), "why": "undo", "at": datetime.now(UTC).isoformat()}
    answer = phone.post("/api/corrections", {"corrections": [correction]}).json()
    assert answer["rejected"][0]["field"] == "strike_id"
    assert accuracy(squad.database, squad.scope, by=[Dimension.PLAYER])["attempts"].to_list() == [1]


def test_two_loggers_of_the_same_strikes_count_once(phone: Phone, squad: SquadBuilder, practice: Practice) -> None:
    other = give_pass(squad.database, practice, logger="Ravi")
    start = datetime.now(UTC) - timedelta(minutes=10)
    for number in range(6):
        at = start + timedelta(seconds=7 * number)
        phone.post("/api/strikes", {"strikes": [phone.strike(struck_at=at.isoformat())]})
        if number >= 2:
            body = {"strikes": [phone.strike(struck_at=(at + timedelta(seconds=1)).isoformat())]}
            phone.post("/api/strikes", body, token=other.token)
    later = {"strikes": [phone.strike(struck_at=(start + timedelta(minutes=5)).isoformat())]}
    phone.post("/api/strikes", later, token=other.token)
    assert len(stored(squad)) == 11
    assert accuracy(squad.database, squad.scope, by=[Dimension.PLAYER])["attempts"].to_list() == [7]


def test_the_passes_of_a_squad_are_listed_without_their_tokens(phone: Phone, squad: SquadBuilder) -> None:
    listed = passes(squad.database, squad.squad)
    assert listed["logger"].to_list() == ["Tess"]
    assert phone.given.token not in str(listed.to_dicts())


JSON = st.recursive(
    st.none() | st.booleans() | st.floats(allow_nan=False, allow_infinity=False) | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=12), inner, max_size=4),
    max_leaves=12,
)


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(change=st.dictionaries(st.sampled_from(["practice", "player", "stage", "foot", "miss", "struck_at"]), JSON))
def test_whatever_comes_is_answered_without_an_error_of_ours(phone: Phone, change: dict[str, object]) -> None:
    answer = phone.post("/api/strikes", {"strikes": [phone.strike(**change)]})
    assert answer.status_code in (200, 403, 422)
    if answer.status_code == 200:
        told = answer.json()
        assert len(told["stored"]) + len(told["already_there"]) + len(told["rejected"]) == 1


def test_blocked_strikes_are_kept_and_count_neither_way(phone: Phone, squad: SquadBuilder) -> None:
    phone.post("/api/strikes", {"strikes": [phone.strike(outcome=Outcome.BLOCKED.value, miss=None)]})
    assert len(stored(squad)) == 1
    assert accuracy(squad.database, squad.scope, by=[Dimension.PLAYER]).height == 0
