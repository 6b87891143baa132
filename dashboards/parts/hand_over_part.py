"""Handing players over to another coach, and taking in what another coach handed over."""

from __future__ import annotations

from uuid import UUID

import streamlit as st

from dashboards.ui import messages, person, state
from dashboards.ui.escape import plain
from dashboards.ui.table import show_table
from tracker.domain.squad import Player, Squad
from tracker.domain.vocabulary import AuditEvent
from tracker.errors import RequestError
from tracker.report import hand_over_words, wording
from tracker.report.language import _
from tracker.report.printed.files import safe_stem
from tracker.review.hand_over import hand_over
from tracker.review.take_over import Decisions, HandOverPreview, Incoming, preview_hand_over, take_over
from tracker.store.database import Database


def hand_over_part(database: Database, squad: Squad, players: list[Player]) -> None:
    """Out on one side, in on the other."""
    out, into = st.columns(2, gap="large")
    with out:
        _hand_over(database, squad, players)
    with into:
        _take_over(database, squad)


def _hand_over(database: Database, squad: Squad, players: list[Player]) -> None:
    st.subheader(_("To another coach"))
    names = {player.player_id: player.display_name for player in players}
    chosen = st.multiselect(
        _("Players (nobody chosen: all of them)"),
        list(names),
        format_func=lambda one: plain(names[one]),
        key=state.HANDED_OVER.key,
    )
    with_notes = st.checkbox(_("Take my notes and my words for reports along"), key=state.WITH_NOTES.key)
    going = [one for one in players if one.player_id in (chosen or names)]
    whom = going[0].display_name if len(going) == 1 else squad.name
    st.download_button(
        _("Download the hand-over"),
        data=lambda: _handed_over(database, squad, going, with_notes=with_notes),
        file_name=f"{safe_stem(_('Hand-over {name}').format(name=whom))}.zip",
        type="primary",
        on_click="ignore",
    )
    st.caption(_("One zip with strikes, practices and placements. It names children: give it to the next coach alone."))


def _handed_over(database: Database, squad: Squad, players: list[Player], *, with_notes: bool) -> bytes:
    content = hand_over(database, squad, players=players, with_notes=with_notes)
    person.note(database, AuditEvent.HAND_OVER, players=players)
    return content


def _take_over(database: Database, squad: Squad) -> None:
    st.subheader(_("From another coach"))
    uploaded = st.file_uploader(_("Hand-over file"), type=["zip"], key=state.TAKEN_OVER.key)
    if uploaded is None:
        messages.show()
        return
    found = preview_hand_over(database, uploaded.getvalue(), source=uploaded.name, squad=squad)
    for line in hand_over_words.preview_lines(found):
        st.text(line)
    show_table(hand_over_words.incoming_table(found), label=_("Who comes in"))
    for one in found.to_decide:
        _decide(one)
    st.button(
        _("Store it"),
        type="primary",
        on_click=_store,
        args=(database, squad, uploaded.name, uploaded.getvalue(), found),
    )


def _decide(one: Incoming) -> None:
    """Asks whether a newcomer is the player here of the same name."""
    name = plain(one.player.display_name)
    st.radio(
        _("Somebody here is called {name} too. Who is it?").format(name=name),
        [True, False],
        format_func=lambda is_same: _("the same player") if is_same else _("somebody else, with another name here"),
        index=None,
        key=state.is_same_player(one.player.player_id).key,
    )
    st.text_input(
        _("Another name for the newcomer"), key=state.newcomer_name(one.player.player_id).key, placeholder=f"{name} K."
    )


def _decisions(found: HandOverPreview) -> Decisions:
    """What was said about each namesake. Raises RequestError where nothing was."""
    decided: dict[UUID, Player | str] = {}
    for one in found.to_decide:
        is_same = state.is_same_player(one.player.player_id).value()
        name = (state.newcomer_name(one.player.player_id).value() or "").strip()
        if is_same is None or (not is_same and not name):
            raise RequestError(
                _("Say first whether {name} is the same, or give another name.").format(name=one.player.display_name)
            )
        decided[one.player.player_id] = one.namesake if is_same and one.namesake else name
    return decided


def _store(database: Database, squad: Squad, source: str, content: bytes, found: HandOverPreview) -> None:
    def stored() -> str:
        taken = take_over(database, content, source=source, squad=squad, decisions=_decisions(found))
        person.note(database, AuditEvent.TAKE_OVER, detail=f"{taken.players} new players, {taken.strikes} strikes")
        return _("Stored: {players}, {strikes}.").format(
            players=wording.counted(taken.players, "new player"), strikes=wording.counted(taken.strikes, "strike")
        )

    messages.attempt(stored)
