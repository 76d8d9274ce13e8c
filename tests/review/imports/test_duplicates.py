"""Recordings of one outing meet by time and by heart rate or way; the fuller is kept, and nothing is lost."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from slopebeat.cleaning.clean import clean
from slopebeat.command.main import main
from slopebeat.files.reading import read
from slopebeat.library.notebooks import Notebooks
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.errors import UserError
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.outing.notebooks import ContentKey, Notebook
from slopebeat.model.people import Athlete
from slopebeat.model.recording import content_hash
from slopebeat.review.archive.library import merge_archive, write_archive
from slopebeat.review.duplicates import Trace, same_outing, trace_of
from slopebeat.review.imports.importing import import_files
from slopebeat.review.imports.recompute import recompute
from slopebeat.review.imports.report import ImportReport
from slopebeat.review.notes.keeping import LibraryStore, book_of

DAY = datetime(2026, 7, 11, 6, 0, tzinfo=UTC)
NEVER_SET = datetime(1989, 12, 31, tzinfo=UTC)  # FIT's own zero (FIT profile, date_time)
POINT = '<trkpt lat="{lat:.6f}" lon="{lon:.6f}"><ele>{ele:.1f}</ele><time>{time}</time>{heart}</trkpt>'
HEART = "<extensions><hr>{hr:.0f}</hr></extensions>"
MARK = Mark(100.0, 160.0, Channel.HEART_RATE, Reason.BY_HAND, MarkState.ACCEPTED)


def heart_bpm(t_s: float) -> float:
    return 112.0 + 15.0 * math.sin(t_s / 130.0) + 8.0 * math.sin(t_s / 37.0)


def gpx(
    from_s: int,
    to_s: int,
    day: datetime = DAY,
    lon: float = 11.0,
    heart: bool = True,
    every_s: int = 2,
    shift_bpm: float = 0.0,
) -> bytes:
    """Seconds of one outing as a device wrote them, or of another elsewhere (``lon``)."""
    points = (
        POINT.format(
            lat=46.0 + 1.2e-5 * t,
            lon=lon,
            ele=1500.0 + 0.1 * t,
            time=f"{day + timedelta(seconds=t):%Y-%m-%dT%H:%M:%SZ}",
            heart=HEART.format(hr=heart_bpm(t) + shift_bpm) if heart else "",
        )
        for t in range(from_s, to_s, every_s)
    )
    head = '<gpx version="1.1" creator="invented" xmlns="http://www.topografix.com/GPX/1/1"><trk>'
    return f"{head}<trkseg>{''.join(points)}</trkseg></trk></gpx>".encode()


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with Library.create(tmp_path / "kept" / "library.sqlite3") as opened:
        yield opened


@pytest.fixture
def athlete(library: Library) -> str:
    return library.athletes.add(Athlete(new_identity(), "hut warden")).identity


class Bringing:
    """Files written and imported one after the other."""

    def __init__(self, library: Library, athlete: str, folder: Path) -> None:
        self.library, self.athlete, self.folder = library, athlete, folder

    def __call__(self, name: str, data: bytes, anyway: bool = False) -> ImportReport:
        path = self.folder / name
        path.write_bytes(data)
        return import_files(self.library, self.athlete, [path], workers=1, anyway=anyway)

    @property
    def names(self) -> list[str]:
        return [outing.file_name for outing in self.library.outings.of(self.athlete)]


@pytest.fixture
def bring(library: Library, athlete: str, tmp_path: Path) -> Bringing:
    return Bringing(library, athlete, tmp_path)


def test_a_part_imported_first_does_not_hide_the_whole(bring: Bringing) -> None:
    part, whole = gpx(0, 936), gpx(0, 2834)
    bring("part.gpx", part)
    (before,) = bring.library.outings.of(bring.athlete)
    report = bring("whole.gpx", whole)
    (outing,) = bring.library.outings.of(bring.athlete)
    assert [(each.before, each.outing) for each in report.taken_over] == [("part.gpx", outing)]
    assert (report.imported, report.duplicates) == ([], [])
    assert outing.identity == before.identity
    assert (before.title, outing.title) == ("part", "whole"), (
        "named after the file as long as nobody named it"
    )
    assert bring.library.outings.original(outing.identity) == whole
    (row,) = bring.library.results.summaries(bring.athlete).values()
    assert row.recorded_s == pytest.approx(2832.0, abs=4.0)
    again = bring("part again.gpx", part)
    assert [each.same_file for each in again.duplicates] == [False]
    assert bring.names == ["whole.gpx"]
    assert bring.library.check(files=True) == ()


def test_the_whole_imported_first_keeps_its_parts_out(bring: Bringing) -> None:
    bring("whole.gpx", gpx(0, 2000))
    for name, part in (("start.gpx", gpx(0, 936)), ("end.gpx", gpx(1000, 2000))):
        report = bring(name, part)
        assert [(each.name, each.same_file) for each in report.duplicates] == [(name, False)]
    assert bring.names == ["whole.gpx"]


def test_two_devices_on_one_outing_are_one_though_they_start_minutes_apart(bring: Bringing) -> None:
    bring("watch.gpx", gpx(0, 1800))
    report = bring("bike computer.gpx", gpx(150, 1790, every_s=5, shift_bpm=1.0))
    assert [each.name for each in report.duplicates] == ["bike computer.gpx"]


def test_two_outings_that_start_together_are_both_kept(bring: Bringing) -> None:
    bring("here.gpx", gpx(0, 900))
    report = bring("elsewhere.gpx", gpx(0, 900, lon=11.5))
    assert [outing.file_name for outing in report.imported] == ["elsewhere.gpx"]


def test_a_clock_that_was_never_set_matches_only_the_same_bytes(bring: Bringing) -> None:
    first, second = gpx(0, 900, NEVER_SET), gpx(0, 1200, NEVER_SET)
    bring("one.gpx", first)
    assert len(bring("another.gpx", second).imported) == 1
    assert [each.same_file for each in bring("one again.gpx", first).duplicates] == [True]
    assert bring.names == ["one.gpx", "another.gpx"] or bring.names == ["another.gpx", "one.gpx"]


def test_a_longer_recording_without_heart_rate_takes_no_place(bring: Bringing) -> None:
    bring("with a strap.gpx", gpx(0, 900))
    report = bring("phone.gpx", gpx(0, 1000, heart=False))
    assert [each.name for each in report.duplicates] == ["phone.gpx"]
    assert bring.names == ["with a strap.gpx"]
    report = bring("phone.gpx", gpx(0, 1000, heart=False), anyway=True)
    assert [outing.file_name for outing in report.imported] == ["phone.gpx"]


def test_notes_and_marks_go_along_at_their_moments(bring: Bringing) -> None:
    part, whole = gpx(600, 1500), gpx(0, 1700)
    bring("part.gpx", part)
    (outing,) = bring.library.outings.of(bring.athlete)
    note = new_note(NoteKind.REMARK, Author.COACH, "steep", start_s=30.0, end_s=50.0)
    LibraryStore(bring.library, outing, book_of(bring.library, outing)).write(
        replace(book_of(bring.library, outing), notes=(note,), marks=(MARK,), load=(5.0, 60.0))
    )
    bring.library.outings.set_title(outing.identity, "up to the hut")
    bring("whole.gpx", whole)
    (outing,) = bring.library.outings.of(bring.athlete)
    assert outing.title == "up to the hut"
    book = book_of(bring.library, outing)
    assert [(each.text, each.start_s, each.end_s) for each in book.notes] == [("steep", 630.0, 650.0)]
    assert book.marks == (replace(MARK, start_s=700.0, end_s=760.0),)
    assert book.load == (5.0, 660.0)
    (kept,) = bring.library.notes.of(outing.identity)
    assert kept.start_s is not None
    assert outing.start_utc + timedelta(seconds=kept.start_s) == DAY + timedelta(seconds=630), "as it was"
    assert recompute(bring.library, bring.athlete, workers=1).renewed == [outing.identity]


def test_what_cleaning_doubts_outside_of_a_part_stays_in_doubt(bring: Bringing) -> None:
    stuck = gpx(0, 1700).replace(HEART.format(hr=heart_bpm(1600)).encode(), b"")
    broken = stuck.replace(b"<hr>112</hr>", b"<hr>255</hr>")
    bring("whole alone.gpx", broken)
    (alone,) = bring.library.outings.of(bring.athlete)
    recordings = read(broken).recordings
    proposed = [m for m in clean(recordings[0]).marks if m.start_s > 600.0]
    assert proposed, "there is something to doubt behind the part"
    bring.library.outings.remove([alone.identity])
    bring("part.gpx", gpx(0, 600))
    (outing,) = bring.library.outings.of(bring.athlete)
    bring.library.outings.set_marks(outing.identity, (MARK,))
    bring("whole.gpx", broken)
    marks = bring.library.outings.marks(outing.identity)
    assert marks is not None
    assert [m for m in marks if m.start_s < 590.0] == [MARK], "in the part only what was decided"
    assert [m for m in marks if m.start_s > 600.0] == proposed


def test_several_parts_become_one_with_the_whole(bring: Bringing) -> None:
    bring("first half.gpx", gpx(0, 900))
    bring("second half.gpx", gpx(1000, 1700))
    first, second = bring.library.outings.of(bring.athlete)
    for outing, text in ((first, "up"), (second, "down")):
        note = new_note(NoteKind.REMARK, Author.COACH, text, start_s=10.0)
        bring.library.notes.merge(outing.identity, [note])
    bring("whole.gpx", gpx(0, 1800))
    (outing,) = bring.library.outings.of(bring.athlete)
    notes = bring.library.notes.of(outing.identity)
    assert [(each.text, each.start_s) for each in notes] == [("up", 10.0), ("down", 1010.0)]
    for name, part in (("a.gpx", gpx(0, 900)), ("b.gpx", gpx(1000, 1700))):
        assert len(bring(name, part).duplicates) == 1
    assert bring.names == ["whole.gpx"]
    assert bring.library.check(files=True) == ()


def test_part_and_whole_in_one_import_are_one_outing_of_the_whole(bring: Bringing) -> None:
    for name, data in (("a part.gpx", gpx(0, 700)), ("b whole.gpx", gpx(0, 1500))):
        (bring.folder / name).write_bytes(data)
    paths = [bring.folder / "a part.gpx", bring.folder / "b whole.gpx"]
    report = import_files(bring.library, bring.athlete, paths, workers=1)
    assert [outing.file_name for outing in report.imported] == ["b whole.gpx"]
    assert report.imported == list(bring.library.outings.of(bring.athlete))


def test_anyway_keeps_both_and_never_the_same_bytes_twice(bring: Bringing) -> None:
    part = gpx(0, 900)
    bring("whole.gpx", gpx(0, 1800))
    assert bring("part.gpx", part).other_recordings == {content_hash(part)}
    assert [outing.file_name for outing in bring("part.gpx", part, anyway=True).imported] == ["part.gpx"]
    again = bring("part.gpx", part, anyway=True)
    assert [each.same_file for each in again.duplicates] == [True]
    assert again.other_recordings == frozenset()
    assert sorted(bring.names) == ["part.gpx", "whole.gpx"]


def test_of_two_files_of_one_name_only_the_one_asked_for_is_imported_anyway(bring: Bringing) -> None:
    bring("whole.gpx", gpx(0, 1800))
    paths = [bring.folder / name / "part.gpx" for name in ("spring", "summer")]
    for path, data in zip(paths, (gpx(0, 900), gpx(900, 1700)), strict=True):
        path.parent.mkdir()
        path.write_bytes(data)
    report = import_files(bring.library, bring.athlete, paths, workers=1)
    wanted = content_hash(gpx(900, 1700))
    assert wanted in report.other_recordings
    report = import_files(bring.library, bring.athlete, paths, workers=1, anyway=True, only={wanted})
    assert [outing.content_hash for outing in report.imported] == [wanted]
    assert report.duplicates == []


def test_the_command_says_what_took_a_place_and_imports_anyway(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = str(tmp_path / "library.sqlite3")
    part, whole = tmp_path / "part.gpx", tmp_path / "whole.gpx"
    part.write_bytes(gpx(0, 900))
    whole.write_bytes(gpx(0, 1800))
    assert main(["import", str(part), "--library", place, "--athlete", "hut warden"]) == 0
    assert main(["import", str(whole), "--library", place]) == 0
    assert "whole.gpx is a fuller recording of" in capsys.readouterr().out
    assert main(["import", str(part), "--library", place]) == 0
    told = capsys.readouterr().out
    assert "0 outings imported, 1 already there" in told
    assert "part.gpx is another recording of" in told
    assert "kept from whole.gpx" in told
    assert "--anyway" in told
    assert main(["import", str(part), "--library", place, "--anyway"]) == 0
    assert "1 outing imported" in capsys.readouterr().out


def test_notes_on_another_recording_come_in_at_their_moments(bring: Bringing) -> None:
    part = gpx(600, 1500)
    bring("whole.gpx", gpx(0, 1700))
    bring("part.gpx", part)
    key = ContentKey(content_hash(part), 0)
    note = new_note(NoteKind.REMARK, Author.COACH, "steep", start_s=30.0)
    Notebooks().write(key, Notebook((note,), (MARK,)))
    assert bring("part.gpx", part).notebooks == 1
    (outing,) = bring.library.outings.of(bring.athlete)
    book = book_of(bring.library, outing)
    assert [(each.text, each.start_s) for each in book.notes] == [("steep", 630.0)]
    assert book.marks is None, "marks are of that recording alone"
    assert Notebooks().read(key)[0].marks == (MARK,), "and stay with it"


def test_what_is_on_screen_is_not_mixed_into_the_recording_that_took_its_place(bring: Bringing) -> None:
    bring("part.gpx", gpx(600, 1500))
    (outing,) = bring.library.outings.of(bring.athlete)
    book = book_of(bring.library, outing)
    store = LibraryStore(bring.library, outing, book)
    bring("whole.gpx", gpx(0, 1700))
    with pytest.raises(UserError, match=r"whole\.gpx"):
        store.write(replace(book, marks=(MARK,)))
    with pytest.raises(UserError, match=r"whole\.gpx"):
        store.read_again()
    assert bring.library.outings.marks(outing.identity) is None


def test_an_archive_meets_outings_kept_from_other_files(bring: Bringing, tmp_path: Path) -> None:
    bring("watch.gpx", gpx(0, 900))
    with Library.create(tmp_path / "other.sqlite3") as other:
        whose = other.athletes.add(Athlete(bring.athlete, "hut warden")).identity
        for name, data in (("phone.gpx", gpx(100, 800)), ("other day.gpx", gpx(0, 900, lon=11.5))):
            (tmp_path / name).write_bytes(data)
            import_files(other, whose, [tmp_path / name], workers=1)
        write_archive(other, whose, tmp_path / "archive.zip")
    merged = merge_archive(bring.library, tmp_path / "archive.zip")
    assert (merged.new_outings, merged.known_outings) == (1, 1)
    assert sorted(bring.names) == ["other day.gpx", "watch.gpx"]


def trace(data: bytes, **columns: float) -> Trace:
    made = trace_of(read(data).recordings[0])
    changed: dict[str, Any] = {name: np.full(made.t_s.size, value) for name, value in columns.items()}
    return replace(made, **changed)


@pytest.mark.parametrize(
    ("other", "same"),
    [
        (trace(gpx(100, 1000, every_s=3, shift_bpm=1.0), lat_deg=math.nan), True),
        (trace(gpx(100, 1000, shift_bpm=9.0), lat_deg=math.nan), False),
        (trace(gpx(100, 1000), lat_deg=math.nan, hr_bpm=math.nan), False),
        (trace(gpx(880, 2000), lat_deg=math.nan), False),
        (trace(gpx(100, 1000), lon_deg=11.01), False),
    ],
    ids=["one heart", "another heart", "nothing to compare", "hardly overlapping", "another place"],
)
def test_recordings_agree_in_place_or_without_places_in_heart_rate(other: Trace, same: bool) -> None:
    assert same_outing(trace(gpx(0, 1200)), other) is same
    assert same_outing(other, trace(gpx(0, 1200))) is same


def ride(late_s: float, to_s: int = 1800, lat_deg_per_s: float = 1e-4, every_s: int = 1) -> Trace:
    """A ride at 11 m/s as a device wrote it whose clock is late by so much; NaN degrees: without places."""
    t = np.arange(0.0, to_s, every_s)
    known = t if math.isfinite(lat_deg_per_s) else np.full(t.size, math.nan)
    hearts = np.array([heart_bpm(moment) for moment in t])
    moved = lat_deg_per_s * known
    return Trace(
        DAY + timedelta(seconds=late_s), t, hearts, 46.0 + moved, 11.0 + moved, float(to_s), float(to_s)
    )


def test_clocks_may_be_apart_as_far_as_clocks_are() -> None:
    """Satellites' time is 18 s ahead of UTC (IERS Bulletin C 72 ff.): 200 m at 11 m/s."""
    assert same_outing(ride(0.0), ride(18.0, every_s=3))
    assert not same_outing(ride(0.0), ride(90.0)), "with places of both, a minute and a half is another ride"
    unplaced: dict[str, Any] = {"lat_deg_per_s": math.nan}
    assert same_outing(ride(0.0), ride(40.0, every_s=5, **unplaced)), "a clock set by hand"
    assert not same_outing(ride(0.0, **unplaced), ride(300.0, **unplaced))


