"""Everything the dashboard remembers during a visit: the only module that touches ``st.session_state``.

A slot that a widget fills is named here and given to the widget as ``key=slot.key``.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final, Generic, Literal, TypeVar
from uuid import UUID

import streamlit as st
from streamlit.runtime.uploaded_file_manager import UploadedFile

from dashboards.ui.import_outcome import ImportOutcome
from dashboards.ui.notice import Notice
from dashboards.ui.packed import Packed
from dashboards.ui.plan_draft import PlanDraft
from dashboards.ui.views import PlanView, PlayerView, ReportView
from tracker.domain.ladder import Stage
from tracker.domain.standards import Federation
from tracker.domain.vocabulary import ExportWhat, Foot, Language, LengthUnit, Paper, PreferredFoot, Surface
from tracker.plan.request import FootPhase
from tracker.review.backups import BackupRecord
from tracker.review.pad import PadPass

T = TypeVar("T")
Nothing = Literal[""]
NOTHING: Final[Nothing] = ""
"""The choice of nothing in a list of choices: None would read as "not chosen yet"."""


@dataclass(frozen=True, slots=True)
class Slot(Generic[T]):
    """One remembered value of one visit."""

    key: str

    def value(self) -> T | None:
        """The value, or None when nothing is remembered."""
        remembered: T | None = st.session_state.get(self.key)
        return remembered

    def put(self, value: T | None) -> None:
        """Remembers a value. For a widget's slot only before the widget is drawn, or in a callback."""
        st.session_state[self.key] = value

    def forget(self) -> None:
        """Remembers nothing, so that a widget starts from its default again."""
        st.session_state.pop(self.key, None)


NOTICE: Slot[Notice] = Slot("notice")

SQUAD: Slot[UUID] = Slot("squad")
LOOKED_AT: Slot[dict[str, str]] = Slot("looked_at")
SEASON: Slot[UUID | Nothing] = Slot("season")
STAGE_SHOWN: Slot[str] = Slot("stage_shown")
SURFACE_SHOWN: Slot[Surface | Nothing] = Slot("surface_shown")
FIRST_DAY_SHOWN: Slot[date] = Slot("first_day_shown")
LAST_DAY_SHOWN: Slot[date] = Slot("last_day_shown")
STAGE_PROMISED: Slot[str] = Slot("stage_promised")
PLAYER_SHOWN: Slot[UUID] = Slot("player_shown")
PLAYER_VIEW: Slot[PlayerView] = Slot("player_view")
MONTH_SHOWN: Slot[str] = Slot("month_shown")
PLAYER_DECIDED: Slot[UUID] = Slot("player_decided")
FOOT_DECIDED: Slot[Foot] = Slot("foot_decided")
NOTE: Slot[str] = Slot("note")
LOGGER: Slot[str] = Slot("logger")
PASS_GIVEN: Slot[PadPass] = Slot("pass_given")
"""The pass just given out, the only place its token is kept; forgotten with the visit."""

PRACTICE_DAY: Slot[date] = Slot("practice_day")
PRACTICE: Slot[UUID] = Slot("practice")
PRACTICE_LABEL: Slot[str] = Slot("practice_label")

STRIKER: Slot[UUID] = Slot("striker")
FOOT: Slot[Foot] = Slot("foot")
STAGE: Slot[str] = Slot("stage")
SURFACE: Slot[Surface | Nothing] = Slot("surface")

