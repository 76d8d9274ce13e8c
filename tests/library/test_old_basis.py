"""A library as the first version wrote it, with every kind of sentence on how a band was found."""

from __future__ import annotations

import gzip
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from helpers.sentences import sentences_of
from slopebeat.library import migration
from slopebeat.library.store import Library
from slopebeat.model import measures
from slopebeat.model.bands import BandMethod
from slopebeat.model.language import use_language
from slopebeat.model.people import Ground
from slopebeat.review.words.basis import basis_words, how_words

WRITTEN = Path(__file__).parent / "files" / "version_1.sqlite3.gz"
WARDEN = "11111111-1111-4111-8111-111111111111"

FIRST_DAYS = [f"2023-{month:02d}-01" for month in range(1, 10)]
"""On foot; on a bike it is one band from 1970 on."""

EDGES = [(112, 131), (104, 131), (99, 131), *[(112, 131)] * 6]
METHODS = ["HR_MAX", "RESERVE", "HR_MAX", "LACTATE", "DRIFT_TEST", *["MANUAL"] * 3, "DRIFT_TEST"]

ENGLISH = [
    "Measured maximum: 60-70 % of 187 bpm",
    "Heart-rate reserve: 40-59 % of the reserve from 50 to 187 bpm",
    "By age only (Tanaka 2001, 45 years, ±10-12 bpm)",
    "Lactate step test. Heart rate at 1.0 and 1.9 mmol/L of the step test (common practice).",
    "Steady-hour check: Forststraße, 62 min",
    "Set by hand",
    "set by hand",
    "set by hand",
    "Steady-hour check: at 131 bpm decoupling was +3.2 %, with a limit of 5 % (60-70 % of 187 bpm)",
]
GERMAN = [
    "Gemessenes Maximum: 60-70 % von 187 bpm",
    "Herzfrequenzreserve: 40-59 % der Reserve von 50 bis 187 bpm",
    "Nur nach dem Alter (Tanaka 2001, 45 Jahre, ±10-12 bpm)",
    "Laktat-Stufentest. Herzfrequenz bei 1,0 und 1,9 mmol/L im Stufentest (gängige Praxis).",
    "Stundenprobe: Forststraße, 62 min",
    "Von Hand gesetzt",
    "von Hand gesetzt",
    "von Hand gesetzt",
    "Stundenprobe: bei 131 bpm betrug die Entkopplung +3,2 %, bei einer Grenze von 5 % (60-70 % von 187 bpm)",
]
SHORT = {0: "60-70 % of 187 bpm", 1: "40-59 % of the reserve from 50 to 187 bpm", 2: ENGLISH[2]}
SHORT_GERMAN = {
    0: "60-70 % von 187 bpm",
    1: "40-59 % der Reserve von 50 bis 187 bpm",
    2: GERMAN[2],
}


@pytest.fixture
def old(tmp_path: Path) -> Path:
    path = tmp_path / "old.sqlite3"
    path.write_bytes(gzip.decompress(WRITTEN.read_bytes()))
    return path


def rows(path: Path, query: str) -> list[tuple[Any, ...]]:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(query).fetchall()


@pytest.mark.parametrize(
    ("code", "sign", "full", "short"), [("en", ".", ENGLISH, SHORT), ("de", ",", GERMAN, SHORT_GERMAN)]
)
def test_bands_keep_edges_and_days_and_are_worded_in_the_language_in_force(
    old: Path, code: str, sign: str, full: list[str], short: dict[int, str]
) -> None:
    # Under the other language: what is kept may not depend on the one the step is taken in.
    use_language("en" if code == "de" else "de")
    Library.open(old)
    use_language(code)
    measures.use_decimal_sign(sign)
    periods = Library.open(old).bands.of(WARDEN)
    on_foot = [period for period in periods if period.ground is Ground.FOOT]
    assert [period.from_day.isoformat() for period in on_foot] == FIRST_DAYS
    assert [(period.band.lower_bpm, period.band.upper_bpm) for period in on_foot] == EDGES
    assert [period.band.method for period in on_foot] == [BandMethod[name] for name in METHODS]
    assert [how_words(period.band) for period in on_foot] == full
    assert {at: basis_words(on_foot[at].band) for at in short} == short
    (on_bike,) = (period for period in periods if period.ground is Ground.BIKE)
    assert on_bike.from_day.isoformat() == "1970-01-01"
    assert (on_bike.band.lower_bpm, on_bike.band.upper_bpm) == (112, 131)
    assert how_words(on_bike.band) == short[0]


def test_all_else_is_untouched_and_the_copy_is_as_it_was(old: Path) -> None:
    tables = ("athlete", "content", "duplicate", "decided_marks", "note")
    outing = "SELECT {} FROM outing"
    result = "SELECT outing, version, input_key, summary FROM result"
    columns = ", ".join(row[1] for row in rows(old, "PRAGMA table_info(outing)"))
    queries = [*(f"SELECT * FROM {table}" for table in tables), outing.format(columns), result]
    before = [rows(old, query) for query in queries]
    bands = rows(old, "SELECT * FROM band_period")
    library = Library.open(old)
    assert [rows(old, query) for query in queries] == before
    assert library.migrated_copy is not None
    assert rows(library.migrated_copy, "SELECT * FROM band_period") == bands
    assert rows(library.migrated_copy, "PRAGMA user_version") == [(1,)]
    (kept,) = library.outings.of(WARDEN)
    assert len(library.outings.original(kept.identity)) == 15464
    assert [note.text for note in library.notes.of(kept.identity)] == ["leicht"]
    assert library.results.get(kept.identity) is not None
    assert sentences_of(library.damage.found) == ()
    assert Library.open(old).migrated_copy is None, "the second time there is nothing to do"


def test_text_that_is_none_costs_no_band(old: Path) -> None:
    with closing(sqlite3.connect(old)) as connection, connection:
        connection.execute("UPDATE band_period SET how = CAST(x'ff41' AS TEXT), details = x'00ff', basis = 7")
    periods = Library.open(old).bands.of(WARDEN)
    assert len(periods) == 10
    assert {how_words(period.band) for period in periods} == {"\ufffdA"}


def test_a_step_that_fails_leaves_the_sentences(old: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*columns: bytes) -> str:
        raise ValueError(columns)

    before = rows(old, "SELECT * FROM band_period")
    with monkeypatch.context() as broken:
        broken.setattr(migration, "_basis_text", fail)
        with pytest.raises(sqlite3.OperationalError, match="user-defined function"):
            Library.open(old)
    assert rows(old, "PRAGMA user_version") == [(2,)]
    assert rows(old, "SELECT * FROM band_period") == before
    assert len(Library.open(old).bands.of(WARDEN)) == 10