def test_a_few_minutes_of_heart_rate_alone_tell_nothing() -> None:
    assert same_outing(ride(0.0), ride(0.0, 900, math.nan))
    assert not same_outing(ride(0.0), ride(0.0, 300, math.nan))


def test_real_outings_at_one_time_are_told_apart_and_found_again_on_another_device(recordings: Path) -> None:
    """The recordings are people's own, not ours; only their beginnings are moved to one moment."""
    names = (
        "hilly_ride.tcx",
        "steep_hike_long_stop.tcx",
        "walk.tcx",
        "road_1hz_few_pauses.fit",
        "run_short.fit",
    )
    traces = [
        replace(trace_of(read(recordings / name).recordings[0]), start_utc=DAY)
        for name in names
        if (recordings / name).exists()
    ]
    assert len(traces) >= 4
    chance = np.random.default_rng(1)
    for at, one in enumerate(traces):
        late = slice(3, int(0.9 * one.t_s.size), 4)
        count = one.t_s[late].size
        copy = replace(
            one,
            t_s=one.t_s[late] + 2.0,
            hr_bpm=np.round(one.hr_bpm[late] + chance.normal(0.0, 2.0, count)),
            lat_deg=one.lat_deg[late] + chance.normal(0.0, 7e-5, count),
            lon_deg=one.lon_deg[late] + chance.normal(0.0, 7e-5, count),
        )
        assert same_outing(one, copy)
        assert not any(same_outing(one, other) for other in traces[at + 1 :])
