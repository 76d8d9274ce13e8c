"""Importing as a coach would: a folder of years, archives from elsewhere, twice, and stopped half-way."""

from __future__ import annotations

import dataclasses
import hashlib
import io
import shutil
import sqlite3
import tempfile
import zipfile
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.errors import Cancelled
from slopebeat.model.people import Athlete, BandPeriod, Ground
from slopebeat.model.recording import Sport
from slopebeat.review.imports import pool
from slopebeat.review.imports import sources as import_sources
from slopebeat.review.imports.importing import import_files
from slopebeat.review.imports.recompute import FEW, recompute
from slopebeat.review.imports.work import Order
from slopebeat.review.summary import COMPUTATION_VERSION, summarise

SAMPLES = Path(__file__).resolve().parents[3] / "samples"
THREE = ("forest_road_patrol.tcx", "hut_supply_hike.fit", "lake_shore_walk.gpx")


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with Library.create(tmp_path / "kept" / "library.sqlite3") as opened:
        yield opened


@pytest.fixture
def athlete(library: Library) -> str:
    return library.athletes.add(Athlete(new_identity(), "hut warden")).identity


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The samples in nested folders, with things among them that are no recordings."""
    target = tmp_path / "years"
    for number, name in enumerate(THREE):
        (target / f"year {number}").mkdir(parents=True)
        shutil.copy(SAMPLES / name, target / f"year {number}" / name)
    (target / "notes.txt").write_text("not a recording, and not tried")
    (target / "year 0" / "broken.fit").write_bytes(b"no recording at all")
    return target


@pytest.fixture(scope="module")
def three_kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A library into which the samples were imported, for tests of what comes after."""
    path = tmp_path_factory.mktemp("three") / "library.sqlite3"
    with Library.create(path) as library:
        who = library.athletes.add(Athlete(new_identity(), "hut warden")).identity
        assert len(import_files(library, who, [SAMPLES / name for name in THREE]).imported) == 3
    return path


@pytest.fixture
def filled(three_kept: Path, tmp_path: Path) -> Iterator[Library]:
    """A copy of it."""
    path = tmp_path / "filled.sqlite3"
    shutil.copy(three_kept, path)
    with Library.open(path) as opened:
        yield opened


@pytest.mark.usefixtures("real_workers")
def test_a_folder_is_imported_once_and_a_second_time_is_all_duplicates(
    library: Library, athlete: str, folder: Path
) -> None:
    told: list[tuple[int, int, str]] = []
    acknowledged: list[str] = []

    def on_disk(kept: object) -> None:
        # Read through a second connection: only what was committed is seen there.
        identity = kept.outing.identity  # type: ignore[attr-defined]
        with Library.open(library.path) as other:
            assert other.results.get(identity) is not None
        acknowledged.append(identity)

    report = import_files(library, athlete, [folder], lambda *step: told.append(step), on_disk)
    assert {outing.file_name for outing in report.imported} == set(THREE)
    assert [outing.identity for outing in report.imported] == acknowledged
    assert [(each.name, each.sentence[-1]) for each in report.unreadable] == [("year 0/broken.fit", ".")]
    assert (report.duplicates, report.cancelled, report.fault) == ([], False, None)
    assert told[-1][:2] == (4, 4)
    assert [done for done, _, _ in told] == sorted(done for done, _, _ in told)
    for outing in report.imported:
        original = next(folder.rglob(outing.file_name)).read_bytes()
        assert library.outings.original(outing.identity) == original
        assert outing.content_hash == hashlib.sha256(original).hexdigest()
    again = import_files(library, athlete, [folder, folder / "year 1" / THREE[1]])
    assert again.imported == []
    assert len(again.duplicates) == 4
    assert library.outings.count() == 3
    assert library.check(files=True) == ()


