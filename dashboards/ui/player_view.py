"""What of a player's feet is looked at: one picture of each foot at a time, so that a page stays short."""

from __future__ import annotations

from enum import StrEnum

from tracker.report.language import _


class PlayerView(StrEnum):
    """The pictures of a foot."""

    READY = "ready"
    PRACTICES = "practices"
    AIM = "aim"
    DISTANCE = "distance"
    SETS = "sets"
    TWENTY = "twenty"


def view_words(view: PlayerView) -> str:
    """What is looked at, in a word or two."""
    return {
        PlayerView.READY: _("Readiness"),
        PlayerView.PRACTICES: _("Practices"),
        PlayerView.AIM: _("Aim"),
        PlayerView.DISTANCE: _("Distance"),
        PlayerView.SETS: _("First sets"),
        PlayerView.TWENTY: _("20 strikes"),
    }[view]
