"""What of a page is in hand: one part at a time, so that a page stays short."""

from __future__ import annotations

from enum import StrEnum

from tracker.report.language import _


class PlayerView(StrEnum):
    """The pictures of a foot on the Player page."""

    READY = "ready"
    PRACTICES = "practices"
    AIM = "aim"
    DISTANCE = "distance"
    SETS = "sets"
    TWENTY = "twenty"


def player_view_words(view: PlayerView) -> str:
    """What is looked at, in a word or two."""
    return {
        PlayerView.READY: _("Ready line"),
        PlayerView.PRACTICES: _("Practices"),
        PlayerView.AIM: _("Aim"),
        PlayerView.DISTANCE: _("Distance"),
        PlayerView.SETS: _("First sets"),
        PlayerView.TWENTY: _("20 strikes"),
    }[view]


class PlanView(StrEnum):
    """The parts of the Plan page."""

    PRACTICE = "practice"
    WEEKS = "weeks"
    HAPPENED = "happened"


def plan_view_words(view: PlanView) -> str:
    """A part in a few words."""
    return {
        PlanView.PRACTICE: _("Next practice"),
        PlanView.WEEKS: _("Weeks ahead"),
        PlanView.HAPPENED: _("Afterwards"),
    }[view]


class ReportView(StrEnum):
    """The parts of the Reports page."""

    SEASON = "season"
    SHEET = "sheet"
    TYPE_IN = "type in"
    HAND_OVER = "hand over"


def report_view_words(view: ReportView) -> str:
    """A part in a few words."""
    return {
        ReportView.SEASON: _("Season reports"),
        ReportView.SHEET: _("Print a sheet"),
        ReportView.TYPE_IN: _("Type in a sheet"),
        ReportView.HAND_OVER: _("Hand over"),
    }[view]