PLAN_VIEW: Slot[PlanView] = Slot("plan_view")
PLAN_DAY: Slot[date] = Slot("plan_day")
PLAN_MINUTES: Slot[int] = Slot("plan_minutes")
PLAN_PRESENT: Slot[list[UUID]] = Slot("plan_present")
PLAN_GATES: Slot[int] = Slot("plan_gates")
PLAN_FLAGS: Slot[int] = Slot("plan_flags")
PLAN_CONES: Slot[int] = Slot("plan_cones")
PLAN_GOALS: Slot[int] = Slot("plan_goals")
PLAN_GOAL_WIDTH: Slot[float] = Slot("plan_goal_width")
PLAN_BALLS: Slot[int] = Slot("plan_balls")
PLAN_WIDTH: Slot[float] = Slot("plan_width")
PLAN_LOGGERS: Slot[int] = Slot("plan_loggers")
PLAN_FEDERATION: Slot[Federation | Nothing] = Slot("plan_federation")
PLAN_AGE: Slot[int] = Slot("plan_age")
PLAN_PHASE: Slot[FootPhase | Nothing] = Slot("plan_phase")
PLAN_DRAFT: Slot[PlanDraft] = Slot("plan_draft")
PLAN_BLOCK: Slot[int] = Slot("plan_block")
PLAN_PLAYER: Slot[str] = Slot("plan_player")
PLAN_FOOT: Slot[Foot] = Slot("plan_foot")
PLAN_HAPPENED: Slot[UUID] = Slot("plan_happened")
BLOCK_STARTS: Slot[date] = Slot("block_starts")
BLOCK_WEEKS: Slot[int] = Slot("block_weeks")
BLOCK_PRACTICES: Slot[int] = Slot("block_practices")
BLOCK_OTHER_FOOT: Slot[int] = Slot("block_other_foot")

REPORT_VIEW: Slot[ReportView] = Slot("report_view")
REPORTED: Slot[UUID] = Slot("reported")
SEASON_REPORTED: Slot[UUID] = Slot("season_reported")
PLAYERS_REPORTED: Slot[list[UUID]] = Slot("players_reported")
PAPER: Slot[Paper] = Slot("paper")
WITH_WEB: Slot[bool] = Slot("with_web")
REPORTS_PACKED: Slot[Packed] = Slot("reports_packed")
SHEET_DAY: Slot[date] = Slot("sheet_day")
HANDED_OVER: Slot[list[UUID]] = Slot("handed_over")
WITH_NOTES: Slot[bool] = Slot("with_notes")
TAKEN_OVER: Slot[UploadedFile] = Slot("taken_over")
BACKUP_TAKEN: Slot[BackupRecord] = Slot("backup_taken")

PLAYER_PRIVATE: Slot[UUID] = Slot("player_private")
KEEP_NUMBERS: Slot[bool] = Slot("keep_numbers")
CLEAN_TEXTS: Slot[bool] = Slot("clean_texts")
NAME_FORGOTTEN: Slot[str] = Slot("name_forgotten")
RETENTION_MONTHS: Slot[int] = Slot("retention_months")
REPORTS_NOTED: Slot[set[tuple[UUID, UUID]]] = Slot("reports_noted")
"""The players and seasons whose report was looked at in this visit, so that each is noted once."""

SQUAD_NAME: Slot[str] = Slot("squad_name")
SQUAD_LADDER: Slot[str] = Slot("squad_ladder")
PLAYER_EDITED: Slot[UUID | Nothing] = Slot("player_edited")
SEASON_NAME: Slot[str] = Slot("season_name")
SEASON_STARTS: Slot[date] = Slot("season_starts")
SEASON_ENDS: Slot[date] = Slot("season_ends")
UNIT: Slot[LengthUnit] = Slot("unit")
LANGUAGE: Slot[Language] = Slot("language")
LADDER_FILE: Slot[UploadedFile] = Slot("ladder_file")
LADDER_NAME: Slot[str] = Slot("ladder_name")
PLAYERS_FILE: Slot[UploadedFile] = Slot("players_file")
STRIKES_FILE: Slot[UploadedFile] = Slot("strikes_file")
MAKE_PLAYERS: Slot[bool] = Slot("make_players")
SKIP_BAD_ROWS: Slot[bool] = Slot("skip_bad_rows")
IMPORT_OUTCOME: Slot[ImportOutcome] = Slot("import_outcome")
EXPORT_WHAT: Slot[ExportWhat] = Slot("export_what")
EXPORT_ENDING: Slot[str] = Slot("export_ending")


def distances_shown(unit: LengthUnit) -> Slot[tuple[int, int]]:
    """The span of distances looked at, in whole yards or metres."""
    return Slot(f"distances_shown:{unit.value}")


