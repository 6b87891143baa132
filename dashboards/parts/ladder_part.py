"""The ladder of a squad: its stages, and putting another one in use."""

from __future__ import annotations

import streamlit as st

from dashboards.ui import files, messages, state
from dashboards.ui.escape import plain
from dashboards.ui.table import show_table
from tracker.domain.ladder_file import shipped_ladder_text
from tracker.domain.squad import Squad
from tracker.errors import FileError
from tracker.report import explanations, ladder_words, tables, wording
from tracker.report.language import _
from tracker.review import club
from tracker.store.database import Database


def ladder_part(database: Database, squad: Squad) -> None:
    """The stages with the angle each target shows, what is coached there, and other ladders to choose."""
    ladder = club.ladder_of(database, squad)
    st.subheader(plain(_("Ladder {name}").format(name=ladder.name)))
    show_table(tables.ladder_table(ladder, unit=club.length_unit(database)), label=_("The stages of the ladder"))
    st.caption(_(explanations.LADDER_MEANS))
    with st.expander(_("Coaching points and cautions of each stage")):
        for stage in ladder.stages:
            st.markdown(f"**{stage.position}. {plain(stage.name)}**")
            st.text("\n".join(f"• {line}" for line in stage.coaching_points))
            st.text("\n".join(_("Caution: {line}").format(line=line) for line in ladder_words.caution_lines(stage)))
    st.download_button(
        _("Download this ladder as a file to change"),
        club.ladder_text(database, squad),
        file_name="ladder.toml",
        on_click="ignore",
    )
    st.subheader(_("Use another ladder"))
    st.selectbox(_("One that comes with the program"), club.ladder_names(), key=state.LADDER_NAME.key)
    st.button(_("Use this ladder"), on_click=_use_shipped, args=(database, squad))
    st.file_uploader(_("Your own ladder file"), type=["toml"], key=state.LADDER_FILE.key)
    st.button(_("Use this file"), on_click=_use_file, args=(database, squad))


def _use_shipped(database: Database, squad: Squad) -> None:
    def used() -> str:
        name = state.LADDER_NAME.value() or club.DEFAULT_LADDER
        ladder = club.use_ladder(database, squad, text=shipped_ladder_text(name), source=name)
        return _("{squad} works on the ladder {ladder} now.").format(squad=squad.name, ladder=ladder.name)

    messages.attempt(used)


def _use_file(database: Database, squad: Squad) -> None:
    def used() -> str:
        with files.on_disk(state.LADDER_FILE.value()) as path:
            try:
                text = path.read_bytes().decode()
            except UnicodeDecodeError as error:
                raise FileError(
                    _("{file} is not UTF-8 text. Save it as UTF-8, then try again.").format(file=path.name)
                ) from error
            ladder = club.use_ladder(database, squad, text=text, source=path.name)
        return _("{squad} works on the ladder {ladder} now, {stages}.").format(
            squad=squad.name, ladder=ladder.name, stages=wording.counted(len(ladder.stages), "stage")
        )

    messages.attempt(used)
