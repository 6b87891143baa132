"""What of the plan is in hand: the next practice, the weeks ahead, or what became of plans."""

from __future__ import annotations

from enum import StrEnum

from tracker.report.language import _


class PlanView(StrEnum):
    """The parts of the Plan page; one at a time, so that the page stays short."""

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