def test_the_result_is_that_of_the_band_in_force_on_the_day_and_ground(
    library: Library, athlete: str, folder: Path
) -> None:
    import datetime

    from slopebeat.files.reading import read_recordings
    from slopebeat.review.outing import review_recording

    first, hike_day = datetime.date(2026, 1, 1), datetime.date(2026, 7, 11)
    for ground, day, band in (
        (Ground.FOOT, first, Band(100, 120)),
        (Ground.FOOT, hike_day, Band(112, 131)),
        (Ground.BIKE, first, Band(105, 125)),
    ):
        library.bands.put(BandPeriod(athlete, ground, day, band))
    import_files(library, athlete, [folder], load_kg=4.0, load_until_s=1800.0)
    assert library.stale_outings(COMPUTATION_VERSION) == ()
    by_file = {o.file_name: library.results.get(o.identity) for o in library.outings.of(athlete)}
    bands = {name: (r.summary.band_lower_bpm, r.summary.load_kg) for name, r in by_file.items() if r}
    assert bands == {THREE[0]: (105, 4.0), THREE[1]: (112, 4.0), THREE[2]: (112, 4.0)}
    (recording,) = read_recordings(SAMPLES / THREE[1])
    aim = library.inputs(athlete).aim(Ground.FOOT, hike_day, 4.0, 1800.0)
    kept = by_file[THREE[1]]
    assert kept is not None
    # Not to the last digit: linear algebra adds up in another order with another number of threads.
    there, here = vars(kept.summary), vars(summarise(review_recording(recording, aim)))
    figures = {name: value for name, value in here.items() if isinstance(value, float)}
    assert {name: there[name] for name in figures} == pytest.approx(figures, rel=1e-6)
    assert there | figures == here


def test_a_changed_band_renews_exactly_the_outings_it_covers(filled: Library) -> None:
    import datetime

    library = filled
    (athlete,) = (one.identity for one in library.athletes)
    rides = [o.identity for o in library.outings.of(athlete) if o.on_bike]
    library.bands.put(BandPeriod(athlete, Ground.BIKE, datetime.date(2026, 1, 1), Band(105, 125)))
    before = library.results.summaries(athlete)
    report = recompute(library, athlete)
    assert report.renewed == rides
    assert report.failed == []
    after = library.results.summaries(athlete)
    for identity, row in after.items():
        assert (row == before[identity]) is (identity not in rides)
    assert after[rides[0]].band_upper_bpm == 125
    assert library.stale_outings(COMPUTATION_VERSION) == ()


@pytest.mark.parametrize(("outings", "started"), [(FEW, 0), (FEW + 1, 1)])
def test_a_command_reviews_few_outings_without_starting_processes(
    filled: Library, monkeypatch: pytest.MonkeyPatch, outings: int, started: int
) -> None:
    """The results are those of worker processes, and a command waits for no process to load the program."""
    library = filled
    (athlete,) = (one.identity for one in library.athletes)
    before = library.results.summaries(athlete)
    with closing(sqlite3.connect(library.path)) as connection, connection:
        connection.execute(
            "UPDATE result SET summary = '' WHERE rowid IN (SELECT rowid FROM result LIMIT ?)", (outings,)
        )
    monkeypatch.setattr("slopebeat.review.imports.recompute.Workers", pool.Workers)
    begun: list[object] = []

    def start(*given: Any) -> ProcessPoolExecutor:
        begun.append(given)
        return ProcessPoolExecutor(*given)

    monkeypatch.setattr(pool, "ProcessPoolExecutor", start)
    report = recompute(library, athlete, few_here=True)
    assert (len(report.renewed), len(begun)) == (outings, started)
    after = library.results.summaries(athlete)
    assert list(after) == list(before)
    for identity, row in after.items():
        assert row.moving_s == before[identity].moving_s
        assert row.ascent_m == pytest.approx(before[identity].ascent_m, rel=1e-6)


def test_a_command_that_reviews_by_itself_can_be_stopped(
    library: Library, athlete: str, folder: Path
) -> None:
    import_files(library, athlete, [folder / "year 1"])
    with closing(sqlite3.connect(library.path)) as connection, connection:
        connection.execute("UPDATE result SET summary = ''")

    def stop(done: int, total: int, name: str) -> None:
        raise Cancelled

    report = recompute(library, athlete, stop, few_here=True)
    assert (report.cancelled, report.renewed, report.failed) == (True, [], [])
    assert recompute(library, athlete, few_here=True).renewed == [library.outings.of(athlete)[0].identity]


