"""A plan as a coach reads it: timetable, blocks with their lanes, whom to watch, what to expect and to bring."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from dashboards.ui import pictures
from dashboards.ui.table import show_table
from tracker.domain.practice_plan import Part, PracticePlan
from tracker.domain.setup import Lane
from tracker.domain.vocabulary import LengthUnit
from tracker.plan.layout import lanes_if_they_fit
from tracker.report import plan_sentences, plan_tables, plan_words, setup_words
from tracker.report.charts.set_up import set_up_drawing
from tracker.report.language import _


def plan_shown(plan: PracticePlan, *, order: Sequence[str], unit: LengthUnit) -> None:
    """The whole plan; names stand in ``order``, that of the shirts."""
    show_table(plan_tables.timetable_table(plan), label=_("The parts of the practice"))
    lanes: tuple[Lane, ...] = ()
    for number, part in enumerate(plan.finishing, start=1):
        heading = plan_sentences.block_words(number, part)
        st.header(heading)
        lanes = _block(plan, part, lanes, order=order, unit=unit, title=heading)
    st.header(_("Whom to watch, and when"))
    if plan.focal_turns:
        show_table(plan_tables.turns_table(plan, order=order), label=_("Focal turns"))
        st.caption(_("In a turn one person logs one lane, whatever happens there."))
    else:
        st.text(_("Nobody is here to log: only called-out sets are known afterwards."))
    _expected(plan, order=order)
    st.header(_("To bring and to mind"))
    st.text("\n".join(f"• {plan_words.equipment_words(item)}" for item in plan.equipment))
    st.subheader(_("Mind"))
    st.text(
        "\n".join(f"• {plan_words.caution_word(one.kind)}: {plan_words.caution_words(one)}" for one in plan.cautions)
    )
    if plan.remarks:
        with st.expander(_("Remarks")):
            st.text("\n".join(f"• {remark}" for remark in plan.remarks))


def _block(
    plan: PracticePlan, part: Part, before: Sequence[Lane], *, order: Sequence[str], unit: LengthUnit, title: str
) -> tuple[Lane, ...]:
    """Who is where, what moves from the lanes before, and what stays; sets and the drawing to open."""
    show_table(plan_tables.lanes_table(part, order=order), label=_("Lanes and who is in them"))
    lanes = lanes_if_they_fit(plan.field, part)
    for line in plan_words.moves_words(before, lanes):
        if line:
            st.text(line)
    with st.expander(_("Sets and distances")):
        show_table(plan_tables.work_table(part, order=order, unit=unit), label=_("Sets of each foot"))
    if lanes:
        with st.expander(_("The set-up, drawn to scale"), expanded=not before):
            pictures.show(pictures.drawn(set_up_drawing, plan.field, lanes, unit=unit, title=title))
            st.text("\n".join(setup_words.lane_words(lane, unit) for lane in lanes))
    return lanes


def _expected(plan: PracticePlan, *, order: Sequence[str]) -> None:
    """Open questions in sight, the others and the strikes to open."""
    st.header(_("What we know afterwards"))
    soonest = plan_sentences.soonest(plan.questions)
    st.text("\n".join(f"• {plan_sentences.question_words(one)}" for one in soonest))
    with st.expander(_("Strikes to expect, and every question")):
        show_table(plan_tables.expected_table(plan, order=order), label=_("Strikes to expect of each foot"))
        st.text("\n".join(f"• {plan_sentences.question_words(one)}" for one in plan.questions))
