"""Words that are kept in a library stay in one language; those shown are looked up."""

from __future__ import annotations

import gettext
from collections.abc import Iterator
from datetime import date

import pytest

from slopebeat.model import language, measures
from slopebeat.model.bands import Band, BandMethod, band_from_hr_max, band_from_reserve
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.people import BandPeriod, Ground

WORDS = {
    "{shares} % of {hr_max} bpm": "{shares} % von {hr_max}/min",
    "{shares} % of the reserve from {hr_rest} to {hr_max} bpm": "{shares} % in {hr_rest}-{hr_max}/min",
    "read off a chart": "abgelesen",
    "Measured maximum: {basis}": "Gemessen: {basis}",
    "By age only ({formula}, {age} years, ±10-12 bpm)": "Nur nach Alter ({formula}, {age} Jahre)",
    "Drift test: {result}": "Drifttest: {result}",
    "Lactate step test. {how}": "Stufentest. {how}",
    "Heart rate at 1.0 and 1.9 mmol/L of the step test (common practice).": "Bei 1,0 und 1,9 mmol/L.",
    "load carried": "Gepäck",
}


class _Other(gettext.NullTranslations):
    def gettext(self, message: str) -> str:
        return WORDS.get(message, message)


@pytest.fixture
def other_language(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setitem(language._state, "catalogue", _Other())
    measures.use_decimal_sign(",")
    yield
    measures.use_decimal_sign(".")
    measures.use_system(measures.System.METRIC)


def test_a_band_keeps_its_basis_and_says_it_in_the_language_in_force(other_language: None) -> None:
    measured = band_from_hr_max(187.5)
    assert measured.basis == "60-70 % of 187.5 bpm"
    assert measured.basis_words == "60-70 % von 187,5/min"
    reserve = band_from_reserve(187, 52)
    assert reserve.basis == "40-59 % of the reserve from 52 to 187 bpm"
    assert reserve.basis_words == "40-59 % in 52-187/min"
    assert Band(112, 131, BandMethod.MANUAL, "read off a chart").basis_words == "abgelesen"
    assert Band(112, 131, BandMethod.MANUAL, "own words of 12 bpm").basis_words == "own words of 12 bpm"


def test_how_a_band_was_found_is_kept_in_one_language(other_language: None) -> None:
    def said_of(how: str) -> str:
        return BandPeriod("0", Ground.FOOT, date(2026, 7, 1), Band(112, 131), how).how_words

    assert said_of("Measured maximum: 60-70 % of 187.5 bpm") == "Gemessen: 60-70 % von 187,5/min"
    assert said_of("By age only (Tanaka, 42 years, ±10-12 bpm)") == "Nur nach Alter (Tanaka, 42 Jahre)"
    assert said_of("Drift test: flat road, 3.5 %") == "Drifttest: flat road, 3.5 %"
    first = "Lactate step test. Heart rate at 1.0 and 1.9 mmol/L of the step test (common practice)."
    assert said_of(first) == "Stufentest. Bei 1,0 und 1,9 mmol/L."
    assert said_of("Von der Trainerin {so}") == "Von der Trainerin {so}"


def test_a_note_says_its_load_in_the_units_in_force(other_language: None) -> None:
    note = new_note(NoteKind.LOAD, Author.ATHLETE, value=12.5)
    assert note.heading == "Gepäck 12,5 kg"
    measures.use_system(measures.System.IMPERIAL)
    # 12.5 kg over 0.45359237 kg per pound (NIST SP 811, appendix B) are 27.56 lb.
    assert note.heading == "Gepäck 28 lb"
    assert note.as_values()["kind"] == "LOAD"


def test_thousands_are_set_apart_by_what_is_no_decimal_sign(other_language: None) -> None:
    assert measures.counted(1_234_567) == "1.234.567"
    assert measures.plain(2.5) == "2,5"
    measures.use_decimal_sign(".")
    assert measures.counted(1_234_567) == "1,234,567"
    assert measures.plain(5.0) == "5"
