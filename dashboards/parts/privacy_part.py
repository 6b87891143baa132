"""Children's data: everything about one player as a file, forgetting one, how long names are kept, and who did what."""

from __future__ import annotations

from datetime import datetime

import streamlit as st

from dashboards.ui import messages, person, state
from dashboards.ui.choices import choose_player
from dashboards.ui.escape import plain
from dashboards.ui.table import show_table
from tracker.domain.squad import Player, Squad
from tracker.domain.vocabulary import AuditEvent
from tracker.errors import RequestError
from tracker.report import privacy_words
from tracker.report.language import _
from tracker.report.printed.files import safe_stem
from tracker.review import audit, club
from tracker.review.backups import backups
from tracker.review.erasure import erasure_preview, forget
from tracker.review.player_export import packed_export
from tracker.review.retention import MOST_MONTHS, retention_months, retention_preview, set_retention
from tracker.store.database import Database

FIRST_MONTHS, ENTRIES_SHOWN = 24, 100


def privacy_part(database: Database, squad: Squad) -> None:
    """One player's data, the retention rule, the audit log."""
    players = club.players(database, squad)
    if players:
        _one_player(database, choose_player(players, state.PLAYER_PRIVATE))
    st.subheader(_("How long names are kept"))
    _retention(database)
    st.subheader(_("Who read, took out or erased what"))
    entries = audit.entries(database, most=ENTRIES_SHOWN)
    if entries.height:
        show_table(privacy_words.audit_table(entries), label=_("Who read, took out or erased what"))
    else:
        st.text(_("Nothing yet."))


def _one_player(database: Database, player: Player) -> None:
    preview = erasure_preview(database, player)
    st.text(privacy_words.kept_words(preview))

    def packed() -> bytes:
        content = packed_export(database, player)
        person.note(database, AuditEvent.EXPORT, players=[player], detail="everything about them")
        return content

    st.download_button(
        _("Download everything about this player"),
        data=packed,
        file_name=f"{safe_stem(player.display_name)}.zip",
        on_click="ignore",
    )
    with st.expander(_("Forget this player")):
        if preview.mentions:
            st.text(_("These texts name them:"))
            show_table(privacy_words.mention_table(preview.mentions), label=_("These texts name them:"))
            st.checkbox(_("Take the name out of these texts too"), value=True, key=state.CLEAN_TEXTS.key)
        st.checkbox(_("Keep the numbers, as a former player without a name"), key=state.KEEP_NUMBERS.key)
        old = privacy_words.backup_words(backups(database))
        if old:
            st.text(old)
        st.text_input(
            _("To forget {player} for good, type the name").format(player=plain(player.display_name)),
            key=state.NAME_FORGOTTEN.key,
        )
        st.button(_("Forget for good"), type="primary", on_click=_forget, args=(database, player))


def _forget(database: Database, player: Player) -> None:
    def forgotten() -> str:
        if (state.NAME_FORGOTTEN.value() or "").strip() != player.display_name:
            raise RequestError(_("Nothing was changed: type the name exactly as it is shown."))
        done = forget(
            database,
            player,
            who=person.who(),
            keep_numbers=bool(state.KEEP_NUMBERS.value()),
            clean_texts=state.CLEAN_TEXTS.value() is not False,
        )
        st.cache_data.clear()
        state.NAME_FORGOTTEN.put("")  # a field keeps what is typed in it until it is told otherwise
        for slot in (state.KEEP_NUMBERS, state.CLEAN_TEXTS, state.PLAYER_PRIVATE):
            slot.forget()
        return privacy_words.forgotten_words(done, player=player.display_name)

    messages.attempt(forgotten)


def _retention(database: Database) -> None:
    months = retention_months(database)
    st.text(privacy_words.rule_words(months))
    if months is not None:
        today = datetime.now().astimezone().date()
        st.text(privacy_words.outdated_words(retention_preview(database, months=months, today=today)))
    st.number_input(
        _("Months after the end of a season"), 0, MOST_MONTHS, months or FIRST_MONTHS, key=state.RETENTION_MONTHS.key
    )
    with st.container(horizontal=True):
        st.button(_("Set this rule"), on_click=_set_rule, args=(database,))
        if months is not None:
            st.button(_("Take the rule back"), on_click=_take_rule_back, args=(database,))


def _set_rule(database: Database) -> None:
    def was_set() -> str:
        months = state.RETENTION_MONTHS.value()
        set_retention(database, months, who=person.who())
        return privacy_words.rule_words(months)

    messages.attempt(was_set)


def _take_rule_back(database: Database) -> None:
    def taken_back() -> str:
        set_retention(database, None, who=person.who())
        return privacy_words.rule_words(None)

    messages.attempt(taken_back)
