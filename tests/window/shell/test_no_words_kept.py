"""A library filled by hand under German holds no German word but those the user typed."""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from babel.messages.pofile import read_po
from pytestqt.qtbot import QtBot

from slopebeat.analysis.band.lactate import Stage
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model import measures
from slopebeat.model.basis import DRIFT_TEST, Basis
from slopebeat.model.language import use_language
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.notes import RULES, Author, NoteKind, new_note
from slopebeat.model.people import Athlete, Ground
from slopebeat.review.archive.archive import open_archive
from slopebeat.review.archive.library import write_archive
from slopebeat.review.imports.importing import import_files
from slopebeat.review.words.basis import how_words
from slopebeat.session.outing.aim import BandChoice, Entered
from slopebeat.session.outing.view_state import Along, Rate
from slopebeat.session.settings import Layout, Settings
from slopebeat.window.library.band.finder import BandFinder

ROOT = Path(__file__).resolve().parents[3]
CATALOGUE = ROOT / "resources" / "locale" / "de" / "LC_MESSAGES" / "slopebeat.po"
HIKE = ROOT / "samples" / "hut_supply_hike.fit"
WORD = re.compile(r"[^\W\d_]{4,}")


def words(text: str) -> set[str]:
    return {word.casefold() for word in WORD.findall(text)}


@cache
def german_words() -> set[str]:
    """The words of the German catalogue that no English text has."""
    german, english = set[str](), set[str]()
    with CATALOGUE.open("rb") as stream:
        for message in read_po(stream):
            for texts, found in ((message.id, english), (message.string, german)):
                for text in [texts] if isinstance(texts, str) else texts or ():
                    found |= words(re.sub(r"\{\w*\}", " ", text))
    # A word of both languages that the English texts happen not to use.
    return german - english - {"format"}


def texts(value: Any) -> Iterator[str]:
    """Every text of a value, keys too; text that is JSON is taken apart."""
    if isinstance(value, str):
        try:
            inner = json.loads(value)
        except ValueError:
            inner = None
        if isinstance(inner, dict | list):
            yield from texts(inner)
        else:
            yield value
    elif isinstance(value, dict):
        yield from (text for pair in value.items() for each in pair for text in texts(each))
    elif isinstance(value, list | tuple):
        yield from (text for each in value for text in texts(each))


def held(path: Path) -> list[str]:
    """Every text of every table, and of the statements that made them."""
    with closing(sqlite3.connect(path)) as connection:
        names = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        found = [list(texts(row)) for name in names for row in connection.execute(f"SELECT * FROM {name}")]
    return [text for row in found for text in row]


def found_bands(finder: BandFinder) -> Iterator[Any]:
    """What each way to find a band would keep."""
    page: Any
    for at in range(finder.method.count()):
        finder.method.setCurrentIndex(at)
        page = finder.page
        for name, value in {"hr_max": 187, "hr_rest": 50, "lower_edge": 112, "upper_edge": 131}.items():
            if hasattr(page, name):
                getattr(page, name).setValue(value)
        if hasattr(page, "outcome_words"):
            page.outcome_words.setText("level road")
        if hasattr(page, "enter"):
            stages = ((80, 1.0, 100), (110, 0.9, 112), (140, 1.3, 124), (170, 2.2, 139), (200, 4.1, 156))
            page.enter(tuple(Stage(*stage) for stage in stages))
        period = finder.period()
        assert period is not None, finder.method.currentText()
        yield period


@pytest.fixture
def german() -> None:
    use_language("de")
    measures.use_decimal_sign(",")


def filled(path: Path, finder: BandFinder) -> Library:
    """A library with a band of each kind, a real outing with its result, notes of each kind and marks."""
    library = Library.create(path)
    athlete = library.athletes.add(Athlete(new_identity(), "warden", 1980))
    periods = [replace(each, athlete=athlete.identity) for each in found_bands(finder)]
    tested = periods[0].band.basis.followed_by(DRIFT_TEST, percent=3.2, threshold_percent=5.0)
    periods.append(replace(periods[0], band=replace(periods[0].band, basis=tested)))
    for month, period in enumerate(periods, 1):
        for ground in Ground:
            library.bands.put(replace(period, ground=ground, from_day=date(2020, month, 1)))
    report = import_files(library, athlete.identity, [HIKE])
    assert report.fault is None
    (outing,) = library.outings.of(athlete.identity)
    assert library.results.get(outing.identity) is not None
    for kind in NoteKind:
        rule = RULES[kind]
        value = rule.low if rule.has_value else None
        moment = 60.0 if rule.at_moment else None
        note = new_note(kind, Author.COACH, "typed", value=value, start_s=moment)
        library.notes.merge(outing.identity, [note])
    marks = tuple(Mark(1.0, 2.0, c, r, s) for c in Channel for r in Reason for s in MarkState)
    library.outings.set_marks(outing.identity, marks)
    return library


def test_a_library_and_an_archive_made_under_german_hold_no_german(
    qtbot: QtBot, tmp_path: Path, german: None
) -> None:
    athlete = Athlete(new_identity(), "warden", 1980)
    finder = BandFinder(None, athlete, lambda *_: None, date(2026, 7, 1))
    qtbot.addWidget(finder)
    library = filled(tmp_path / "library.sqlite3", finder)
    german_only = german_words()
    assert {"gemessenes", "stundenprobe", "bereich"} <= german_only
    kept = held(library.path)
    assert HIKE.name in kept, "rows were read"
    assert [text for text in kept if words(text) & german_only] == []
    (athlete,) = library.athletes
    write_archive(library, athlete.identity, tmp_path / "a.zip")
    with open_archive(tmp_path / "a.zip") as opened:
        listed = list(texts(opened._json()))
        assert opened.archive.bands == library.bands.of(athlete.identity)
    assert [text for text in listed if words(text) & german_only] == []
    period = library.bands.of(athlete.identity)[0]
    typed = Basis.own(how_words(period.band))
    library.bands.put(replace(period, band=replace(period.band, basis=typed)))
    assert [text for text in held(library.path) if words(text) & german_only], "a sentence would be found"


def test_settings_made_under_german_hold_no_words_of_the_screen(tmp_path: Path, german: None) -> None:
    settings = Settings(tmp_path / "settings.json")
    settings.remember_aim(Entered(BandChoice(hr_max_bpm=187)))
    settings.keep(layout=Layout(along=Along.DISTANCE, rate=Rate.VERTICAL))
    written = json.loads(settings.path.read_text(encoding="utf-8"))
    assert written["band"]["method"] == "MANUAL"
    assert (written["layout"]["along"], written["layout"]["rate"]) == ("DISTANCE", "VERTICAL")
    assert [text for text in texts(written) if words(text) & german_words()] == []
