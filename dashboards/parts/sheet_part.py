"""The tally sheet of a practice: printed before it, typed in after it, in one and the same order."""

from __future__ import annotations

from datetime import date

import streamlit as st

from dashboards.parts.practice_choice import choose_practice
from dashboards.parts.season_reports_part import choose_paper
from dashboards.ui import look, messages, state
from dashboards.ui.answers import asked
from dashboards.ui.choices import shirt_and_name
from dashboards.ui.escape import plain
from tracker.domain.practice import Practice
from tracker.domain.squad import Squad
from tracker.domain.vocabulary import Foot
from tracker.report import glossary, wording
from tracker.report.language import _, date_field
from tracker.report.printed.engine import Template, page_images, pdf
from tracker.report.printed.files import safe_stem
from tracker.report.printed.sheet_page import sheet_page
from tracker.review import club
from tracker.review.practice_sheet import (
    PaperFoot,
    PaperRow,
    PracticeSheet,
    SheetRow,
    misses_in,
    practice_sheet,
    transcribe,
)
from tracker.store.database import Database


def print_sheet_part(database: Database, squad: Squad) -> None:
    """The day, the sheet as a picture, and the PDF."""
    day: date = st.date_input(_("Day of the practice"), key=state.SHEET_DAY.key, format=date_field())
    paper = choose_paper(database)
    sheet = asked(practice_sheet, database, squad, day)
    page = sheet_page(sheet, unit=asked(club.length_unit, database), paper=paper)
    title = _("Tally sheet {squad} {day}").format(squad=squad.name, day=day.isoformat())
    st.download_button(
        _("Download the sheet"),
        data=lambda: pdf(Template.SHEET, page),
        file_name=f"{safe_stem(title)}.pdf",
        type="primary",
        on_click="ignore",
    )
    for picture in page_images(Template.SHEET, page):
        st.image(picture, width="stretch", alt=title)


def type_in_part(database: Database, squad: Squad) -> None:
    """The rows of the sheet in its own order: type, press Tab, and at the end store all of it or nothing."""
    practice = choose_practice(database, squad)
    sheet = asked(practice_sheet, database, squad, practice.held_on)
    st.text(
        _(
            "Type how many of each set were on target, then the misses as letters (l, r, o, s), then the sum. "
            "Tab goes on to the next field; leave empty what was not struck."
        )
    )
    with st.form("paper", border=False, enter_to_submit=False):
        with st.container(key=look.CALLED, gap="xsmall"):
            for row in sheet.rows:
                _row(row)
        st.form_submit_button(
            _("Store this sheet"),
            type="primary",
            width="stretch",
            shortcut="Ctrl+Enter",
            on_click=_store,
            args=(database, practice, sheet),
        )


def _row(row: SheetRow) -> None:
    """Name; for each foot a field a set and one for misses; the sum."""
    player_id, name = row.player.player_id, plain(row.player.display_name)
    most = max(len(stage.set_sizes) for stage in row.stages.values())
    columns = iter(st.columns([3, *([1] * most + [1.2]) * len(Foot), 1], wrap=False, vertical_alignment="center"))
    next(columns).text(shirt_and_name(row.player))
    for foot in Foot:
        stage, side = row.stages[foot], glossary.foot_word(foot).capitalize()[:1]
        for number in range(most):
            column = next(columns)
            if number < len(stage.set_sizes):
                column.number_input(
                    f"{name}, {side} /{stage.set_sizes[number]}",
                    min_value=0,
                    max_value=stage.set_sizes[number],
                    value=None,
                    key=state.paper_set(player_id, foot, number).key,
                    placeholder=f"{side} /{stage.set_sizes[number]}",
                    label_visibility="collapsed",
                )
        next(columns).text_input(
            f"{name}, {side} {_('misses')}",
            key=state.paper_misses(player_id, foot).key,
            max_chars=20,
            autocomplete="off",
            placeholder=f"{side} {_('misses')}",
            label_visibility="collapsed",
        )
    next(columns).number_input(
        f"{name}, {_('Sum')}",
        min_value=0,
        value=None,
        key=state.paper_sum(player_id).key,
        placeholder=_("Sum"),
        label_visibility="collapsed",
    )


def _store(database: Database, practice: Practice, sheet: PracticeSheet) -> None:
    def stored() -> str:
        strikes = transcribe(database, practice, [_typed(row) for row in sheet.rows])
        return _("Stored: {strikes}. Every row adds up.").format(strikes=wording.counted(strikes, "strike"))

    if messages.attempt(stored):
        for row in sheet.rows:
            state.paper_sum(row.player.player_id).put(None)
            for foot in Foot:
                state.paper_misses(row.player.player_id, foot).put("")
                for number in range(len(row.stages[foot].set_sizes)):
                    state.paper_set(row.player.player_id, foot, number).put(None)


def _typed(row: SheetRow) -> PaperRow:
    player_id = row.player.player_id
    return PaperRow(
        row=row,
        feet=tuple(
            PaperFoot(
                foot=foot,
                on_target=tuple(
                    state.paper_set(player_id, foot, number).value()
                    for number in range(len(row.stages[foot].set_sizes))
                ),
                misses=misses_in(state.paper_misses(player_id, foot).value() or ""),
            )
            for foot in Foot
        ),
        check_sum=state.paper_sum(player_id).value(),
    )
