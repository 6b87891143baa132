"""The pictures: one Altair function each, the same on screen and on paper.

Rates run from 0 to 10 of 10 everywhere, and the left foot is on the left. A picture is as wide as its frame; its title
says what is found, and its ``description`` says it again for those who do not see it. For paper give it a width:
``picture.properties(width=480)``.
"""

from __future__ import annotations

from tracker.report.charts.accuracy import RIGHT_PANEL, accuracy_by_foot, accuracy_over_practices
from tracker.report.charts.aim import aim_fan, aim_on_paper, fan_edge_deg
from tracker.report.charts.board import ladder_board
from tracker.report.charts.coverage import squad_coverage
from tracker.report.charts.distance import distance_curve
from tracker.report.charts.dots import dot_picture
from tracker.report.charts.evidence import evidence_line
from tracker.report.charts.gap import foot_gap_picture
from tracker.report.charts.promise import operating_characteristics_picture
from tracker.report.charts.set_up import set_up_drawing
from tracker.report.charts.sets import practice_strip_picture

__all__ = [
    "RIGHT_PANEL",
    "accuracy_by_foot",
    "accuracy_over_practices",
    "aim_fan",
    "aim_on_paper",
    "distance_curve",
    "dot_picture",
    "evidence_line",
    "fan_edge_deg",
    "foot_gap_picture",
    "ladder_board",
    "operating_characteristics_picture",
    "practice_strip_picture",
    "set_up_drawing",
    "squad_coverage",
]