def test_stopping_keeps_what_was_done_and_the_next_import_goes_on(
    library: Library, athlete: str, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop_after_one(done: int, total: int, name: str) -> None:
        if library.outings.count() >= 1:
            raise Cancelled

    with monkeypatch.context() as while_stopped:
        while_stopped.setattr("slopebeat.review.imports.importing.Workers", pool.Workers)
        report = import_files(library, athlete, [folder], stop_after_one)
    assert report.cancelled
    assert len(report.imported) == library.outings.count() == 1
    rest = import_files(library, athlete, [folder])
    assert (len(rest.imported), len(rest.duplicates)) == (2, 1)


def test_a_library_that_can_take_no_more_says_so_and_what_it_took_stays(
    library: Library, athlete: str, folder: Path
) -> None:
    connection = library._connections.current()
    used = connection.execute("PRAGMA page_count").fetchone()[0]
    connection.execute(f"PRAGMA max_page_count = {used + 25}")
    report = import_files(library, athlete, [folder])
    assert report.fault is not None
    assert report.fault.startswith("The disk is full")
    assert {o.identity for o in report.imported} == {o.identity for o in library.outings.of(athlete)}
    assert library.check(files=True) == ()


def test_an_unknown_athlete_is_a_fault_of_ours(library: Library, folder: Path) -> None:
    with pytest.raises(KeyError):
        import_files(library, "nobody", [folder])


def test_a_file_is_read_once_and_nothing_of_an_archive_touches_the_disk(
    library: Library, athlete: str, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[str] = []

    def counted(read: Any) -> Any:
        def counting(path: Any, *rest: Any, **more: Any) -> Any:
            opened.append(Path(path).name)
            return read(path, *rest, **more)

        return counting

    def no_temporary(*_: Any, **__: Any) -> None:
        raise AssertionError("a temporary file was made")

    inner = io.BytesIO()
    with zipfile.ZipFile(inner, "w") as packed:
        packed.write(SAMPLES / THREE[0], THREE[0])
    with zipfile.ZipFile(tmp_path / "outer.zip", "w") as packed:
        packed.writestr("inner.zip", inner.getvalue())
        packed.write(SAMPLES / THREE[1], THREE[1])
    for name in ("TemporaryFile", "NamedTemporaryFile", "mkstemp", "mkdtemp", "SpooledTemporaryFile"):
        monkeypatch.setattr(tempfile, name, no_temporary)
    # What is read comes through these two; a look at what kind of file it is reads no recording.
    for name in ("read_bytes", "open_regular"):
        monkeypatch.setattr(import_sources, name, counted(getattr(import_sources, name)))
    report = import_files(library, athlete, [tmp_path / "outer.zip", folder / "year 2" / THREE[2]])
    assert {outing.file_name for outing in report.imported} == set(THREE)
    recordings = [name for name in opened if name.endswith((".gpx", ".zip", ".fit", ".tcx"))]
    assert sorted(recordings) == ["lake_shore_walk.gpx", "outer.zip"]
    # In the worker processes too: they are handed bytes and know of no file.
    assert {field.name for field in dataclasses.fields(Order)}.isdisjoint({"path", "paths"})


def test_a_name_that_is_no_text_is_imported_under_one_that_is(
    library: Library, athlete: str, tmp_path: Path
) -> None:
    odd = tmp_path / "h\udcfctte.gpx"
    try:
        shutil.copy(SAMPLES / THREE[2], odd)
    except (OSError, UnicodeEncodeError):
        pytest.skip("this file system takes text only")
    report = import_files(library, athlete, [odd])
    assert [outing.file_name for outing in report.imported] == ["h?tte.gpx"]


def test_every_real_recording_is_imported_with_all_its_activities(
    library: Library, athlete: str, recordings: Path, index: dict[str, dict[str, str]]
) -> None:
    report = import_files(library, athlete, [recordings])
    assert report.unreadable == []
    assert report.duplicates == []
    files = [outing.file_name for outing in report.imported]
    assert set(files) == {p.name for p in recordings.iterdir() if p.suffix in (".fit", ".gpx", ".tcx")}
    assert set(index) <= set(files)
    assert files.count("two_activities.tcx") == 2
    assert files.count("chained_triathlon.fit") == 5
    summaries = library.results.summaries(athlete)
    for outing in report.imported:
        original = (recordings / outing.file_name).read_bytes()
        assert library.outings.original(outing.identity) == original
        row = summaries[outing.identity]
        assert row.start_utc == outing.start_utc
        assert row.on_bike == outing.on_bike
        if outing.sport != Sport.UNKNOWN:
            assert outing.on_bike == Sport(outing.sport).on_bike
    assert library.stale_outings(COMPUTATION_VERSION) == ()
