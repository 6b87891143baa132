"""Every text a person reads has its translation, and what the program reads is what the translators wrote."""

from __future__ import annotations

import ast
import re
from datetime import date

import polars as pl
import pytest
from catalogue import catalogue, compiled, po_file, texts, texts_of

from tracker.domain.vocabulary import Foot, Language, LengthUnit, Miss, Outcome, ReadinessStatus
from tracker.report import explanations, glossary, readiness_words, wording
from tracker.report.language import _, date_field, long_date, ngettext, pgettext, speak, speaking, spoken

OTHERS = [language for language in Language if language is not Language.ENGLISH]
SAME_IN = {
    Language.SPANISH: {"{} of {}", "No", "no", "Total", "Megabytes", "Plan"},
}
SIGNS_ONLY = re.compile(r"(\{\w*\}|[\W\d_])*")


def both(message: object) -> tuple[str, ...]:
    """Singular and plural, or the one message."""
    return tuple(message) if isinstance(message, tuple | list) else (str(message),)


@pytest.mark.parametrize("language", OTHERS)
def test_every_text_is_translated_and_nothing_else_is_there(language: Language) -> None:
    known = {(one.context, one.id): one for one in catalogue(language) if one.id}
    wanted = texts()
    assert sorted(map(str, wanted.keys() - known.keys())) == [], "run tests/report/catalogue.py, then translate"
    assert sorted(map(str, known.keys() - wanted.keys())) == []
    assert [one.id for one in known.values() if one.fuzzy or not all(both(one.string))] == []


@pytest.mark.parametrize("language", OTHERS)
def test_a_translation_keeps_every_field_of_its_text(language: Language) -> None:
    for one in catalogue(language):
        for message, said in zip(both(one.id), both(one.string), strict=True):
            if message:
                assert sorted(re.findall(r"\{\w*\}", message)) == sorted(re.findall(r"\{\w*\}", said)), message


@pytest.mark.parametrize("language", OTHERS)
def test_a_translation_is_not_the_text_itself(language: Language) -> None:
    same = [
        one.id
        for one in catalogue(language)
        if one.id and one.id == one.string and not SIGNS_ONLY.fullmatch(str(one.id)) and one.context != "status letter"
    ]
    assert set(same) <= SAME_IN[language]


@pytest.mark.parametrize("language", OTHERS)
def test_what_the_program_reads_is_what_the_translators_wrote(language: Language) -> None:
    assert po_file(language).with_suffix(".mo").read_bytes() == compiled(catalogue(language))


def test_the_texts_of_a_file_are_found_in_every_form() -> None:
    code = (
        "from tracker.domain.strike import ON_TARGET_MEANS\n"
        "_('a'); N_('b' 'c'); ngettext('{n} d', '{n} ds', n); pgettext('e', 'f'); counted(n, 'g')\n"
        "wording.counted(n, 'foot', 'feet'); _(anything); _(ON_TARGET_MEANS); print('h')"
    )
    found = list(texts_of(ast.parse(code)))
    assert found[:6] == [
        (None, "a"),
        (None, "bc"),
        (None, ("{n} d", "{n} ds")),
        ("e", "f"),
        (None, ("{number} g", "{number} gs")),
        (None, ("{number} foot", "{number} feet")),
    ]
    assert found[6][1].startswith("On target: the whole ball")  # type: ignore[union-attr]
    assert len(found) == 7


def test_a_language_is_spoken_within_its_block_only() -> None:
    with speaking(Language.SPANISH):
        assert (_("No strikes yet."), spoken()) == ("Aún no hay remates.", Language.SPANISH)
    assert (_("No strikes yet."), spoken()) == ("No strikes yet.", Language.ENGLISH)


def test_the_language_of_the_process_holds_until_another_is_spoken() -> None:
    speak(Language.SPANISH)
    try:
        assert _("yes") == "sí"
        with speaking(Language.ENGLISH):
            assert _("yes") == "yes"
    finally:
        speak(Language.ENGLISH)
    assert _("yes") == "yes"


def test_one_is_told_from_many_and_left_from_left() -> None:
    with speaking(Language.SPANISH):
        assert [ngettext("{number} strike", "{number} strikes", n).format(number=n) for n in (0, 1, 2)] == [
            "0 remates",
            "1 remate",
            "2 remates",
        ]
        assert (pgettext("foot", "left"), pgettext("miss", "left")) == ("izquierdo", "izquierda")


def test_numbers_and_dates_take_the_local_form() -> None:
    day = date(2026, 3, 12)
    assert (wording.counted(1200, "strike"), long_date(day), date_field()) == (
        "1,200 strikes",
        "12 March 2026",
        "YYYY-MM-DD",
    )
    with speaking(Language.SPANISH):
        said = (wording.counted(1200, "strike"), long_date(day), wording.short_date_words(day), date_field())
    assert said == ("1.200 remates", "12 de marzo de 2026", "12 mar", "DD/MM/YYYY")


def test_words_of_the_data_are_translated_where_they_are_shown() -> None:
    with speaking(Language.SPANISH):
        assert glossary.outcome_words(Outcome.OFF_TARGET, Miss.OVER) == "fuera, alto"
        assert glossary.foot_words(Foot.LEFT) == "Pie izquierdo"
        assert wording.length_words(10.0584, LengthUnit.YARDS) == "11 yd"
        assert [glossary.status_word(status) for status in ReadinessStatus] == [
            "muy pocos remates",
            "trabajando",
            "listo",
            "volver",
        ]


def test_a_reason_is_told_in_spanish_from_the_same_row() -> None:
    row = {
        "status": "working",
        "score": 2.1,
        "ready_line": 4.1,
        "attempts": 34,
        "practices": 1,
        "expected_strikes_to_ready": 18.0,
    }
    with speaking(Language.SPANISH):
        assert readiness_words.readiness_reason(row) == (
            "Trabajando: puntuación 2.1 de 4.1 tras 34 remates en 1 entrenamiento; unos 18 remates más a este ritmo."
        )
        assert pl.DataFrame([row])["status"][0] == "working"


def test_every_explanation_has_its_question_and_its_sentences_in_spanish() -> None:
    with speaking(Language.SPANISH):
        for question, sentences in explanations.CERTAINTY.items():
            assert all(_(text) != text for text in (question.value, *sentences))
