"""The words beside the ladder board: its key, and what a reader can count on it."""

from __future__ import annotations

from tracker.domain.vocabulary import ReadinessStatus
from tracker.report import board_words, glossary
from tracker.review.ready_rule import ReadyCalls


def test_every_look_of_a_box_is_in_the_key_with_its_meaning() -> None:
    key = {one.word: one for one in board_words.board_key()}
    assert {glossary.status_word(status) for status in ReadinessStatus} | {"passed", "no strikes"} == set(key)
    assert len({(one.sign, one.fill) for one in key.values()}) == len(key)
    assert all(one.means for one in key.values())


def test_the_calls_named_wrong_are_boxes_a_reader_can_count() -> None:
    def said(ready: int, wrong: float) -> str:
        return board_words.ready_boxes_words(ReadyCalls(ready=ready, judged=54, expected_wrong=wrong, risk=0.1))

    assert said(14, 4.4).startswith(
        "14 boxes of the board show R (ready). Expect at most about 4 of these to be wrong."
    )
    assert "1 box of the board shows R (ready). Expect hardly any" in said(1, 0.2)
    assert said(0, 0.0).startswith("No box of the board shows R.")
