"""The tables behind the pictures: frames of ``review`` in a reader's columns and words."""

from __future__ import annotations

from collections.abc import Sequence

import polars as pl

from tracker.domain.ladder import Ladder
from tracker.domain.practice import Placement
from tracker.domain.squad import Player, Season
from tracker.domain.vocabulary import Foot, LengthUnit
from tracker.report import glossary, readiness_words, wording
from tracker.report.glossary import all_terms, arrival_word, foot_word, foot_words, preferred_words, too_few
from tracker.report.language import _, pgettext, whole


def accuracy_table(accuracy: pl.DataFrame, *, heads: Sequence[str] = ("player", "foot")) -> pl.DataFrame:
    """Rates in words: the ``heads`` columns, then On target, Likely of 10, How sure, Practices and Counts as.

    *Counts as* is how many separate strikes the strikes of a few days are worth.
    """
    rows = [
        (
            *(foot_word(Foot(row[head])) if head == "foot" else row[head] for head in heads),
            wording.rate_words(row["on_target"], row["attempts"]),
            too_few() if row["attempts"] < glossary.TOO_FEW_BELOW else wording.of_ten_words(row["low"], row["high"]),
            glossary.confidence_words(row["attempts"], row["practices"]),
            row["practices"],
            round(row["effective_attempts"]),
        )
        for row in accuracy.iter_rows(named=True)
    ]
    words = (*(_split_head(head) for head in heads), _("On target"), _("Likely of 10"), _("How sure"))
    numbers = (_("Practices"), _("Counts as"))
    return pl.DataFrame(
        rows, schema={**dict.fromkeys(words, pl.String), **dict.fromkeys(numbers, pl.Int64)}, orient="row"
    )


def accuracy_by_side(accuracy: pl.DataFrame) -> pl.DataFrame:
    """One row per player, the left foot on the left: each foot's count, likely range and how sure, in words."""
    words = [" ".join(standing_lines(row)[:1]) for row in accuracy.iter_slices(1)]
    sides = accuracy.select("player", "foot").with_columns(pl.Series("words", words, dtype=pl.String))
    answer = sides.select(pl.col("player").unique(maintain_order=True))
    for foot in Foot:
        side = of_foot(sides, foot).select("player", pl.col("words").alias(foot_words(foot)))
        answer = answer.join(side, on="player", how="left", maintain_order="left")
    return answer.rename({"player": _("Player")})


def at_stage(accuracy: pl.DataFrame, stage: str | None) -> pl.DataFrame:
    """The rows of one stage of a frame split by stage; all rows when no stage is named."""
    return accuracy if stage is None else accuracy.filter(pl.col("stage") == stage)


def of_foot(frame: pl.DataFrame, foot: Foot) -> pl.DataFrame:
    """The rows of one foot."""
    return frame.filter(pl.col("foot") == foot.value)


def of_player(frame: pl.DataFrame, name: str) -> pl.DataFrame:
    """The rows of one player of a squad, by display name."""
    return frame.filter(player=name)


def current(board: pl.DataFrame) -> pl.DataFrame:
    """The rows of a ready board at the stage each foot works on now."""
    return board.filter("is_current")


def current_stage(board: pl.DataFrame) -> str | None:
    """The stage one foot of one player works on now, or None without strikes or a placement."""
    return next(iter(current(board)["stage"]), None)


def suggested_stage(board: pl.DataFrame) -> str | None:
    """The stage the tool would have one foot of one player work on next, or None."""
    return next(iter(current(board)["suggested_stage"]), None)


def standing_lines(accuracy: pl.DataFrame) -> list[str]:
    """One foot's accuracy in sentences: count and likely range, then how much the strikes tell."""
    if accuracy.is_empty():
        return [_("No strikes yet.")]
    row = accuracy.row(0, named=True)
    lines = (
        wording.standing_words(
            on_target=row["on_target"],
            attempts=row["attempts"],
            low=row["low"],
            high=row["high"],
            practices=row["practices"],
        ),
        wording.correlation_note(row["attempts"], row["effective_attempts"]),
    )
    return [line for line in lines if line]


def reasons(board: pl.DataFrame) -> tuple[str, list[str]]:
    """One foot's standing with its reason: at the stage it works on now, and at each other one."""
    if board.is_empty():
        nothing = _("Too few strikes to say: none yet; {fewest} at a stage are the least.")
        return nothing.format(fewest=glossary.TOO_FEW_BELOW), []
    rows = readiness_words.with_reasons(board).to_dicts()
    now = next((_("At {stage} now. {reason}").format(**row) for row in rows if row["is_current"]), "")
    return now, [f"{row['stage']}. {row['reason']}" for row in rows if not row["is_current"]]


def ready_table(board: pl.DataFrame) -> pl.DataFrame:
    """A ready board in two columns, to fit a phone: whose foot, and where it stands and why."""
    return readiness_words.with_reasons(board).select(
        pl.format("{}, {}", "player", _feet_in_words()).alias(_("Foot")),
        pl.format("{}. {}", "stage", "reason").alias(_("Where it stands, and why")),
    )


def coverage_table(coverage: pl.DataFrame) -> pl.DataFrame:
    """Strikes counted so far, one row per player: Shirt, Player, Left, Right. Counts only, no rates."""
    feet = coverage.pivot("foot", index=["player", "shirt_number"], values="attempts", maintain_order=True)
    return feet.select(
        pl.col("shirt_number").alias(_("Shirt")),
        pl.col("player").alias(_("Player")),
        pl.col(Foot.LEFT.value).alias(pgettext("foot", "Left")),
        pl.col(Foot.RIGHT.value).alias(pgettext("foot", "Right")),
    )


