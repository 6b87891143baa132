"""The short form of a season: four practices, four players. The whole form: ``python tests/journeys/season.py``."""

from __future__ import annotations

from pathlib import Path

import pytest
from season import KILLED_AT, NETWORK_LOST_AT, PAPER_AT, close_season, season, truth_table
from test_pad_bench import NO_CHROMIUM

pytestmark = [pytest.mark.browser, pytest.mark.skipif(NO_CHROMIUM, reason="there is no Chromium here")]
PLAYERS, PRACTICES = 4, 4


def test_what_was_struck_is_what_is_told_from_the_first_practice_to_the_hand_over(tmp_path: Path) -> None:
    assert max(NETWORK_LOST_AT, KILLED_AT, PAPER_AT) < PRACTICES
    with season(tmp_path, players=PLAYERS, practices=PRACTICES) as played:
        for practice in range(PRACTICES):
            played.play(practice)
        closed = close_season(played, tmp_path)
        table = truth_table(played)
    assert closed == {"reports": PLAYERS + 1, "forgotten": "Player D", "left": PLAYERS - 1}
    assert len(table) == 11
    assert all(line.of > 0 for line in table if line.what.startswith("rates"))
