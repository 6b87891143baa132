"""Changes a plan by hand: a player to another lane or stage, other sets, another distance."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import streamlit as st

from dashboards.ui import messages, state
from dashboards.ui.escape import plain
from dashboards.ui.plan_draft import PlanDraft
from tracker.domain.practice_plan import LaneWork, Part, PracticePlan
from tracker.domain.setup import lane_kind
from tracker.domain.vocabulary import Foot, LengthUnit
from tracker.plan.edits import sets_in, with_player_moved, with_work_changed
from tracker.plan.request import PlanRequest
from tracker.report import glossary, plan_sentences, wording
from tracker.report.language import _


def plan_edit_part(plan: PracticePlan, request: PlanRequest, *, order: Sequence[str], unit: LengthUnit) -> None:
    """Block and player, then where to, or what one foot does; what breaks is said above the plan."""
    block_field, player_field = st.columns(2)
    blocks = dict(enumerate(plan.finishing, start=1))
    with block_field:
        block = st.selectbox(
            _("Part"),
            list(blocks),
            format_func=lambda one: plan_sentences.block_words(one, blocks[one]),
            key=state.PLAN_BLOCK.key,
        )
    part = blocks[block]
    names = plan_sentences.in_order([one.player for lane in part.lanes for one in lane.players], order)
    with player_field:
        player = st.selectbox(_("Player"), names, key=state.PLAN_PLAYER.key)
    move, work = st.columns(2, gap="large")
    with move:
        _move(plan, request, part, block=block, player=player)
    with work:
        _work(plan, request, part, block=block, player=player, unit=unit)


def _move(plan: PracticePlan, request: PlanRequest, part: Part, *, block: int, player: str) -> None:
    lanes: dict[str, LaneWork | None] = {plan_sentences.lane_name(lane): lane for lane in part.lanes}
    stages = {plan_sentences.new_lane_name(one.name): one.name for one in plan.field.ladder.stages if lane_kind(one)}
    choices = [*lanes, *stages]
    now = _lane_of(part, player)
    chosen = st.selectbox(_("Works in"), choices, key=state.plan_lane(block, player, now).key, index=choices.index(now))
    lane = lanes.get(chosen)
    st.button(
        _("Move {player}").format(player=plain(player)),
        key="move_player",
        on_click=_change,
        args=(
            request,
            lambda: with_player_moved(
                plan,
                request,
                block=block,
                player=player,
                stage=stages.get(chosen, ""),
                lane=lane.number if lane else None,
            ),
        ),
    )


def _lane_of(part: Part, player: str) -> str:
    return next(plan_sentences.lane_name(lane) for lane in part.lanes for one in lane.players if one.player == player)


def _work(plan: PracticePlan, request: PlanRequest, part: Part, *, block: int, player: str, unit: LengthUnit) -> None:
    foot = st.segmented_control(
        _("Foot"),
        list(Foot),
        default=Foot.LEFT,
        required=True,
        format_func=glossary.foot_words,
        key=state.PLAN_FOOT.key,
    )
    lane = next(row for row in part.lanes for one in row.players if one.player == player)
    stage = plan.field.ladder.stage_named(lane.stage) or plan.field.ladder.stages[0]
    now = next((two for one in lane.players if one.player == player for two in one.feet if two.foot is foot), None)
    words = f"{lane.stage}, {plan_sentences.work_words(now, unit)}"
    sets, distance = state.plan_sets(block, player, foot, words), state.plan_distance(block, player, foot, words)
    with st.form("foot_work", border=False, enter_to_submit=False):
        st.text_input(
            _("Sets, such as 10, 5; empty: the foot rests"),
            value=", ".join(map(str, now.sets)) if now else "",
            key=sets.key,
        )
        st.number_input(
            _("Distance in {unit}").format(unit=glossary.unit_words(unit)),
            min_value=1.0,
            max_value=60.0,
            step=1.0,
            format="%.1f",
            value=wording.in_unit(now.distance_m if now else stage.distance_m, unit),
            key=distance.key,
        )
        st.form_submit_button(
            _("Change the sets of {player}").format(player=plain(player)),
            on_click=_change,
            args=(
                request,
                lambda: with_work_changed(
                    plan,
                    request,
                    block=block,
                    player=player,
                    foot=foot,
                    sets=sets_in(sets.value() or ""),
                    distance_m=wording.in_metres(distance.value() or 1.0, unit),
                ),
            ),
        )


def _change(request: PlanRequest, changed: Callable[[], PracticePlan]) -> None:
    def done() -> str:
        state.PLAN_DRAFT.put(PlanDraft(request=request, plan=changed()))
        return _("Changed. Turns, strikes and questions are worked out anew.")

    messages.attempt(done)
