"""A whole season in an afternoon, through the surfaces people use: pages, phones, paper, files. Then the truth table.

``python tests/journeys/season.py [--practices 30] [--players 16] [--keep FOLDER]``. The squad is simulated, so the
truth is known (``simulated_squad``); at the end the tool's answers are held against it (``season_truth``). The days of
the practices lie a week apart; everything is logged now, as the season runs.
"""

from __future__ import annotations

import argparse
import json
import re
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, expect
from screenshots import settle
from season_truth import Call, Held, aim_held, calls_held, changes_held, counts_equal, rates_held
from serving import strikeladder
from simulated_squad import SimulatedSquad, Struck, simulated_squad
from test_pad_bench import PAUSE_BETWEEN_PRESSES_MS, Club, Phone, browser, phone_of

from tracker.domain.ladder_file import shipped_ladders
from tracker.domain.vocabulary import Foot

LOGGERS = ("Tess", "Ravi")
SET = 10
LADDER = "U11–U12"
SQUAD = "Quillhaven U12"
SEED = 11
PLANNED_AT, NETWORK_LOST_AT, KILLED_AT, PAPER_AT = 0, 1, 2, 3
"""Practices, counted from 0, that the tool plans, at which the Wi-Fi is lost, at which the server is killed, and at
which the phones stay in the bag."""
MOST_MOVES = 40


