"""The choices pages share: squad, season, player, stage, surface, distances and days. All stand in the address."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import cast
from uuid import UUID

import streamlit as st

from dashboards.parts.squad_form import make_squad_form
from dashboards.ui import filters, look, state
from dashboards.ui.answers import asked
from dashboards.ui.escape import plain
from dashboards.ui.filters import Distances, Part
from tracker.domain.ladder import Ladder
from tracker.domain.squad import Player, Season, Squad
from tracker.domain.vocabulary import LengthUnit, Surface
from tracker.report import glossary, language, wording
from tracker.report.language import _
from tracker.review import club
from tracker.review.scope import Scope
from tracker.store.database import Database


def choose_squad(database: Database) -> Squad:
    """The squad in view; where there is none yet, the page is a form to make one."""
    squads = {squad.squad_id: squad for squad in asked(club.squads, database)}
    if not squads:
        st.info(_("There is no squad yet. Make one first: a name is enough."))
        make_squad_form(database)
        st.stop()
    named = _named(Part.SQUAD, squads)
    if len(squads) == 1:
        return next(iter(squads.values()))
    state.SQUAD.put(named or next(iter(squads)))
    chosen = st.selectbox(
        _("Squad"),
        list(squads),
        format_func=lambda one: squads[one].name,
        key=state.SQUAD.key,
        on_change=_keep,
        args=(Part.SQUAD, state.SQUAD),
    )
    return squads[chosen]


def choose_scope(database: Database, squad: Squad) -> Scope:
    """What is looked at: season, stage, surface, distances and days, with a clear sign when anything is left out."""
    ladder, unit = asked(club.ladder_of, database, squad), asked(club.length_unit, database)
    with st.expander(_("Filters: season, stage, surface, distance, days")):  # closed, so that a phone shows the answer
        season_column, stage_column, surface_column = st.columns(3)
        with season_column:
            season = _choose_season(database)
        with stage_column:
            stage = _choose_stage(ladder)
        with surface_column:
            surface = _choose_surface()
        distances = _choose_distances(unit)
        first_day, last_day = _choose_days()
    scope = Scope(
        squad=squad,
        season=season,
        stage=stage,
        surface=surface,
        nearest_m=distances.nearest_m,
        farthest_m=distances.farthest_m,
        first_day=first_day,
        last_day=last_day,
    )
    with st.container():  # there even when empty, so that nothing below it closes
        _filtered_sign(scope, unit)
    return scope


def choose_player(players: list[Player], slot: state.Slot[UUID], label: str | None = None) -> Player:
    """One of the players, who must be at least one. The player a page is about stands in the address."""
    by_id = {player.player_id: player for player in players}
    is_shown = slot is state.PLAYER_SHOWN
    if is_shown:
        slot.put(_named(Part.PLAYER, by_id) or next(iter(by_id)))
    chosen = st.selectbox(
        label or _("Player"),
        list(by_id),
        format_func=lambda one: shirt_and_name(by_id[one]),
        key=slot.key,
        on_change=_keep if is_shown else "rerun",
        args=(Part.PLAYER, slot) if is_shown else None,
        persist_state=None if is_shown else "session",
    )
    return by_id[chosen]


def squad_players(database: Database, squad: Squad) -> list[Player]:
    """The active players, by shirt and name; where there are none, the page says what to do and stops."""
    players = [player for player in asked(club.players, database, squad) if player.active]
    if not players:
        st.info(_("This squad has no players yet. Add them on the Setup page, one by one or from a file."))
        st.page_link("screens/setup.py", label=_("Add players on the Setup page"))
        st.stop()
    return players


def shirt_and_name(player: Player) -> str:
    """A player as a list shows them."""
    shirt = "" if player.shirt_number is None else _(" (shirt {number})").format(number=player.shirt_number)
    left = "" if player.active else f" ({_('left the squad')})"
    return f"{player.display_name}{shirt}{left}"


def _choose_season(database: Database) -> Season | None:
    seasons: dict[UUID | str, Season] = {season.season_id: season for season in asked(club.seasons, database)}
    state.SEASON.put(_named(Part.SEASON, seasons) or state.NOTHING)
    options: list[UUID | str] = [state.NOTHING, *seasons]
    chosen = st.selectbox(
        _("Season"),
        options,
        format_func=lambda one: seasons[one].name if one else _("All seasons"),
        key=state.SEASON.key,
        on_change=_keep,
        args=(Part.SEASON, state.SEASON),
    )
    return seasons.get(chosen)


def _choose_stage(ladder: Ladder) -> str | None:
    names = {stage.name: stage.name for stage in ladder.stages}
    state.STAGE_SHOWN.put(filters.read(Part.STAGE, names.get) or state.NOTHING)
    chosen = st.selectbox(
        _("Stage"),
        [state.NOTHING, *names],
        format_func=lambda name: name or _("All stages together"),
        key=state.STAGE_SHOWN.key,
        on_change=_keep,
        args=(Part.STAGE, state.STAGE_SHOWN),
    )
    return chosen or None


def _choose_surface() -> Surface | None:
    by_value = {surface.value: surface for surface in Surface}
    state.SURFACE_SHOWN.put(filters.read(Part.SURFACE, by_value.get) or state.NOTHING)
    options: list[Surface | state.Nothing] = [state.NOTHING, *Surface]
    chosen = st.selectbox(
        _("Surface"),
        options,
        format_func=lambda one: glossary.surface_words(one) if one else _("All surfaces"),
        key=state.SURFACE_SHOWN.key,
        on_change=_keep,
        args=(Part.SURFACE, state.SURFACE_SHOWN),
    )
    return chosen or None


def _choose_distances(unit: LengthUnit) -> Distances:
    named = filters.read(Part.DISTANCES, filters.parsed_distances)
    now = named.in_unit(unit) if named else filters.everywhere(unit)
    slot = state.distances_shown(unit)
    end = filters.FARTHEST[unit]
    slot.put((min(now.nearest, end), min(now.farthest, end)))
    chosen = st.slider(
        _("Distance in {unit}").format(unit=glossary.unit_words(unit)),
        0,
        filters.FARTHEST[unit],
        key=slot.key,
        on_change=_keep_distances,
        args=(slot, unit),
        help=_("At the far end: and beyond."),
    )
    nearest, farthest = cast("tuple[int, int]", chosen)
    return Distances(nearest=nearest, farthest=farthest, unit=unit)


def _choose_days() -> tuple[date | None, date | None]:
    first_day, last_day = (filters.read(part, filters.parsed_day) for part in (Part.FIRST_DAY, Part.LAST_DAY))
    if first_day and last_day and last_day < first_day:
        filters.write(Part.LAST_DAY, None)
        st.warning(_("The last day is before the first day, so it is left out."))
        last_day = None
    chosen = []
    for column, part, slot, label, day in zip(
        st.columns(2),
        (Part.FIRST_DAY, Part.LAST_DAY),
        (state.FIRST_DAY_SHOWN, state.LAST_DAY_SHOWN),
        (_("From"), _("To")),
        (first_day, last_day),
        strict=True,
    ):
        slot.put(day)
        field = column.date_input(
            label,
            key=slot.key,
            format=language.date_field(),
            on_change=_keep,
            args=(part, slot),
            min_value=filters.EARLIEST_DAY,
            max_value=filters.LATEST_DAY,
        )
        chosen.append(field if isinstance(field, date) else None)
    return chosen[0], chosen[1]


def _filtered_sign(scope: Scope, unit: LengthUnit) -> None:
    """Says what is left out, and takes it back with one press; nothing when nothing is."""
    words = wording.filter_words(scope, unit)
    if not words:
        return
    with st.container(key=look.FILTERED, horizontal=True, vertical_alignment="center"):
        st.markdown(f"**{_('Filtered')}:** {plain(words)}", width="stretch")
        st.button(_("Show everything"), on_click=filters.clear)
    if scope != scope.every_strike:
        st.caption(_("Ready scores and the ladder board always count every stage, surface and distance."))


def _named(part: Part, known: Mapping[UUID, object] | Mapping[UUID | str, object]) -> UUID | None:
    """The id the address names, when it is a known one."""
    by_text = {str(one): one for one in known}
    found = filters.read(part, by_text.get)
    return found if isinstance(found, UUID) else None


def _keep(part: Part, slot: state.Slot[object]) -> None:
    filters.write(part, slot.value())


def _keep_distances(slot: state.Slot[tuple[int, int]], unit: LengthUnit) -> None:
    nearest, farthest = slot.value() or (0, filters.FARTHEST[unit])
    distances = Distances(nearest=nearest, farthest=farthest, unit=unit)
    filters.write(Part.DISTANCES, None if distances.is_everything else distances)
