"""The glossary: every word of status, range, certainty and verdict, each with one meaning."""

from __future__ import annotations

from tracker.domain.vocabulary import Language, ReadinessStatus
from tracker.report import glossary, tables
from tracker.report.language import speaking
from tracker.stats.change import ChangeVerdict


def test_every_status_and_every_verdict_has_its_word_and_meaning() -> None:
    assert set(glossary.STATUSES) == set(ReadinessStatus)
    assert set(glossary.VERDICTS) == set(ChangeVerdict)
    words = [word for word, _ in glossary.all_terms()]
    assert len(set(words)) == len(words)
    assert {glossary.status_word(status) for status in ReadinessStatus} <= set(words)
    assert {glossary.verdict_word(verdict) for verdict in ChangeVerdict} <= set(words)


def test_how_sure_is_told_in_words_of_the_glossary() -> None:
    told = {glossary.confidence_words(attempts, practices) for attempts in range(0, 200, 5) for practices in (1, 3)}
    assert told == {word for word, _ in glossary.all_terms()[8:12]}


def test_the_meanings_name_the_numbers_the_words_follow() -> None:
    meant = dict(glossary.all_terms())
    assert str(glossary.TOO_FEW_BELOW) in meant["too few to say"]
    assert f"{glossary.TOO_FEW_BELOW} to {glossary.FIRST_LOOK_BELOW - 1}" in meant["first look"]
    assert f"{glossary.FIRST_LOOK_BELOW} to {glossary.CLEARER_BELOW - 1}" in meant["getting clearer"]
    assert str(glossary.CLEARER_BELOW) in meant["steady picture"]


def test_no_word_ranks_or_blames_a_child() -> None:
    for language in Language:
        with speaking(language):
            said = " ".join(tables.glossary_table().to_series(0)).lower()
        for word in ("weak", "best", "worst", "fail", "rank", "talent", "débil", "peor jugador", "fracas"):
            assert word not in said


def test_statuses_have_a_sign_of_their_own_in_every_language_and_letters_begin_their_word() -> None:
    for language in Language:
        with speaking(language):
            signs = {status: glossary.status_sign(status) for status in ReadinessStatus}
            firsts = {status: glossary.status_word(status)[0].upper() for status in ReadinessStatus}
        assert len({*signs.values(), glossary.PASSED_SIGN}) == len(signs) + 1
        assert all(sign == firsts[status] for status, sign in signs.items() if sign.isalpha())
