"""The plan of a practice: asked for, shown, kept, printed."""

from __future__ import annotations

import streamlit as st

from dashboards.parts.plan_edit_part import plan_edit_part
from dashboards.parts.plan_inputs import Asked, ask_for_plan
from dashboards.parts.plan_shown import plan_shown
from dashboards.ui import messages, state
from dashboards.ui.answers import asked
from dashboards.ui.escape import plain
from dashboards.ui.plan_draft import PlanDraft
from tracker.domain.practice import Practice
from tracker.domain.practice_plan import PracticePlan
from tracker.domain.squad import Player, Squad
from tracker.domain.vocabulary import LengthUnit
from tracker.plan.constraints import check_plan
from tracker.plan.kept_plan import keep_plan, kept_plan, squad_plan
from tracker.plan.layout import lanes_of_plan
from tracker.plan.request import PlanRequest
from tracker.report import plan_sentences, wording
from tracker.report.language import _
from tracker.report.printed.engine import Template, pdf
from tracker.report.printed.files import safe_stem
from tracker.report.printed.practice_page import practice_page
from tracker.review import club, logbook
from tracker.review.practice_sheet import practice_sheet
from tracker.store.database import Database


def plan_part(database: Database, squad: Squad, players: list[Player], *, unit: LengthUnit) -> None:
    """Inputs, the plan with what it breaks, and what can be done with it."""
    wanted = ask_for_plan(database, squad, players, unit=unit)
    answer = asked(
        squad_plan,
        database,
        squad,
        minutes=wanted.minutes,
        held_on=wanted.day,
        present=wanted.present,
        options=wanted.options,
    )
    if answer.request is None or answer.plan is None:
        st.warning(_("No plan fits. {why}").format(why=plain(answer.why_not)))
        return
    request = answer.request
    draft = state.PLAN_DRAFT.value()
    is_changed = draft is not None and draft.request == request
    plan = draft.plan if draft is not None and is_changed else answer.plan
    _offer_kept(database, squad, wanted, request)
    st.markdown(f"**{plain(plan_sentences.plan_title(plan))}**")
    _say_what_breaks(plan, request, is_changed=is_changed)
    _what_to_do(database, squad, plan, wanted, unit=unit)
    order = [player.display_name for player in players]
    plan_shown(plan, order=order, unit=unit)
    st.header(_("Change by hand"))
    plan_edit_part(plan, request, order=order, unit=unit)


def _say_what_breaks(plan: PracticePlan, request: PlanRequest, *, is_changed: bool) -> None:
    """For a plan changed by hand, every rule it breaks; a plan of the tool keeps them all."""
    if not is_changed:
        st.text(_("The plan keeps every rule: warm-up, other foot, success, turns, lanes, equipment."))
        return
    breaches = check_plan(plan, request)
    if not breaches:
        st.success(_("Changed by hand, and it still keeps every rule."))
    else:
        st.warning(
            "\n".join(
                (_("Changed by hand. What it no longer keeps:"), *(f"* {plain(one.sentence)}" for one in breaches))
            )
        )
    st.button(_("Back to the plan of the tool"), on_click=state.PLAN_DRAFT.forget)


def _what_to_do(database: Database, squad: Squad, plan: PracticePlan, wanted: Asked, *, unit: LengthUnit) -> None:
    """Kept for the practice, or printed with the tally sheet."""
    with st.container(horizontal=True):
        st.button(
            _("Use this plan for the practice"),
            type="primary",
            on_click=_keep,
            args=(database, squad, plan, wanted),
        )
        title = _("Practice sheet {squad} {day}").format(squad=squad.name, day=plan.held_on.isoformat())
        st.download_button(
            _("Print"),
            data=lambda: _sheet(database, squad, plan, unit=unit),
            file_name=f"{safe_stem(title)}.pdf",
            on_click="ignore",
        )


def _sheet(database: Database, squad: Squad, plan: PracticePlan, *, unit: LengthUnit) -> bytes:
    """The practice sheet with the tally sheet, as a PDF."""
    tally = practice_sheet(database, squad, plan.held_on)
    paper = club.paper(database)
    page = practice_page(plan, lanes_of_plan(plan), squad_name=squad.name, unit=unit, paper=paper, tally=tally)
    return pdf(Template.PRACTICE, page)


def _offer_kept(database: Database, squad: Squad, wanted: Asked, request: PlanRequest) -> None:
    """The plan that is kept for the day, to look at, change and check again."""
    of_day = [one for one in logbook.practices(database, squad) if one.held_on == wanted.day]
    for practice in of_day:
        kept = asked(kept_plan, database, squad, practice)
        if kept is None:
            continue
        with st.container(horizontal=True, vertical_alignment="center"):
            st.text(_("A plan is kept for this day; using another takes its place."), width="stretch")
            st.button(
                _("Show the plan kept"),
                key=f"show:{practice.practice_id}",
                on_click=state.PLAN_DRAFT.put,
                args=(PlanDraft(request=request, plan=kept.document.plan),),
            )


def _keep(database: Database, squad: Squad, plan: PracticePlan, wanted: Asked) -> None:
    def kept() -> str:
        practice: Practice = keep_plan(database, squad, plan, options=wanted.options)
        state.PRACTICE.put(practice.practice_id)
        return _("Kept for the practice of {day}: its turns are on the touchline page, its lanes on Today.").format(
            day=wording.date_words(practice.held_on)
        )

    messages.attempt(kept)