def plan_lane(block: int, player: str, now: str) -> Slot[str]:
    """Where a player is to work in a block of the plan, who is in the lane ``now``."""
    return Slot(f"plan_lane:{block}:{player}:{now}")


def plan_sets(block: int, player: str, foot: Foot, now: str) -> Slot[str]:
    """The sets typed for one foot in a block of the plan, whose work is ``now``."""
    return Slot(f"plan_sets:{block}:{player}:{foot.value}:{now}")


def plan_distance(block: int, player: str, foot: Foot, now: str) -> Slot[float]:
    """The distance typed for it, in the reader's unit."""
    return Slot(f"plan_distance:{block}:{player}:{foot.value}:{now}")


def distance_at(stage: Stage | None) -> Slot[float]:
    """The distance typed for strikes at a stage, in the reader's unit."""
    return Slot(f"distance:{stage.name if stage else None}")


def set_size_at(stage: Stage | None) -> Slot[int]:
    """The strikes a called set has at a stage."""
    return Slot(f"set_size:{stage.name if stage else None}")


def called_set(player_id: UUID, foot: Foot) -> Slot[int]:
    """What a player called out for a set with a foot; None for nothing."""
    return Slot(f"called:{player_id}:{foot.value}")


def is_same_player(player_id: UUID) -> Slot[bool]:
    """Whether a newcomer is the player here of the same name."""
    return Slot(f"is_same_player:{player_id}")


def newcomer_name(player_id: UUID) -> Slot[str]:
    """The other name a newcomer gets here."""
    return Slot(f"newcomer_name:{player_id}")


def coach_words_on(player_id: UUID, season_id: UUID) -> Slot[str]:
    """The coach's words for a player's season, as they are typed."""
    return Slot(f"coach_words:{player_id}:{season_id}")


def paper_set(player_id: UUID, foot: Foot, number: int) -> Slot[int]:
    """What the sheet says of one set of a player's foot; None for nothing."""
    return Slot(f"paper:{player_id}:{foot.value}:{number}")


def paper_misses(player_id: UUID, foot: Foot) -> Slot[str]:
    """The sides of misses on the sheet, as letters."""
    return Slot(f"paper_misses:{player_id}:{foot.value}")


def paper_sum(player_id: UUID) -> Slot[int]:
    """The sum the sheet gives for a player; None for nothing."""
    return Slot(f"paper_sum:{player_id}")


def stage_looked_at(player_id: UUID, foot: Foot) -> Slot[str]:
    """The stage whose evidence is shown for a player's foot."""
    return Slot(f"stage_looked_at:{player_id}:{foot.value}")


def placed_at(player_id: UUID, foot: Foot) -> Slot[str]:
    """The stage a coach is about to place a player's foot at."""
    return Slot(f"placed_at:{player_id}:{foot.value}")


def note_on(player_id: UUID, foot: Foot) -> Slot[str]:
    """The note beside that placement."""
    return Slot(f"note:{player_id}:{foot.value}")


@dataclass(frozen=True, slots=True)
class PlayerForm:
    """The fields of a form about one player, or about a new one (``of`` is None)."""

    of: UUID | None

    @property
    def name(self) -> Slot[str]:
        """Display name."""
        return Slot(f"player_name:{self.of}")

    @property
    def shirt(self) -> Slot[int]:
        """Shirt number."""
        return Slot(f"player_shirt:{self.of}")

    @property
    def birth_year(self) -> Slot[int]:
        """Year of birth."""
        return Slot(f"player_birth_year:{self.of}")

    @property
    def preferred(self) -> Slot[PreferredFoot]:
        """Preferred foot."""
        return Slot(f"player_preferred:{self.of}")

    @property
    def active(self) -> Slot[bool]:
        """Whether the player plays in the squad now."""
        return Slot(f"player_active:{self.of}")

    def forget(self) -> None:
        """Empties every field."""
        for slot in (self.name, self.shirt, self.birth_year, self.preferred, self.active):
            slot.forget()
