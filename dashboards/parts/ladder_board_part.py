"""The ladder board with its key: who stands where, and what every box means."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

import polars as pl
import streamlit as st

from dashboards.ui import pictures
from dashboards.ui.table import show_table
from tracker.domain.ladder import Ladder
from tracker.domain.squad import Player
from tracker.domain.vocabulary import Foot, LengthUnit
from tracker.report import board_words, chart_style, charts, tables
from tracker.report.board_words import BoardSign
from tracker.report.language import _
from tracker.review.ready_rule import ready_calls


def ladder_board_part(board: pl.DataFrame, *, ladder: Ladder, players: Sequence[Player], unit: LengthUnit) -> None:
    """The key, the board of ``review.readiness`` under it, how sure it is, and the figures and stages to open."""
    names = [player.display_name for player in players]
    how_to_read, *notes = board_words.board_notes(ladder)
    st.text(how_to_read)
    st.html(f'<ul class="board-key">{"".join(_key_row(one) for one in board_words.board_key())}</ul>')
    pictures.show(pictures.drawn(charts.ladder_board, board, ladder=ladder, players=names))
    st.text(board_words.ready_boxes_words(ready_calls(board)))
    for note in notes:
        st.text(note)
    with st.expander(_("The figures behind it")):
        show_table(tables.ready_table(tables.current(board)), label=_("Status and reason per player and foot"))
    with st.expander(_("The stages by number")):
        show_table(tables.ladder_table(ladder, unit=unit), label=_("The stages of the ladder"))


def _key_row(one: BoardSign) -> str:
    frame = f";border:4px solid {chart_style.FOOT_COLOUR[Foot.LEFT]}" if one.is_framed else ""
    style = f"background:{one.fill};color:{one.ink}{frame}"
    box = f'<span class="box" style="{style}" aria-hidden="true">{escape(one.sign)}</span>'
    return f"<li>{box}<span><b>{escape(one.word)}</b>: {escape(one.means)}</span></li>"
