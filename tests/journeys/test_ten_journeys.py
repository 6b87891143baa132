"""Ten journeys of a coach, from the start page, in a real browser. README.md lists them.

Answers are compared with plain SQL on the same season, and with statsmodels where an interval is told.
"""

from __future__ import annotations

import math
import os
import re
from collections.abc import Iterator

import numpy as np
import polars as pl
import pytest
import statsmodels.api as sm
from playwright.sync_api import Browser, FilePayload, Locator, Page, expect
from screenshots import chromium_path, pick, settle
from serving import running
from statsmodels.stats.proportion import proportion_confint

from tracker.review import club
from tracker.review.readiness import readiness
from tracker.review.scope import Scope
from tracker.store.database import Database

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(chromium_path() is None and not os.environ.get("CI"), reason="there is no Chromium here"),
]
MOST_CLICKS = 3
SEVEN_YARDS_M = 6.4008


class Clicks:
    """A hand that counts how often it presses."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.made = 0

    def on(self, what: Locator) -> None:
        """Presses once."""
        what.click()
        self.made += 1

    def page_link(self, name: str) -> None:
        """Presses the link to a page, and waits for the page."""
        self.on(self.page.get_by_role("link", name=name, exact=True))
        expect(self.page.get_by_role("heading", level=1)).to_have_text(name)
        settle(self.page)

    def player(self, name: str) -> None:
        """Opens the list of players and picks one."""
        players = self.page.get_by_role("combobox", name=re.compile("Player"))
        pick(self.page, players, self.page.get_by_role("option", name=re.compile(re.escape(name))))
        self.made += 2
        settle(self.page)


@pytest.fixture
def coach(page: Page, address: str) -> Clicks:
    """A coach who has just opened the dashboard."""
    page.goto(address)
    settle(page)
    return Clicks(page)


def sql(database: Database, text: str, *said: object) -> pl.DataFrame:
    """What SQL says of the season, asked past everything of ours but which strikes count."""
    frame: pl.DataFrame = database._connection.cursor().sql(text, params=list(said)).pl()
    return frame


def answer(page: Page, starts_with: str) -> str:
    """The first line of the page that starts so."""
    return page.get_by_text(re.compile(f"^{re.escape(starts_with)}")).first.inner_text()


def test_1_is_a_players_left_foot_better_than_in_september(coach: Clicks, demo: Database) -> None:
    coach.page_link("Player")
    coach.player("Zoë L.")
    assert coach.made <= MOST_CLICKS
    expect(coach.page.get_by_role("heading", level=2).first).to_have_text("Left foot (other)")
    said = answer(coach.page, "Clearly up: from ")
    counts = sql(
        demo,
        "select stage, ln(distance_m) as far, held_on - date '2025-09-06' as day, sum(is_on_target) as hits, "
        "sum(is_attempt - is_on_target) as misses from valid_strike join player using (player_id) "
        "where display_name = 'Zoë L.' and foot = 'left' and distance_m is not null and is_attempt = 1 "
        "group by all order by all",
    )
    stages = counts["stage"].to_dummies(drop_first=True).to_numpy()
    difficulty = np.column_stack([np.ones(counts.height), counts["far"], stages, counts["day"]])
    outcomes = counts.select("hits", "misses").cast(pl.Float64).to_numpy()
    fitted = sm.GLM(outcomes, difficulty, family=sm.families.Binomial()).fit(scale="X2")
    low, _ = fitted.conf_int(0.05)[-1]
    assert low > 0
    start, end = (int(one) for one in re.findall(r"(\d+) of 10", said)[:2])
    assert end > start


def test_2_who_is_ready_for_the_rolling_ball_with_both_feet(coach: Clicks, demo: Database) -> None:
    coach.page_link("Ladder")
    assert coach.made <= MOST_CLICKS
    table = coach.page.get_by_role("region", name="Who is done with each stage, by foot")
    row = table.get_by_role("row", name=re.compile("^2. Still ball through a gate"))
    named = row.get_by_role("cell").nth(1).inner_text().split(", ")
    works_at = sql(
        demo,
        "select display_name as player, foot::varchar as foot, arg_max(stage, placed_at) as stage from placement "
        "join player using (player_id) where withdrawn_at is null group by all",
    )
    above = club.ladder_of(demo, club.squads(demo)[0]).stages[2:]
    placed = set(works_at.filter(pl.col("stage").is_in([one.name for one in above])).select("player", "foot").rows())
    board = readiness(demo, Scope(squad=club.squads(demo)[0])).filter(stage="Still ball through a gate")
    fell_back = set(board.filter(status="revisit").select("player", "foot").rows())
    scored = set(board.filter(pl.col("is_current"), status="ready").select("player", "foot").rows())
    feet = (placed | scored) - fell_back
    assert named == [
        name
        for name in sql(demo, "select display_name from player order by shirt_number nulls last")["display_name"]
        if {(name, "left"), (name, "right")} <= feet
    ]


@pytest.fixture
def untouched(page: Page) -> Iterator[Clicks]:
    """A coach on a demo of their own: a practice that another test began today would make this month the latest."""
    with running("demo") as own:
        page.goto(own)
        settle(page)
        yield Clicks(page)


def test_3_who_has_under_20_left_foot_strikes_this_month(untouched: Clicks, demo: Database) -> None:
    coach = untouched
    coach.page_link("Squad")
    assert coach.made <= MOST_CLICKS
    few = sql(
        demo,
        "select display_name as player, coalesce(sum(is_attempt), 0) as strikes from player left join valid_strike on "
        "valid_strike.player_id = player.player_id and foot = 'left' and held_on >= date '2026-05-01' "
        "where active group by all having strikes < 20 order by 1",
    )
    said = answer(coach.page, "Under 20 left-foot strikes in May 2026: ")
    assert said.removesuffix(".").split(": ")[1].split(", ") == [one.removesuffix(".") for one in few["player"]]


def test_4_does_anyone_fall_back_after_moving_on(coach: Clicks, demo: Database) -> None:
    coach.page_link("Ladder")
    assert coach.made <= MOST_CLICKS
    table = coach.page.get_by_role("region", name="What now, foot by foot")
    said = [one.inner_text() for one in table.get_by_role("row").all()]
    board = readiness(demo, Scope(squad=club.squads(demo)[0])).filter(pl.col("is_passed"), status="revisit")
    assert board.height
    for player, foot, stage in board.select("player", "foot", "stage").iter_rows():
        (line,) = (one for one in said if one.startswith(f"{player}, {foot}\t"))
        assert stage in line
    since = sql(
        demo,
        "with moved as (select player_id, foot, max(placed_at) as on_at from placement where withdrawn_at is null "
        "group by all) select display_name as player, foot::varchar as foot, stage, sum(is_on_target) as hits, "
        "sum(is_attempt) as attempts from valid_strike join player using (player_id) "
        "join moved using (player_id, foot) where struck_at > on_at group by all",
    )
    for row in board.join(since, on=["player", "foot", "stage"]).iter_rows(named=True):
        low, _ = proportion_confint(row["hits"], row["attempts_right"], alpha=0.01, method="wilson")
        assert low < 0.8  # the rate of a player who is ready there


def test_5_from_how_far_does_a_player_still_hit_7_of_10(coach: Clicks, demo: Database) -> None:
    coach.page_link("Player")
    coach.player("Bjørn S.")
    assert coach.made <= MOST_CLICKS
    said = coach.page.get_by_text(re.compile("^Still hits 7 of 10 from about")).nth(1).inner_text()
    yards = re.findall(r"(\d+) yd", said)
    reach_m, low_m, high_m = (0.9144 * int(one) for one in yards[:3])
    assert low_m <= reach_m <= high_m
    near = sql(
        demo,
        "select sum(is_on_target) as hits, sum(is_attempt) as attempts from valid_strike join player using (player_id) "
        "where display_name = 'Bjørn S.' and foot = 'right' and abs(target_width_m - ?) < 0.05 "
        "and distance_m between ? and ? and (miss is null or miss in ('left', 'right'))",  # an aim is a direction
        *(SEVEN_YARDS_M, low_m, high_m),
    )
    low, high = proportion_confint(near["hits"][0], near["attempts"][0], method="wilson")
    assert low <= 0.7 <= high


def test_6_a_practice_is_logged_and_a_slip_taken_back(coach: Clicks) -> None:
    page = coach.page
    if page.get_by_role("button", name="Start this practice").count():
        page.get_by_role("button", name="Start this practice").click()
    page.get_by_role("button", name="On target", exact=True).click()
    expect(page.get_by_text("Stored: Amara N., left foot, on target.")).to_be_visible()
    page.get_by_role("button", name="Short", exact=True).click()
    expect(page.get_by_text("Stored: Amara N., left foot, off target, short.")).to_be_visible()
    page.get_by_text("Strikes of each player").click()
    cells = page.get_by_role("region", name="Strikes logged per player and foot").get_by_role("row", name="Amara N.")
    logged = int(cells.get_by_role("cell").nth(2).inner_text())
    page.get_by_role("button", name="Undo").first.click()
    expect(cells.get_by_role("cell").nth(2)).to_have_text(str(logged - 1))
    settle(page)  # the list is drawn after the counts
    page.get_by_role("button", name="Undo").first.click()
    expect(cells.get_by_role("cell").nth(2)).to_have_text(str(logged - 2))


def test_7_a_player_is_moved_on_with_a_note_and_moved_back(coach: Clicks) -> None:
    page = coach.page
    coach.page_link("Ladder")
    page.get_by_role("textbox", name=re.compile("^Note on the next decision")).fill("calm and clean")
    page.get_by_role("button", name="Move on", exact=True).first.click()
    expect(page.get_by_text("Bjørn S., right foot, practises Lay-off and finish from now on.")).to_be_visible()
    coach.page_link("Player")
    coach.player("Bjørn S.")
    decisions = page.get_by_role("region", name="Decisions, the latest first")
    expect(decisions.get_by_role("row").nth(1)).to_contain_text("calm and clean")
    expect(decisions.get_by_role("row").nth(1)).to_contain_text("Lay-off and finish (ready)")
    page.get_by_role("button", name="Take the last decision back").click()
    expect(page.get_by_text(re.compile("^Taken back:"))).to_be_visible()
    expect(decisions.get_by_text("calm and clean")).to_have_count(0)


def test_8_a_view_is_shared_as_a_link_and_cleared(coach: Clicks, chromium: Browser, demo: Database) -> None:
    page = coach.page
    coach.page_link("Squad")
    page.get_by_text("Filters: season, stage").click()
    stages = page.get_by_role("combobox", name=re.compile("Stage")).first
    pick(page, stages, page.get_by_role("option", name="Rolling ball", exact=True))
    page.wait_for_url(re.compile("stage=Rolling"))
    settle(page)
    coach.page_link("Feet")
    coach.page_link("Squad")
    other = chromium.new_context(viewport={"width": 1280, "height": 800}).new_page()
    other.goto(page.url)
    settle(other)
    ((hits, attempts),) = sql(
        demo,
        "select sum(is_on_target), sum(is_attempt) from valid_strike where foot = 'left' and stage = 'Rolling ball'",
    ).rows()
    for visit in (page, other):
        visit.reload()
        settle(visit)
        expect(visit.get_by_text("Filtered: Rolling ball")).to_be_visible()
        picture = visit.get_by_label(re.compile("^On target by player and foot")).first
        total = sum(int(one) for one in re.findall(r"left foot: (\d+) of", picture.get_attribute("aria-label") or ""))
        assert total == hits
    assert attempts > hits
    page.get_by_role("button", name="Show everything").click()
    page.wait_for_url(re.compile(r"squad/?$"))
    expect(page.get_by_text("Filtered: ")).to_have_count(0)
    other.context.close()


def test_9_a_new_squad_is_ready_to_log_in_a_minute(page: Page, own_address: str) -> None:
    page.goto(own_address)
    settle(page)
    page.get_by_role("textbox", name="Name of the squad").fill("Reds U12")
    page.get_by_role("button", name="Make this squad").click()
    page.get_by_role("link", name="Add players on the Setup page").click()
    settle(page)
    page.get_by_text("Add many players from a file").click()
    names = FilePayload(name="players.csv", mimeType="text/csv", buffer=b"player,preferred_foot\nAna,right\nBen,left\n")
    page.locator("input[type=file]").first.set_input_files(names)
    page.get_by_text("players.csv").wait_for()
    settle(page)
    page.get_by_role("button", name="Add these players").click()
    expect(page.get_by_text("2 players added from the file.")).to_be_visible()
    page.get_by_role("link", name="Today", exact=True).click()
    page.get_by_role("button", name="Start this practice").click()
    page.get_by_role("button", name="On target", exact=True).click()
    expect(page.get_by_text("Stored: Ana, left foot, on target.")).to_be_visible()

    page.get_by_role("link", name="Setup", exact=True).click()
    page.get_by_role("tab", name="Squads, units, language").click()
    page.get_by_role("radio", name="Español").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Configuración")
    page.get_by_role("link", name="Hoy", exact=True).click()
    page.get_by_role("button", name="A puerta", exact=True).click()
    expect(page.get_by_text("Guardado: Ana, pie izquierdo, a puerta.")).to_be_visible()


def test_10_a_player_and_a_parent_hear_how_sure_it_is(coach: Clicks, demo: Database) -> None:
    page = coach.page
    coach.page_link("Player")
    coach.player("Thu-An Q.")
    counts = sql(
        demo,
        "select sum(is_on_target) as hits, sum(is_attempt) as attempts from valid_strike join player using (player_id) "
        "where display_name = 'Thu-An Q.' and foot = 'left'",
    )
    hits, attempts = counts.row(0)
    said = answer(page, f"{hits} of {attempts} on target, likely between ")
    least, most = (int(one) for one in re.findall(r"between (\d+) and (\d+) of 10", said)[0])
    low, high = proportion_confint(hits, attempts, method="wilson")
    assert least <= math.floor(10 * low + 0.5)  # strikes of one day hang together, so the range told is wider
    assert most >= math.floor(10 * high + 0.5)
    page.get_by_role("button", name="How sure is this?").first.click()
    expect(page.get_by_text("Likely means that ranges made in this way hold the real rate").first).to_be_visible()
    page.get_by_role("link", name="More on how sure this is").first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("How sure is this?")
