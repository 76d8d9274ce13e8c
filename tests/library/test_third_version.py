"""A library as the third version wrote it, every kept record with it, reads as it was written."""

from __future__ import annotations

import gzip
import json
import sqlite3
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from slopebeat.library.outings import marks_text
from slopebeat.library.store import Library
from slopebeat.model.bands import BandMethod
from slopebeat.model.codec import encode
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.people import Athlete, Ground
from slopebeat.review.words.basis import how_words

WRITTEN = Path(__file__).parent / "files" / "version_3.sqlite3.gz"
WARDEN = Athlete("11111111-1111-4111-8111-111111111111", "Hut warden", 1981, 72.5, 13.0, 3, 135.0)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    place = tmp_path / "library.sqlite3"
    place.write_bytes(gzip.decompress(WRITTEN.read_bytes()))
    return place


def value(path: Path, query: str) -> Any:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(query).fetchone()[0]


def test_what_was_entered_and_decided_is_there(path: Path) -> None:
    library = Library.open(path)
    assert list(library.athletes) == [WARDEN]
    foot, bike = sorted(library.bands.of(WARDEN.identity), key=lambda each: each.from_day)
    assert (foot.ground, foot.from_day, foot.band.method) == (
        Ground.FOOT,
        date(2025, 1, 1),
        BandMethod.HR_MAX,
    )
    assert how_words(foot.band) == "Measured maximum: 60-70 % of 187 bpm"
    assert how_words(bike.band) == "ruhig, „im Sitzen“"
    (kept,) = library.outings.of(WARDEN.identity)
    assert (kept.title, kept.load_kg, kept.load_until_s) == ("Seeweg ☀ früh", 14.0, 1800.5)
    assert library.outings.left_out(WARDEN.identity) == {kept.identity}
    marks = (
        Mark(10.0, 25.5, Channel.HEART_RATE, Reason.SPIKE, MarkState.REJECTED),
        Mark(300.0, 420.0, Channel.HEART_RATE, Reason.BY_HAND, MarkState.ACCEPTED),
        Mark(500.0, 510.0, Channel.ELEVATION, Reason.ELEVATION_STEP),
    )
    assert library.outings.marks(kept.identity) == marks
    # The same bytes: results go stale when the text of marks changes.
    assert marks_text(marks) == value(path, "SELECT marks FROM decided_marks")
    notes = library.notes.of(kept.identity, deleted=True)
    assert [(note.kind.name, note.text, note.value) for note in notes] == [
        ("EFFORT", "ruhig", 3.0),
        ("REMARK", "Wind\nam See", None),
        ("LACTATE", "", 1.4),
    ]
    assert [note.deleted_utc is None for note in notes] == [True, False, True]
    assert library.damage.found == ()


def test_results_read_as_they_stand_in_the_file(path: Path) -> None:
    library = Library.open(path)
    (kept,) = library.outings.of(WARDEN.identity)
    result = library.results.get(kept.identity)
    assert result is not None
    written = json.loads(value(path, "SELECT summary FROM result"))
    start = datetime.fromisoformat(written.pop("start_utc"))
    assert {name: getattr(result.summary, name) for name in written} == written
    assert result.summary.start_utc == start == datetime(2026, 7, 12, 14, 45, tzinfo=UTC)
    assert result.summary.start_utc.utcoffset() == timedelta(0)
    (shown,) = library.results.summaries(WARDEN.identity).values()
    assert shown.title == "Seeweg ☀ früh"


def test_what_an_outing_teaches_reads_as_it_stands_in_the_file(path: Path) -> None:
    (kept,) = Library.open(path).results.evidence(WARDEN.identity)
    written = json.loads(value(path, "SELECT evidence FROM result"))
    found = kept.evidence
    assert not kept.teaches
    assert found.sums is not None
    assert found.past is not None
    assert found.sums.gram.shape == (7, 7)
    # Row by row, as NumPy lies in memory.
    np.testing.assert_array_equal(found.sums.gram[1], written["sums"]["gram"][7:14])
    np.testing.assert_array_equal(found.sums.high, written["sums"]["high"])
    assert list(found.past.hr_seconds) == written["past"]["hr_seconds"]
    assert found.past.start_lat_deg == written["past"]["start_lat_deg"]
    assert (found.kind, found.work_source, found.device) == ("walk", "model", written["device"])
    # Written again it is the same text: no figure lost a digit.
    again = json.loads(encode(found))
    assert {name: again[name] for name in written} == written
