"""A player or a squad changes coach: what is known goes along in one file (``review.take_over`` takes it in)."""

from __future__ import annotations

from collections.abc import Sequence

import polars as pl

from tracker import __version__
from tracker.domain.squad import Player, Squad
from tracker.errors import RequestError
from tracker.intake.hand_over_file import new_manifest, packed_hand_over
from tracker.review import club
from tracker.store.database import Database
from tracker.store.export import everything


def hand_over(
    database: Database, squad: Squad, *, players: Sequence[Player] | None = None, with_notes: bool = False
) -> bytes:
    """The file that hands players over, all active ones of a squad or some: their strikes that count, placements and
    practices; notes and the coach's words only when asked for. Raises RequestError for nobody."""
    chosen = [one for one in club.players(database, squad) if one.active] if players is None else list(players)
    if not chosen:
        raise RequestError("There is nobody to hand over.")
    ids = [str(one.player_id) for one in chosen]
    tables = {
        name: frame.filter(pl.col("player_id").cast(pl.String).is_in(ids))
        for name, frame in everything(database).items()
        if "player_id" in frame.columns
    }
    void = everything(database)["corrections"]["strike_id"].cast(pl.String).to_list()
    strikes = tables["strikes"].filter(~pl.col("strike_id").cast(pl.String).is_in(void))
    held = strikes["practice_id"].cast(pl.String).unique().to_list()
    practices = everything(database)["practices"].filter(pl.col("practice_id").cast(pl.String).is_in(held))
    placements = tables["placements"].filter(pl.col("withdrawn_at").is_null())
    if not with_notes:
        practices = practices.with_columns(pl.lit(None, dtype=pl.String).alias("notes"))
        placements = placements.with_columns(pl.lit(None, dtype=pl.String).alias("note"))
    return packed_hand_over(
        new_manifest(made_by=__version__, squad=squad.name, ladder=squad.ladder_name, with_notes=with_notes),
        ladder_text=club.ladder_text(database, squad),
        tables={
            "players": tables["players"],
            "practices": practices,
            "strikes": strikes,
            "placements": placements,
            "coach_words": tables["coach_words"] if with_notes else pl.DataFrame(),
        },
    )
