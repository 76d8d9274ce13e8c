"""The choice of a language and what happens where a translation is missing."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from slopebeat.model import language


@pytest.fixture(autouse=True)
def _as_before() -> Iterator[None]:
    yield
    language.use_language("en")


@pytest.mark.parametrize(
    ("name", "code"), [("de_AT.UTF-8", "de"), ("de", "de"), ("fr-CH", "en"), ("C", "en"), ("", "en")]
)
def test_a_locale_finds_its_language(name: str, code: str) -> None:
    assert language.fitting(name) == code


def test_text_without_a_translation_stays_english() -> None:
    assert language.tr("no such text") == "no such text"
    assert language.trn("{n} hut", "{n} huts", 1).format(n=1) == "1 hut"
    assert language.trn("{n} hut", "{n} huts", 2).format(n=2) == "2 huts"


def test_nothing_at_all_is_not_the_heading_of_the_catalogue() -> None:
    assert language.tr("") == ""


def test_an_unknown_language_is_refused_in_a_sentence() -> None:
    with pytest.raises(language.NoSuchLanguage, match="no language 'xx'"):
        language.use_language("xx")
