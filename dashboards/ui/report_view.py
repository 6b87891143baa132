"""What of the paper is in hand: the reports, a sheet to print, a sheet to type in, or a hand-over."""

from __future__ import annotations

from enum import StrEnum

from tracker.report.language import _


class ReportView(StrEnum):
    """The parts of the Reports page; one at a time, so that the page stays short."""

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
