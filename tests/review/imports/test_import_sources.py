"""Folders and archives from anywhere: names that lead outside, sizes that lie, locks, nests and damage."""

from __future__ import annotations

import gzip
import io
import os
import zipfile
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.people import Athlete
from slopebeat.review.imports import sources as import_sources
from slopebeat.review.imports.importing import import_files
from slopebeat.review.imports.sources import ImportSource, find_sources, safe_parts

WALK = Path(__file__).resolve().parents[3] / "samples" / "lake_shore_walk.gpx"

HOSTILE_NAMES = (
    "../../../etc/cron.d/outing.gpx",
    "/etc/outing.gpx",
    "C:\\Windows\\outing.gpx",
    "..\\..\\outing.gpx",
    "a/../../outing.gpx",
    "..//.././outing.gpx",
    "tab\tand\nnew line/outing.gpx",
)


FIT_START = b"\x0e\x20\x00\x00\x00\x00\x00\x00.FIT"
"""What makes a content a FIT file by its beginning: bytes 8 to 11 of its header."""


def archive(members: dict[str, bytes]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in members.items():
            packed.writestr(name, content)
    return stream.getvalue()


@pytest.fixture
def found(tmp_path: Path) -> Iterator[object]:
    """Look into an archive of these bytes: its sources, and what could not be read."""
    with ExitStack() as stack:

        def look(content: bytes) -> tuple[list[ImportSource], list[tuple[str, str]]]:
            path = tmp_path / "from elsewhere.zip"
            path.write_bytes(content)
            problems: list[tuple[str, str]] = []
            return find_sources([path], stack, lambda *p: problems.append(p)), problems

        yield look


@given(st.text(max_size=300) | st.sampled_from(HOSTILE_NAMES))
def test_no_part_of_a_name_leads_anywhere(name: str) -> None:
    parts = safe_parts(name)
    assert parts
    for part in parts:
        assert part not in ("", ".", "..")
        assert not set(part) & set('/\\:<>"|?*\x00\n')
        assert part.isprintable()
        assert len(part.encode()) <= 180


def test_the_ending_of_a_name_that_is_too_long_is_kept() -> None:
    (part,) = safe_parts("ü" * 300 + ".fit")
    assert part.endswith(".fit")


def test_names_that_lead_outside_are_imported_under_their_last_part_and_write_nowhere(tmp_path: Path) -> None:
    inside = tmp_path / "deep" / "er"
    inside.mkdir(parents=True)
    content = WALK.read_bytes()
    (inside / "from elsewhere.zip").write_bytes(archive(dict.fromkeys(HOSTILE_NAMES, content)))
    with Library.create(tmp_path / "library.sqlite3") as library:
        athlete = library.athletes.add(Athlete(new_identity(), "hut warden")).identity
        report = import_files(library, athlete, [inside])
        assert [outing.file_name for outing in report.imported] == ["outing.gpx"]
        assert len(report.duplicates) == len(HOSTILE_NAMES) - 1
        assert library.outings.original(report.imported[0].identity) == content
    written = {p.relative_to(tmp_path).as_posix() for p in tmp_path.rglob("*") if p.is_file()}
    assert written == {"deep/er/from elsewhere.zip", "library.sqlite3"}


def test_only_recordings_of_an_archive_are_taken(found) -> None:  # type: ignore[no-untyped-def]
    names = ("a.fit", "b/c.GPX", "d.tcx.gz", "photo.jpg", ".hidden.fit", "__MACOSX/a.fit", "__MACOSX/._a.fit")
    content = {name: gzip.compress(FIT_START) if name.endswith(".gz") else FIT_START for name in names}
    sources, problems = found(archive(content))
    assert [source.file_name for source in sources] == ["a.fit", "c.GPX", "d.tcx.gz"]
    assert [source.name for source in sources][1] == "from elsewhere.zip: b/c.GPX"
    assert [source.read() for source in sources] == [content[n] for n in ("a.fit", "b/c.GPX", "d.tcx.gz")]
    assert problems == []


def test_an_archive_in_an_archive_is_opened_and_one_deeper_is_named(found) -> None:  # type: ignore[no-untyped-def]
    deepest = archive({"c.fit": FIT_START + b"3"})
    inner = archive({"b.fit": FIT_START + b"2", "deepest.zip": deepest})
    sources, problems = found(archive({"a.fit": FIT_START + b"1", "inner.zip": inner}))
    assert [source.read() for source in sources] == [FIT_START + b"1", FIT_START + b"2"]
    assert [name for name, _ in problems] == ["from elsewhere.zip: inner.zip: deepest.zip"]
    assert problems[0][1].endswith(".")


def test_sizes_are_counted_not_believed(found, monkeypatch: pytest.MonkeyPatch) -> None:  # type: ignore[no-untyped-def]
    monkeypatch.setattr(import_sources, "MOST_MEMBER_BYTES", 1000)
    monkeypatch.setattr(import_sources, "MOST_ARCHIVE_BYTES", 2500)
    sizes = {"a.fit": 1001, "b.fit": 1000, "c.fit": 900}
    sources, _ = found(archive({name: FIT_START.ljust(size) for name, size in sizes.items()}))
    with pytest.raises(UnreadableFile, match=r"unpacks to more than"):
        sources[0].read()
    assert len(sources[1].read()) == 1000
    with pytest.raises(UnreadableFile, match=r"archive unpacks to more than"):
        sources[2].read()


def test_more_members_than_anybody_has_outings_are_refused(found, monkeypatch: pytest.MonkeyPatch) -> None:  # type: ignore[no-untyped-def]
    monkeypatch.setattr(import_sources, "MOST_MEMBERS", 3)
    sources, problems = found(archive({f"{n}.fit": b"x" for n in range(4)}))
    assert sources == []
    assert "more than 3 files" in problems[0][1]


def test_entries_that_are_no_recordings_are_told_apart_by_their_beginning(found) -> None:  # type: ignore[no-untyped-def]
    """Told cheaply: none of 3,000 comes as far as a reader, twenty are named and the others counted."""
    junk = {f"{n:04}.gpx": b"not a recording" for n in range(3000)}
    others = {"a.gpx.gz": gzip.compress(b"neither"), "b.tcx": b"<html><body/></html>", "c.fit": b"<cut"}
    walk = WALK.read_bytes()
    sources, problems = found(
        archive({**junk, **others, "walk.gpx": walk, "walk2.gpx.gz": gzip.compress(walk)})
    )
    assert [source.file_name for source in sources] == ["walk.gpx", "walk2.gpx.gz"]
    assert len(problems) == import_sources.MOST_NAMED + 1
    assert problems[-1] == (
        "from elsewhere.zip",
        f"{3003 - import_sources.MOST_NAMED:,} more entries of the archive are no recordings.".replace(
            ",", ""
        ),
    )


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_pipes_among_what_is_imported_are_named_and_not_waited_for(tmp_path: Path) -> None:
    for name in ("pipe.fit", "pipe.zip"):
        os.mkfifo(tmp_path / name)
    problems: list[tuple[str, str]] = []
    with ExitStack() as stack:
        sources = find_sources([tmp_path], stack, lambda *p: problems.append(p))
        with pytest.raises(UnreadableFile, match="a pipe or a device"):
            sources[0].read()
    assert [name for name, _ in problems] == ["pipe.zip"]
    assert "a pipe or a device" in problems[0][1]


def test_damage_locks_and_emptiness_are_sentences(found) -> None:  # type: ignore[no-untyped-def]
    whole = archive({"a.fit": FIT_START + os.urandom(5000), "b.fit": FIT_START, "empty.fit": b""})
    damaged = bytearray(whole)
    damaged[1000:1100] = bytes(100)
    sources, _ = found(bytes(damaged))
    for source, words in ((sources[0], "could not be unpacked"), (sources[2], "is empty")):
        with pytest.raises(UnreadableFile, match=words):
            source.read()
    assert sources[1].read() == FIT_START
    locked = bytearray(archive({"a.fit": b"secret"}))
    locked[6] |= 1  # general purpose bit 0 of the local header (APPNOTE.TXT 4.3.7)
    locked[locked.index(b"PK\x01\x02") + 8] |= 1  # and of the central directory (4.3.12)
    sources, _ = found(bytes(locked))
    with pytest.raises(UnreadableFile, match="locked with a password"):
        sources[0].read()
    sources, problems = found(b"PK\x03\x04 and then nothing")
    assert sources == []
    assert problems[0][1].endswith(".")


def test_a_missing_file_is_told_when_it_is_read_and_a_link_to_a_folder_is_not_followed(
    tmp_path: Path,
) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "folder" / "loop").symlink_to(tmp_path / "folder")
    (tmp_path / "folder" / "a.fit").write_bytes(b"x")
    with ExitStack() as stack:
        sources = find_sources([tmp_path / "none.fit", tmp_path / "folder"], stack, lambda *p: None)
        assert [source.name for source in sources] == ["none.fit", "a.fit"]
        with pytest.raises(UnreadableFile, match="There is no file"):
            sources[0].read()