@dataclass(kw_only=True)
class Season:
    """A season being played: the club's server, the simulated squad, and what the tool called."""

    club: Club
    squad: SimulatedSquad
    coach: Page
    opened: Browser
    last_day: date
    calls: list[Call] = field(default_factory=list)
    seconds: dict[str, float] = field(default_factory=dict)

    def day(self, practice: int) -> date:
        """The date of a practice: a week apart, the last one on ``last_day``."""
        return self.last_day - timedelta(weeks=self.squad.practices - 1 - practice)

    def play(self, practice: int) -> None:
        """One week: the practice is started, logged, and reviewed."""
        self.squad.start_day()
        self.start(practice)
        if practice == PAPER_AT:
            self.write_on_paper(practice)
        else:
            self.log_on_phones(practice)
        self.review(practice)

    def show(self, path: str, title: str) -> None:
        """The coach opens a page."""
        self.coach.goto(f"{self.club.address}/{path}")
        expect(self.coach.get_by_role("heading", level=1)).to_have_text(title)
        settle(self.coach)

    def start(self, practice: int) -> None:
        """The coach plans the practice, or starts it on *Today*."""
        if practice == PLANNED_AT:
            self.show("plan", "Plan")
            self.choose_day(practice)
            self.coach.get_by_role("button", name="Use this plan for the practice").click()
            settle(self.coach)
        self.show("", "Today")
        self.choose_day(practice)
        start = self.coach.get_by_role("button", name="Start this practice")
        if start.count():
            start.click()
            settle(self.coach)

    def choose_day(self, practice: int) -> None:
        """Types the day of the practice where a page asks for it."""
        day = self.day(practice)
        for part, number in (("year", f"{day.year}"), ("month", f"{day.month:02}"), ("day", f"{day.day:02}")):
            spin = self.coach.get_by_role("spinbutton", name=f"{part}, Day of the practice").first
            spin.click()
            spin.press_sequentially(number)
        self.coach.keyboard.press("Enter")
        self.coach.keyboard.press("Escape")  # closes the calendar
        settle(self.coach)
        expect(self.coach.get_by_role("spinbutton", name="day, Day of the practice").first).to_have_text(
            f"{day.day:02}"
        )

    def pass_for(self, logger: str) -> str:
        """The coach gives out a pass on *Today*; its address."""
        self.coach.get_by_role("tab", name="On phones").click()
        name = self.coach.get_by_role("textbox", name="Who logs")
        name.fill(logger)
        name.press("Tab")
        settle(self.coach)
        self.coach.get_by_role("button", name="Give out a pass").click()
        settle(self.coach)
        return self.coach.get_by_text(re.compile(r"^http\S+/pad\?practice=\S+$")).first.inner_text().strip()

    def log_on_phones(self, practice: int) -> None:
        """Two assistants: each watches one player strike by strike, and is called the sets of the others."""
        addresses = [self.pass_for(logger) for logger in LOGGERS]
        half = (len(self.squad.players) + 1) // 2
        for place, address in enumerate(addresses):
            mine = self.squad.players[place * half : (place + 1) * half]
            context = phone_of(self.opened)
            phone = Phone.opening(context, address)
            if practice == NETWORK_LOST_AT and place == 0:
                phone.page.get_by_text("Ready to go offline").wait_for()
                context.set_offline(True)
            watched = mine[practice % len(mine)]
            self.tap_strikes(phone, watched, practice)
            if practice == KILLED_AT and place == 0:
                self.club.kill()
            self.call_sets(phone, mine, practice)
            if practice == KILLED_AT and place == 0:
                self.club.start()
            context.set_offline(False)
            phone.wait_until_stored()
            assert not phone.errors, phone.errors
            context.close()

    def tap_strikes(self, phone: Phone, player: str, practice: int) -> None:
        """One tap a strike, with the side of every miss, for both feet of a player."""
        for foot in Foot:
            struck = self.squad.strike(player, foot, practice=practice, strikes=SET)
            self.show_on_phone(phone, struck)
            phone.go_to("Tap")
            shirt = self.squad.players.index(player) + 1
            through = "through" if struck.stage.target.is_gate else "on target"
            for miss in struck.misses:
                phone.tap(f"{shirt} {player}, {foot.value} foot: {f'wide {miss}' if miss else through}")
                phone.page.wait_for_timeout(PAUSE_BETWEEN_PRESSES_MS)

    def call_sets(self, phone: Phone, players: Sequence[str], practice: int) -> None:
        """One tap a set, for every player and foot, stage by stage."""
        sets = [self.squad.strike(player, foot, practice=practice, strikes=SET) for foot in Foot for player in players]
        for struck in sorted(sets, key=lambda one: (one.stage.position, one.foot.value)):
            self.show_on_phone(phone, struck)
            phone.page.locator(f".call-out-view button.{struck.foot.value}").tap()
            phone.page.locator(".numbers").get_by_role("button", name=str(struck.on_target), exact=True).tap()
            phone.page.wait_for_timeout(PAUSE_BETWEEN_PRESSES_MS)

    def show_on_phone(self, phone: Phone, struck: Struck) -> None:
        """The stage and the player come up on the call-out view."""
        if phone.page.locator(".call-out-view").count() == 0:
            phone.go_to("Call-out")
        for _ in self.squad.ladder.stages:
            shown = self.squad.ladder.stage_named(phone.page.locator(".strip b").inner_text())
            assert shown is not None
            if shown == struck.stage:
                break
            phone.tap("Next stage" if shown.position < struck.stage.position else "Stage before")
            phone.page.wait_for_timeout(PAUSE_BETWEEN_PRESSES_MS)
        phone.page.locator(
            ".rows button", has_text=f"{self.squad.players.index(struck.player) + 1} {struck.player}"
        ).tap()

    def write_on_paper(self, practice: int) -> None:
        """Rain: the sets stand on a sheet, and the coach types them in with the keyboard."""
        self.show("reports", "Reports")
        self.coach.get_by_role("radio", name=re.compile("Type in")).click()
        settle(self.coach)
        self.choose_day(practice)
        for player in self.squad.players:
            total = 0
            for foot in Foot:
                struck = self.squad.strike(player, foot, practice=practice, strikes=SET)
                total += struck.on_target
                letter = foot.value[0].upper()
                self.coach.get_by_label(f"{player}, {letter} /{SET}", exact=True).first.fill(str(struck.on_target))
                letters = "".join(miss[0] for miss in struck.misses if miss)
                self.coach.get_by_label(f"{player}, {letter} misses", exact=True).fill(letters)
            self.coach.get_by_label(f"{player}, Sum", exact=True).fill(str(total))
        self.coach.get_by_role("button", name="Store this sheet").click()
        expect(self.coach.get_by_text(re.compile("^Stored: .* Every row adds up"))).to_be_visible()

    def review(self, practice: int) -> None:
        """The evening: the coach follows every suggestion of the ladder."""
        self.show("ladder", "Ladder")
        for _ in range(MOST_MOVES):
            move = self.coach.get_by_role("button", name=re.compile("^Move (on|back)$"))
            if move.count() == 0:
                return
            move.first.click()
            said = self.coach.get_by_text(re.compile(r"from now on\.$")).first
            said.wait_for()
            settle(self.coach)
            self._moved(said.inner_text(), practice)

    def _moved(self, said: str, practice: int) -> None:
        found = re.match(r"(?P<player>.+), (?P<foot>left|right) foot, practises (?P<stage>.+) from now on\.", said)
        assert found, said
        key = found["player"], Foot(found["foot"])
        left, reached = self.squad.works_at[key], self.squad.ladder.stage_named(found["stage"])
        assert reached is not None, said
        if reached.position > left.position:
            rate = self.squad.feet[key].rate(left, self.squad.progress(practice))
            self.calls.append(Call(player=key[0], foot=key[1], stage=left, practice=practice, true_rate=rate))
        self.squad.works_at[key] = reached


