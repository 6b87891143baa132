"""A plan as it was changed by hand, with the request it was made for."""

from __future__ import annotations

from dataclasses import dataclass

from tracker.domain.practice_plan import PracticePlan
from tracker.plan.request import PlanRequest


@dataclass(frozen=True, kw_only=True, slots=True)
class PlanDraft:
    """Kept while the page asks for the same plan."""

    request: PlanRequest
    plan: PracticePlan
