"""The words beside the ladder board: its key, and what a reader can count on it."""

from __future__ import annotations

from tracker.domain.vocabulary import ReadinessStatus
from tracker.report import board_words, glossary
from tracker.review.ready_rule import ReadyCalls


def test_every_look_of_a_box_is_in_the_key_with_its_meaning() -> None:
    key = {one.word: one for one in board_words.board_key()}
    assert {glossary.status_word(status) for status in ReadinessStatus} | {
        *("passed", "skipped", "no strikes"),
        *("ready, nothing to decide", "thick frame"),
    } == set(key)
    assert len({(one.sign, one.fill, one.is_framed) for one in key.values()}) == len(key)
    assert all(one.means for one in key.values())


def test_the_calls_named_wrong_are_boxes_a_reader_can_count() -> None:
    def said(ready: int, wrong: float) -> str:
        return board_words.ready_boxes_words(ReadyCalls(ready=ready, judged=54, expected_wrong=wrong, risk=0.1))

    assert said(14, 4.4) == "14 boxes of the board show R (ready). Up to about 4 of these 14 calls may be wrong."
    assert said(1, 0.2) == "1 box of the board shows R (ready). Hardly any of these calls should be wrong."
    assert said(0, 0.0) == "No box of the board shows R."


def test_the_calls_to_move_on_are_told_apart_from_the_boxes() -> None:
    calls = ReadyCalls(ready=5, judged=30, expected_wrong=2.4, risk=0.1)
    assert board_words.moves_on_words(calls) == "5 feet may move on. Up to about 2 of these 5 calls may be wrong."
    assert not board_words.moves_on_words(ReadyCalls(ready=0, judged=30, expected_wrong=0.0, risk=0.1))
