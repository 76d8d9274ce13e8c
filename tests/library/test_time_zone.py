"""The day of an outing hangs on the time zone a note says, and so do its band and review."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from helpers.zones import computer_in
from library.making import facts, keep, warden
from slopebeat.library.notes import where_noted
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.people import BandPeriod, Ground

START = datetime(2026, 7, 11, 20, 30, tzinfo=UTC)


def test_an_outing_past_midnight_there_has_the_band_of_the_new_day(tmp_path: Path) -> None:
    with Library.create(tmp_path / "library.sqlite3") as library:
        athlete = library.athletes.add(warden())
        (kept,) = keep(library, athlete, b"a file", replace(facts(offset_s=None), start_utc=START))
        for day, band in ((date(2026, 1, 1), Band(112, 131)), (date(2026, 7, 12), Band(118, 138))):
            library.bands.put(BandPeriod(athlete.identity, Ground.FOOT, day, band))
        inputs = library.inputs(athlete.identity)
        with computer_in("UTC0"):
            (before,) = library.results.stale(1, inputs)
        assert before.aim.band == Band(112, 131)
        note = new_note(NoteKind.UTC_OFFSET, Author.ATHLETE, value=5.75)
        library.notes.merge(kept.outing.identity, [note])
        (after,) = library.results.stale(1, inputs)
        assert after.aim.band == Band(118, 138)
        assert after.input_key != before.input_key
        # 20:30 in UTC is a quarter past two of the next day in Nepal (PEP 615 time zone database).
        there = START.astimezone(ZoneInfo("Asia/Kathmandu"))
        assert where_noted(after.outing, after.notes).local_day() == there.date() == date(2026, 7, 12)
        assert where_noted(after.outing, []).utc_offset_s is None
