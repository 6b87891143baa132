"""The touchline page: a pass for a phone, as a code to scan and a link, shown once."""

from __future__ import annotations

import streamlit as st

from dashboards.ui import messages, state
from dashboards.ui.escape import plain
from tracker.domain.practice import Practice
from tracker.report import pad_words
from tracker.report.language import _
from tracker.review import pad
from tracker.review.pad import PadPass
from tracker.serve.codes import svg_code
from tracker.serve.outlet import Outlet
from tracker.serve.process import held_outlet
from tracker.store.database import Database

CODE_PX = 240


def touchline_part(database: Database, practice: Practice) -> None:
    """Who will log, the button that gives out a pass, and the pass just given."""
    outlet = held_outlet()
    st.text(pad_words.what_it_is())
    if outlet is None or outlet.elsewhere is None:
        st.info(plain(pad_words.only_here()))
        st.code("strikeladder passcode\nstrikeladder serve --lan --tls", language=None)
    st.text_input(
        _("Who logs"),
        key=state.LOGGER.key,
        max_chars=80,
        placeholder=_("Such as: Tess"),
        on_change=state.PASS_GIVEN.forget,
    )
    st.button(_("Give out a pass"), type="primary", on_click=_give, args=(database, practice))
    given = state.PASS_GIVEN.value()
    if given is not None and given.practice_id == practice.practice_id:
        _show(given, outlet)


def _show(given: PadPass, outlet: Outlet | None) -> None:
    if outlet is None:
        st.text(pad_words.not_served())
        return
    if outlet.certificate_page:
        st.text(pad_words.certificate_first())
        st.image(svg_code(outlet.certificate_page), width=CODE_PX, alt=_("Code of the page with the certificate"))
        st.code(outlet.certificate_page, language=None, wrap_lines=True)
    address = f"{outlet.elsewhere or outlet.here}{given.path}"
    st.text(pad_words.scan(given.expires_at))
    st.image(svg_code(address), width=CODE_PX, alt=_("Code of the touchline page for this phone"))
    st.code(address, language=None, wrap_lines=True)
    st.button(_("Done, hide the pass"), on_click=state.PASS_GIVEN.forget)


def _give(database: Database, practice: Practice) -> None:
    def done() -> str:
        logger = state.LOGGER.value() or ""
        given = pad.give_pass(database, practice, logger=logger)
        state.PASS_GIVEN.put(given)
        return pad_words.given(logger, given.expires_at)

    messages.attempt(done)