def missing_words(coverage: pl.DataFrame) -> str:
    """Who has no strike yet in this practice, with which foot where it is only one; counts only."""
    silent = coverage.filter(pl.col("attempts") == 0).group_by("player", maintain_order=True).agg("foot")
    if not silent.height:
        return _("Everyone has strikes with both feet.")
    if silent.filter(pl.col("foot").list.len() == len(Foot)).height == coverage["player"].n_unique():
        return _("Nobody has a strike yet.")
    names = [
        row["player"] if len(row["foot"]) == len(Foot) else f"{row['player']} ({foot_word(Foot(row['foot'][0]))})"
        for row in silent.iter_rows(named=True)
    ]
    return _("No strike yet: {names}.").format(names=", ".join(names).removesuffix("."))


def logged_lines(logged: pl.DataFrame, *, unit: LengthUnit) -> list[tuple[str, list[str]]]:
    """What was logged, one line a tap or a called set, with the ids of its strikes, the latest first."""
    return [
        (
            wording.logged_words(
                player=row["player"],
                foot=Foot(row["foot"]),
                what=wording.what_happened(row),
                stage=row["stage"],
                distance=wording.length_words(row["distance_m"], unit) if row["distance_m"] is not None else None,
                struck_at=row["struck_at"],
            ),
            list(row["strike_ids"]),
        )
        for row in logged.iter_rows(named=True)
    ]


def ladder_table(ladder: Ladder, *, unit: LengthUnit) -> pl.DataFrame:
    """The stages of a ladder, with the angle each target shows and the rates of *not yet* and *ready*."""
    rows = [
        (
            stage.position,
            stage.name,
            arrival_word(stage.ball_arrival),
            wording.target_words(stage.target, unit),
            wording.length_words(stage.distance_m, unit),
            f"{stage.angular_width_deg:.0f}°",
            _(", then ").join(str(size) for size in stage.set_sizes),
            wording.share_words(stage.p_not_yet),
            wording.share_words(stage.p_ready),
        )
        for stage in ladder.stages
    ]
    heads = (
        *(_("Stage"), _("Name"), _("Ball"), _("Target"), pgettext("distance", "From"), _("Angle")),
        *(_("Sets a foot"), _("Not yet"), _("Ready")),
    )
    return pl.DataFrame(rows, schema=heads, orient="row")


def placements_table(placements: Sequence[Placement]) -> pl.DataFrame:
    """A player's placements, the latest first: Date, Foot, Placed at, What the tool said, Note."""
    rows = [
        (
            wording.date_words(one.placed_at),
            foot_word(one.foot),
            one.stage,
            wording.suggestion_words(one.suggested_stage, one.suggested_status),
            one.note or "",
        )
        for one in reversed(placements)
    ]
    heads = (_("Date"), _("Foot"), _("Placed at"), _("The tool said"), _("Note"))
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")


def players_table(players: Sequence[Player]) -> pl.DataFrame:
    """The players of a squad: Shirt, Player, Prefers, Born, In the squad."""
    rows = [
        (
            player.shirt_number,
            player.display_name,
            preferred_words(player.preferred_foot),
            player.birth_year,
            _("yes") if player.active else pgettext("the squad", "left"),
        )
        for player in players
    ]
    heads = (_("Shirt"), _("Player"), _("Prefers"), _("Born"), _("In the squad"))
    kinds = (pl.Int64, pl.String, pl.String, pl.Int64, pl.String)
    return pl.DataFrame(rows, schema=dict(zip(heads, kinds, strict=True)), orient="row")


def seasons_table(seasons: Sequence[Season]) -> pl.DataFrame:
    """The seasons: Season, First day, Last day."""
    rows = [(one.name, wording.date_words(one.starts_on), wording.date_words(one.ends_on)) for one in seasons]
    return pl.DataFrame(
        rows, schema=dict.fromkeys((_("Season"), _("First day"), _("Last day")), pl.String), orient="row"
    )


def glossary_table() -> pl.DataFrame:
    """Every word of status, range, certainty and verdict beside what it means."""
    return pl.DataFrame(all_terms(), schema=dict.fromkeys((_("Word"), _("Meaning")), pl.String), orient="row")


def promise_table(promised: pl.DataFrame) -> pl.DataFrame:
    """A frame of ``review.ready_rule.promise`` in words: Real rate, Ready line, 8 of 10 once, 8 of the last 10 after
    every set, and the strikes after which half are ready."""
    rows = [
        (
            wording.share_words(row["rate"]),
            wording.of_a_hundred_words(row["called_ready"]),
            wording.of_a_hundred_words(row["eight_of_ten"]),
            wording.of_a_hundred_words(row["eight_of_last_ten"]),
            "" if row["median_strikes"] is None else whole(row["median_strikes"]),
        )
        for row in promised.iter_rows(named=True)
    ]
    heads = (
        *(_("Real rate"), _("Ready line"), _("8 of 10, once"), _("8 of the last 10, always")),
        _("Half ready after strikes"),
    )
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")


def _split_head(head: str) -> str:
    return {"player": _("Player"), "foot": _("Foot"), "stage": _("Stage")}.get(head, head.capitalize())


def _feet_in_words() -> pl.Expr:
    return pl.col("foot").cast(pl.String).replace({foot.value: foot_word(foot) for foot in Foot})
