"""How a band was found is kept as a key with numbers; words are looked up when they are shown."""

from __future__ import annotations

import gettext
import json
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slopebeat.library.old.basis import basis_of_old
from slopebeat.model import language, measures
from slopebeat.model.bands import Band, BandMethod, band_from_hr_max, band_from_reserve
from slopebeat.model.basis import BY_HAND, DRIFT_TEST, OWN_WORDS, Basis
from slopebeat.model.codec import to_builtins
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.review.words.basis import basis_words, how_words

WORDS = {
    "{shares} % of {hr_max} bpm": "{shares} % von {hr_max}/min",
    "{shares} % of the reserve from {hr_rest} to {hr_max} bpm": "{shares} % in {hr_rest}-{hr_max}/min",
    "set by hand": "von Hand",
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


def test_a_band_keeps_numbers_and_says_them_in_the_language_in_force(other_language: None) -> None:
    measured = band_from_hr_max(187.5)
    assert json.loads(measured.basis.text) == {
        "key": "maximum",
        "hr_max_bpm": 187.5,
        "low_share": 0.6,
        "high_share": 0.7,
    }
    assert basis_words(measured) == "60-70 % von 187,5/min"
    assert basis_words(band_from_reserve(187, 52)) == "40-59 % in 52-187/min"
    assert basis_words(Band(112, 131)) == ""
    assert how_words(Band(112, 131)) == "von Hand"
    own = Band(112, 131, BandMethod.MANUAL, Basis.own("own words of 12 bpm"))
    assert (basis_words(own), how_words(own)) == ("own words of 12 bpm", "own words of 12 bpm")


def test_a_tested_band_names_the_test_and_what_it_tested() -> None:
    basis = band_from_hr_max(187).basis.followed_by(DRIFT_TEST, percent=-0.25, threshold_percent=5.0)
    band = Band(112, 131, BandMethod.DRIFT_TEST, basis)
    test = "Steady-hour check: at 131 bpm decoupling was -0.2 %, with a limit of 5 %"
    assert (basis_words(band), how_words(band)) == (test, f"{test} (60-70 % of 187 bpm)")
    again = basis.followed_by(DRIFT_TEST, percent=1.0, threshold_percent=5.0)
    assert "before" not in again.values["before"], "it does not grow with every test"


@pytest.mark.parametrize(
    "values",
    [
        {"key": "maximum", "hr_max_bpm": "much", "low_share": 0.6, "high_share": 0.7},
        {"key": "maximum", "hr_max_bpm": 10**400, "low_share": True, "high_share": 0.7},
        {"key": "reserve"},
        {"key": "lactate_test", "upper_mmol_l": []},
        {"key": "drift_test", "result": 3, "before": {"key": 7}},
        {"key": "age_formula", "age_years": 40},
        {"key": "of a later version", "text": None},
    ],
)
def test_values_that_make_no_sentence_leave_the_method(values: dict[str, object]) -> None:
    assert how_words(Band(112, 131, BandMethod.LACTATE, Basis.of_values(values))) == "lactate test"


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", '{"key": 3}', '{"key": "x", "a": NaN}', "[" * 100_000, '{"key": "\\ud800"}']
)
def test_what_is_no_basis_is_told_by_an_error(text: str) -> None:
    with pytest.raises((ValueError, TypeError, RecursionError)):
        Basis.read(text)


def test_a_basis_within_too_many_others_is_refused() -> None:
    deep = '{"key": "x", "a": ' + "[" * 50 + "]" * 50 + "}"
    with pytest.raises(ValueError, match="levels"):
        Basis.read(deep)


OLD = [
    # method, basis, how, details as they were kept; key and a few of the values now.
    ("MANUAL", "", "Von Hand gesetzt", "{}", BY_HAND, {}),
    ("RESERVE", "40-59 % der Reserve von 52,5 bis 187 bpm", "", "", "reserve", {"hr_rest_bpm": 52.5}),
    ("HR_MAX", "", "Gemessenes Maximum: 60-70 % von 187 bpm", "", "measured_maximum", {"hr_max_bpm": 187.0}),
    (
        "HR_MAX",
        "",
        "Nur nach dem Alter (Tanaka, 45 Jahre, ±10-12 bpm)",
        "",
        "age_formula",
        {"age_years": 45.0},
    ),
    (
        *(
            "LACTATE",
            "",
            "Laktat-Stufentest. Herzfrequenz bei 1,0 und 1,9 mmol/L im Stufentest (gängige Praxis).",
        ),
        *('{"load_unit": "W"}', "lactate_test", {"upper_mmol_l": 1.9, "load_unit": "W"}),
    ),
    ("HR_MAX", "60-70 % of 187 bpm", "Vom Trainer", "{}", "maximum", {"text": "Vom Trainer"}),
    (
        "MANUAL",
        "abgelesen",
        "Vom Trainer",
        "{}",
        OWN_WORDS,
        {"text": "Vom Trainer", "short_text": "abgelesen"},
    ),
    ("MANUAL", "Measured maximum: a lot", "", "[1]", OWN_WORDS, {"text": "Measured maximum: a lot"}),
    (
        *("DRIFT_TEST", ""),
        "Drifttest: Bei 131 bpm betrug die Entkopplung +3,2 %, unter der eingestellten Schwelle von 5 % "
        "(eine Konvention ohne geprüfte Grenze).",
        *(
            "no json",
            DRIFT_TEST,
            {"percent": 3.2, "threshold_percent": 5.0, "details": {"details": "no json"}},
        ),
    ),
]


@pytest.mark.parametrize(("method", "basis", "how", "details", "key", "some"), OLD)
def test_old_sentences_become_a_key_with_numbers(
    method: str, basis: str, how: str, details: str, key: str, some: dict[str, object]
) -> None:
    found = basis_of_old(method, basis, how, details)
    assert found.key == key
    assert {name: found.values.get(name) for name in some} == some


@given(
    *(st.sampled_from(["DRIFT_TEST", "HR_MAX", "?"]), st.text(), st.text()),
    st.text() | st.sampled_from(["[" * 90_000, "{" + '"a":{' * 30, "1e999", '{"a": 1e999}', '"\\ud800"']),
)
def test_any_old_text_gives_a_basis_that_can_be_kept_and_said(
    method: str, basis: str, how: str, details: str
) -> None:
    found = basis_of_old(method, *(t.encode("utf-8", "replace").decode() for t in (basis, how, details)))
    assert Basis.read(found.text) == found
    assert isinstance(how_words(Band(112, 131, basis=found)), str)


def test_a_note_says_its_load_in_the_units_in_force(other_language: None) -> None:
    note = new_note(NoteKind.LOAD, Author.ATHLETE, value=12.5)
    assert note.heading == "Gepäck 12,5 kg"
    measures.use_system(measures.System.IMPERIAL)
    # 12.5 kg over 0.45359237 kg per pound (NIST SP 811, appendix B) are 27.56 lb.
    assert note.heading == "Gepäck 28 lb"
    assert to_builtins(note)["kind"] == "LOAD"


def test_thousands_are_set_apart_by_what_is_no_decimal_sign(other_language: None) -> None:
    assert measures.counted(1_234_567) == "1.234.567"
    assert measures.shortest_number(2.5) == "2,5"
    measures.use_decimal_sign(".")
    assert measures.counted(1_234_567) == "1,234,567"
    assert measures.shortest_number(5.0) == "5"
