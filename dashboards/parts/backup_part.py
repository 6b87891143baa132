"""Backups of the records: which there are, until when, one more now, and one to take along."""

from __future__ import annotations

import streamlit as st

from dashboards.ui import messages, state
from dashboards.ui.table import show_table
from tracker.report import backup_words
from tracker.report.language import _
from tracker.review.backups import BackupReason, back_up_beside, backups
from tracker.store.database import Database


def backup_part(database: Database) -> None:
    """The list, a button that makes one, and the download of the one chosen."""
    st.subheader(_("Backups"))
    st.text(backup_words.rule())
    st.button(_("Make a backup now"), on_click=_make, args=(database,), disabled=database.path is None)
    kept = backups(database)
    if not kept:
        st.text(_("There is no backup yet."))
        return
    show_table(backup_words.backup_table(kept), label=_("Backups"))
    chosen = st.selectbox(
        _("Backup"), [one for one in kept if one.readable], format_func=backup_words.named, key=state.BACKUP_TAKEN.key
    )
    if chosen is not None:
        st.download_button(
            _("Download this backup"), data=chosen.path.read_bytes, file_name=chosen.path.name, on_click="ignore"
        )
        st.caption(_("It names children: keep it where only you can read it."))


def _make(database: Database) -> None:
    def made() -> str:
        return backup_words.made(back_up_beside(database, reason=BackupReason.ASKED))

    messages.attempt(made)
