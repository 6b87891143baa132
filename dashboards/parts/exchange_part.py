"""Strikes from a file, checked before they are stored; and every record as a file."""

from __future__ import annotations

import streamlit as st

from dashboards.ui import files, messages, person, state
from dashboards.ui.escape import plain
from tracker.domain.squad import Squad
from tracker.domain.vocabulary import AuditEvent, ExportWhat
from tracker.report import explanations
from tracker.report.language import _
from tracker.store.database import Database

ENDINGS = ("csv", "parquet")


def import_part(database: Database, squad: Squad) -> None:
    """Upload, check, store; wrong rows are shown and can be downloaded."""
    st.text(_("Strikes or tallies, CSV or Parquet. Check the file first; the same file twice is stored once."))
    st.file_uploader(
        _("File of strikes or tallies"),
        type=["csv", "txt", "tsv", "parquet"],
        key=state.STRIKES_FILE.key,
        on_change=state.IMPORT_OUTCOME.forget,
    )
    st.checkbox(_("Add players that are not in the squad yet"), key=state.MAKE_PLAYERS.key)
    st.checkbox(_("Leave wrong rows out and store the others"), key=state.SKIP_BAD_ROWS.key)
    with st.container(horizontal=True):
        st.button(_("Check the file"), on_click=_import, args=(database, squad), kwargs={"dry_run": True})
        st.button(
            _("Store the strikes"), type="primary", on_click=_import, args=(database, squad), kwargs={"dry_run": False}
        )
    outcome = state.IMPORT_OUTCOME.value()
    if outcome is None:
        return
    (st.success if outcome.is_done else st.error)(plain(outcome.lines[0]))
    for line in outcome.lines[1:]:
        st.text(line)
    if outcome.rejects is not None:
        st.dataframe(outcome.rejects, hide_index=True, alt=_("The wrong rows, and why"))
    if outcome.rejects_csv is not None:
        st.download_button(_("Download the wrong rows"), outcome.rejects_csv, "rejects.csv", on_click="ignore")


def export_part(database: Database, squad: Squad) -> None:
    """What to export, how, and the button that makes the file when pressed."""
    kinds: list[ExportWhat] = list(ExportWhat)
    what = st.selectbox(_("What to export"), kinds, format_func=explanations.export_words, key=state.EXPORT_WHAT.key)
    ending = "csv"
    if what is not ExportWhat.ALL:
        ending = st.selectbox(_("File format"), ENDINGS, key=state.EXPORT_ENDING.key)
    st.download_button(
        _("Export"),
        data=lambda: _exported(database, squad, what=what, ending=ending),
        file_name=files.export_name(what, ending),
        type="primary",
        on_click="ignore",
    )
    st.caption(_(explanations.EXPORT_HOLDS_NAMES))


def _exported(database: Database, squad: Squad, *, what: ExportWhat, ending: str) -> bytes:
    content = files.exported(database, what=what, ending=ending, squad=squad)
    person.note(database, AuditEvent.EXPORT, detail=what.value)
    return content


def _import(database: Database, squad: Squad, *, dry_run: bool) -> None:
    def done() -> str:
        outcome = files.imported(
            database,
            state.STRIKES_FILE.value(),
            squad=squad,
            dry_run=dry_run,
            create_players=bool(state.MAKE_PLAYERS.value()),
            skip_bad_rows=bool(state.SKIP_BAD_ROWS.value()),
        )
        state.IMPORT_OUTCOME.put(outcome)
        return outcome.lines[0]

    if messages.attempt(done):
        state.NOTICE.forget()
