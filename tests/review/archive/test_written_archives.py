"""Archives as each version wrote them come in whole."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from slopebeat.library.store import Library
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.people import Athlete, Ground
from slopebeat.review.archive.archive import open_archive
from slopebeat.review.archive.library import merge_archive, write_archive
from slopebeat.review.words.basis import how_words

FILES = Path(__file__).parent / "files"
WARDEN = Athlete("11111111-1111-4111-8111-111111111111", "Hut warden", 1981, 72.5, 13.0, 3, 135.0)
WORDS = {
    "archive_1.zip": ("Measured maximum: 60-70 % of 187 bpm", "Set by hand"),
    "archive_2.zip": ("Measured maximum: 60-70 % of 187 bpm", "ruhig, „im Sitzen“"),
    "archive_3.zip": ("Measured maximum: 60-70 % of 187 bpm", "ruhig, „im Sitzen“"),
}


@pytest.mark.parametrize("name", WORDS)
def test_a_written_archive_comes_in_whole(name: str, tmp_path: Path) -> None:
    library = Library.create(tmp_path / "library.sqlite3")
    merge_archive(library, FILES / name)
    assert list(library.athletes) == [WARDEN]
    foot, bike = library.bands.of(WARDEN.identity)[::-1]
    assert (foot.ground, foot.from_day, bike.from_day) == (Ground.FOOT, date(2025, 1, 1), date(2025, 3, 1))
    assert [(p.band.lower_bpm, p.band.upper_bpm) for p in (foot, bike)] == [(112, 131), (110, 128)]
    assert (how_words(foot.band), how_words(bike.band)) == WORDS[name]
    (kept,) = library.outings.of(WARDEN.identity)
    assert (kept.title, kept.file_name, kept.load_kg, kept.load_until_s) == (
        *("Seeweg ☀ früh", "walk.gpx"),
        *(14.0, 1800.5),
    )
    assert (kept.start_utc, kept.utc_offset_s) == (datetime(2026, 7, 12, 14, 45, tzinfo=UTC), None)
    assert library.outings.marks(kept.identity) == (
        Mark(10.0, 25.5, Channel.HEART_RATE, Reason.SPIKE, MarkState.REJECTED),
        Mark(300.0, 420.0, Channel.HEART_RATE, Reason.BY_HAND, MarkState.ACCEPTED),
        Mark(500.0, 510.0, Channel.ELEVATION, Reason.ELEVATION_STEP),
    )
    notes = library.notes.of(kept.identity, deleted=True)
    assert [(note.kind.name, note.text, note.value, note.start_s) for note in notes] == [
        ("EFFORT", "ruhig", 3.0, 60.0),
        ("REMARK", "Wind\nam See", None, 100.0),
        ("LACTATE", "", 1.4, 900.0),
    ]
    # The first version did not say what is left out of what is learnt.
    assert bool(library.outings.left_out(WARDEN.identity)) is (name != "archive_1.zip")
    assert library.outings.original(kept.identity).startswith(b"<?xml")


@pytest.mark.parametrize("name", ["archive_2.zip", "archive_3.zip"])
def test_a_written_archive_is_written_again_as_it_was(name: str, tmp_path: Path) -> None:
    library = Library.create(tmp_path / "library.sqlite3")
    merge_archive(library, FILES / name)
    write_archive(library, WARDEN.identity, tmp_path / "again.zip")
    with open_archive(FILES / name) as before, open_archive(tmp_path / "again.zip") as after:
        assert after.archive.athlete == before.archive.athlete
        assert after.archive.bands == before.archive.bands
        assert [each.marks for each in after.archive.outings] == [e.marks for e in before.archive.outings]
