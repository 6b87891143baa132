"""The season reports: whose, on what paper, the coach's words beside the pages, and everything in one zip."""

from __future__ import annotations

import streamlit as st

from dashboards.ui import messages, person, report_files, state
from dashboards.ui.answers import asked
from dashboards.ui.choices import choose_player
from dashboards.ui.escape import plain
from tracker.domain.squad import Player, Season, Squad
from tracker.domain.vocabulary import AuditEvent, Paper
from tracker.report.language import _, ngettext, spoken
from tracker.report.printed.batch import Look
from tracker.report.printed.letters import letter_warnings
from tracker.review import club
from tracker.review.coach_words import LONGEST_WORDS, coach_words, write_coach_words
from tracker.review.season_report import season_to_report
from tracker.store.database import Database


def season_reports_part(database: Database, squad: Squad, players: list[Player]) -> None:
    """Season and paper, then one player at a time beside the preview, then all reports at once."""
    season = _choose_season(database, squad)
    look = _choose_look(database)
    typed, seen = st.columns([2, 3], gap="large")
    with typed:
        player = choose_player(players, state.REPORTED)
        _words_form(database, player, season)
    with seen:
        language = spoken()
        for number, page in enumerate(
            asked(report_files.preview, database, player, season, look=look, language=language), start=1
        ):
            caption = _("Page {number}").format(number=number)
            st.image(page, caption=caption, width="stretch", alt=caption)
        _note_once(database, player, season)
    st.subheader(_("All reports in one file"))
    _make_all(database, squad, season, players, look)


def _note_once(database: Database, player: Player, season: Season) -> None:
    """Notes that this report was looked at, once in a visit."""
    seen = state.REPORTS_NOTED.value() or set()
    if (player.player_id, season.season_id) not in seen:
        person.note(database, AuditEvent.REPORT_READ, players=[player], detail=f"season {season.name}")
        state.REPORTS_NOTED.put({*seen, (player.player_id, season.season_id)})


def _choose_season(database: Database, squad: Squad) -> Season:
    seasons = {one.season_id: one for one in asked(club.seasons, database)}
    latest = season_to_report(database, squad)
    chosen = st.selectbox(
        _("Season"),
        list(seasons),
        index=list(seasons).index(latest.season_id),
        format_func=lambda one: seasons[one].name,
        key=state.SEASON_REPORTED.key,
    )
    return seasons[chosen]


def paper_words(paper: Paper) -> str:
    """A size of paper."""
    return {Paper.A4: "A4", Paper.LETTER: _("US Letter")}[paper]


def choose_paper(database: Database) -> Paper:
    """The paper pages are printed on, kept for the next time."""
    papers = list(Paper)
    kept = asked(club.paper, database)
    chosen: Paper = st.selectbox(
        _("Paper"), papers, index=papers.index(kept), format_func=paper_words, key=state.PAPER.key
    )
    if chosen is not kept:
        club.set_paper(database, chosen)
    return chosen


def _choose_look(database: Database) -> Look:
    paper = choose_paper(database)
    with_web = st.checkbox(_("Also as a web page each, to read on a phone"), key=state.WITH_WEB.key)
    return Look(unit=asked(club.length_unit, database), paper=paper, with_web=with_web)


def _words_form(database: Database, player: Player, season: Season) -> None:
    """The coach's own words, kept for this player and season."""
    slot = state.coach_words_on(player.player_id, season.season_id)
    with st.form(f"coach_words:{player.player_id}", border=False):
        st.text_area(
            _("Your own words for {player}").format(player=plain(player.display_name)),
            value=asked(coach_words, database, player, season),
            max_chars=LONGEST_WORDS,
            height=220,
            key=slot.key,
            help=_("What you saw them do, how they did it, and one thing to try next."),
        )
        st.form_submit_button(_("Keep these words"), type="primary", on_click=_keep, args=(database, player, season))


def _keep(database: Database, player: Player, season: Season) -> None:
    def kept() -> str:
        words = state.coach_words_on(player.player_id, season.season_id).value() or ""
        write_coach_words(database, player, season, words=words)
        return _("Kept for {player}.").format(player=player.display_name)

    messages.attempt(kept)


def _make_all(database: Database, squad: Squad, season: Season, players: list[Player], look: Look) -> None:
    """Picks players, makes their reports with a progress bar, and offers the zip."""
    names = {player.player_id: player.display_name for player in players}
    chosen = st.multiselect(
        _("Players (nobody chosen: all of them)"),
        list(names),
        format_func=lambda one: plain(names[one]),
        key=state.PLAYERS_REPORTED.key,
    )
    if st.button(_("Make the reports"), type="primary", on_click=state.REPORTS_PACKED.forget):
        bar = st.progress(0.0, text=_("Asking the numbers"))
        going = [one for one in players if one.player_id in (chosen or names)]
        state.REPORTS_PACKED.put(
            report_files.packed_reports(
                database,
                squad,
                season,
                going,
                look=look,
                progress=lambda done, of, whom: bar.progress(done / of, text=plain(whom)),
            )
        )
        person.note(database, AuditEvent.REPORT_WRITTEN, players=going, detail=f"season {season.name}")
        bar.empty()
    packed = state.REPORTS_PACKED.value()
    if packed is not None:
        found = ngettext("{players} report is ready.", "{players} reports are ready.", packed.players)
        st.success(found.format(players=packed.players))
        for warning in letter_warnings([names[one] for one in chosen or names]):
            st.warning(plain(warning))
        st.download_button(_("Download the zip"), packed.content, packed.name, on_click="ignore")
        st.caption(_("The zip holds names of children, and the squad's report for you alone. Keep it safe."))
