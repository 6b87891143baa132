"""What a coach reads before taking in a hand-over."""

from __future__ import annotations

import polars as pl

from tracker.report import wording
from tracker.report.language import _
from tracker.review.take_over import HandOverPreview, Match


def preview_lines(found: HandOverPreview) -> list[str]:
    """What would come in, in sentences."""
    lines = [
        _("Made on {day}, for squad {squad}.").format(day=wording.date_words(found.made_at), squad=found.squad_name),
        _("{strikes} in {practices}; {new} are not here yet.").format(
            strikes=wording.counted(found.strikes, "strike"),
            practices=wording.counted(found.practices, "practice"),
            new=found.new_strikes,
        ),
        _("What is here already stays as it is."),
    ]
    if found.unknown_stages:
        lines.append(
            _(
                "Stages your ladder does not have (their strikes count, but towards none of its stages): {stages}."
            ).format(stages=", ".join(found.unknown_stages))
        )
    return lines


def incoming_table(found: HandOverPreview) -> pl.DataFrame:
    """Who comes in: Player, Strikes, Here."""
    rows = [(one.player.display_name, one.strikes, match_words(one.match)) for one in found.players]
    heads = {_("Player"): pl.String, _("Strikes"): pl.Int64, _("Here"): pl.String}
    return pl.DataFrame(rows, schema=heads, orient="row")


def match_words(match: Match) -> str:
    """Who an incoming player is here."""
    return {
        Match.NEW: _("new"),
        Match.HERE: _("here already"),
        Match.SAME_NAME: _("somebody here has this name"),
    }[match]
