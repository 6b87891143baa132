"""The passes given out, and ending one."""

from __future__ import annotations

from uuid import UUID

import streamlit as st

from dashboards.ui import look, messages
from dashboards.ui.table import show_table
from tracker.domain.squad import Squad
from tracker.report import pad_words
from tracker.report.language import _
from tracker.review import pad
from tracker.store.database import Database


def pass_list(database: Database, squad: Squad) -> None:
    """Passes that may still be used, each with its button; those that ended, to open."""
    usable, ended = pad_words.split_passes(pad.passes(database, squad))
    st.text(pad_words.what_it_is())
    if not usable:
        st.info(_("No pass can be used now. Give one out on the Today page."))
    with st.container(key=look.PASSES, gap="xsmall"):
        for token_id, words in usable:
            with st.container(horizontal=True, wrap=False, vertical_alignment="center"):
                st.text(words, width="stretch")
                st.button(_("Revoke"), key=f"revoke:{token_id}", on_click=_revoke, args=(database, token_id, words))
    if ended.height:
        with st.expander(_("Passes that ended")):
            show_table(ended, label=_("Passes that ended"))


def _revoke(database: Database, token_id: UUID, words: str) -> None:
    def revoked() -> str:
        pad.revoke_pass(database, token_id)
        return _("Revoked: {words}. What it logged stays.").format(words=words)

    messages.attempt(revoked)