def rows(*command: str, database: Path) -> list[dict[str, Any]]:
    """What a reading command gives as JSON."""
    found: list[dict[str, Any]] = json.loads(strikeladder(*command, "--format", "json", "--db", str(database)))
    return found


@contextmanager
def season(folder: Path, *, players: int, practices: int, last_day: date | None = None) -> Iterator[Season]:
    """A club with a simulated squad, its server running, a coach's laptop on it."""
    ladder = next(one for one in shipped_ladders() if one.name == LADDER)
    squad = simulated_squad(ladder, players=players, practices=practices, seed=SEED)
    listed = folder / "players.csv"
    listed.write_text(
        "player,shirt_number,preferred_foot\n"
        + "".join(f"{name},{shirt},right\n" for shirt, name in enumerate(squad.players, start=1)),
        encoding="utf-8",
    )
    database = folder / "club.duckdb"
    strikeladder("init", "--squad", SQUAD, "--ladder", LADDER, "--players", str(listed), "--db", str(database))
    club = Club(database=database, practice_id=None)
    club.start()
    try:
        with browser() as opened:
            coach = opened.new_context(viewport={"width": 1280, "height": 800}).new_page()
            yield Season(
                club=club,
                squad=squad,
                coach=coach,
                opened=opened,
                last_day=last_day or datetime.now().astimezone().date(),
            )
    finally:
        club.stop()


def truth_table(played: Season) -> list[Held]:
    """The tool's answers beside the truth. The server must be down."""
    database = played.club.database
    accuracy = rows("accuracy", "--by", "player,foot,stage", database=database)
    assert counts_equal(played.squad, accuracy), "what is stored is not what was struck"
    return [
        rates_held(played.squad, accuracy),
        *aim_held(played.squad, rows("aim", database=database)),
        *changes_held(played.squad, rows("change", database=database)),
        *calls_held(played.squad, played.calls),
    ]


def close_season(played: Season, folder: Path) -> dict[str, object]:
    """After the last practice: backup, check, reports, hand-over into another club, and one player forgotten."""
    database, gone = played.club.database, played.squad.players[-1]
    strikeladder("backup", str(folder / "season.backup.duckdb"), "--db", str(database))  # while the server runs
    played.club.stop()
    reports = folder / "reports"
    strikeladder("report", "--out", str(reports), "--db", str(database))
    handed = folder / "squad.zip"
    strikeladder("hand-over", str(handed), "--db", str(database))
    other = folder / "other.duckdb"
    strikeladder("init", "--squad", SQUAD, "--ladder", LADDER, "--db", str(other))
    strikeladder("take-over", str(handed), "--db", str(other))
    ours, theirs = (rows("accuracy", "--by", "player,foot,stage", database=one) for one in (database, other))
    facts = ("player", "foot", "stage", "attempts", "on_target")
    assert [[row[fact] for fact in facts] for row in ours] == [[row[fact] for fact in facts] for row in theirs]
    strikeladder("forget", gone, "--yes", "--db", str(other))
    left = {row["player"] for row in rows("accuracy", "--by", "player", database=other)}
    assert gone not in left
    for one in (database, other):
        strikeladder("check", "--db", str(one))
    return {"reports": len(list(reports.glob("*.pdf"))), "forgotten": gone, "left": len(left)}


def main() -> None:
    """Plays the season and prints the table."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--practices", type=int, default=30)
    asked.add_argument("--players", type=int, default=16)
    asked.add_argument("--keep", type=Path)
    chosen = asked.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        folder = chosen.keep or Path(scratch)
        folder.mkdir(parents=True, exist_ok=True)
        with season(folder, players=chosen.players, practices=chosen.practices) as played:
            for practice in range(chosen.practices):
                begun = time.monotonic()
                played.play(practice)
                line = f"practice {practice + 1}: {time.monotonic() - begun:.0f} s, {len(played.calls)} moved on"
                print(line, flush=True)  # noqa: T201
            print(close_season(played, folder))  # noqa: T201
            table = truth_table(played)
        print("\n".join(one.line for one in table))  # noqa: T201
        sys.exit(not all(one.is_kept for one in table))


if __name__ == "__main__":
    main()
