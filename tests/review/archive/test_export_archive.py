"""Archives come back as they went in, meet a library without loss, and hostile ones get a sentence."""

from __future__ import annotations

import io
import json
import re
import zipfile
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any, Literal
from uuid import UUID

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from slopebeat.library.imports import IncomingOuting
from slopebeat.library.outings import OutingFacts, StoredOuting, packed
from slopebeat.library.store import Library
from slopebeat.model.bands import Band, band_from_hr_max
from slopebeat.model.basis import MEASURED_MAXIMUM, Basis
from slopebeat.model.errors import UserError
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.notes import Author, Note, NoteKind, new_note
from slopebeat.model.people import (
    Athlete,
    BandPeriod,
    BodyMass,
    Dated,
    Ground,
    Phase,
    PhaseKind,
    Prescription,
)
from slopebeat.model.recording import content_hash
from slopebeat.review.archive import archive as export_archive
from slopebeat.review.archive.archive import VERSION, Archive, ArchivedOuting, open_archive, put_archive
from slopebeat.review.archive.library import archive_of, merge_archive, write_archive
from slopebeat.review.words.basis import how_words

START = datetime(2026, 7, 11, 6, 0, tzinfo=UTC)
texts = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\x00"), max_size=12)
UNWRITTEN: tuple[Literal["Cc"], Literal["Cs"]] = ("Cc", "Cs")
written = st.text(st.characters(exclude_categories=UNWRITTEN), max_size=12)
"""Texts of notes, which hold nothing that cannot be shown."""
seconds = st.floats(0, 1e6)
times = st.integers(0, 10**9).map(lambda us: START + timedelta(microseconds=us))


def identity(number: int) -> str:
    return str(UUID(int=number))


@st.composite
def archives(draw: Callable[[Any], Any]) -> tuple[Archive, dict[str, bytes]]:
    athlete = Athlete(
        identity(1), draw(texts), draw(st.none() | st.integers(1930, 2015)), 72.5, 14.0, 3, 150.0
    )
    lower = draw(st.integers(90, 120))
    band = Band(lower, lower + 19, basis=Basis.own(draw(texts)))
    bands = tuple(BandPeriod(athlete.identity, g, date(2026, 1, 1), band) for g in Ground)
    files, outings = {}, []
    for number in range(draw(st.integers(0, 3))):
        data = draw(st.binary(max_size=40))
        files[content_hash(data)] = data
        outing = StoredOuting(
            *(number, START + timedelta(days=number), draw(st.none() | st.just(7200.0)), "hiking", False),
            *(draw(texts), identity(10 + number), athlete.identity, content_hash(data), draw(texts)),
            *(draw(st.floats(0, 50)), draw(st.none() | seconds), draw(times)),
        )
        mark = Mark(draw(seconds), draw(seconds), Channel.HEART_RATE, Reason.BY_HAND, MarkState.ACCEPTED)
        start_s = draw(st.none() | seconds)
        end_s = None if start_s is None else draw(st.none() | st.just(start_s + 10.0))
        note = Note(
            *(identity(100 + number), NoteKind.EFFORT, Author.COACH, draw(written), draw(times), draw(times)),
            *(draw(st.floats(0, 10)), start_s, end_s, draw(st.none() | times)),
        )
        outings.append(
            ArchivedOuting(
                *(outing, draw(st.none() | st.just((mark,))), (note,), draw(st.booleans())),
                draw(st.none() | times),
            )
        )
    asked = draw(st.none() | st.floats(0, 1000)), draw(st.none() | st.integers(0, 14))
    last = draw(st.none() | st.just(date(2026, 7, 1)))
    kind = draw(st.sampled_from(PhaseKind))
    dated = Dated(
        (Prescription(athlete.identity, date(2026, 2, 1), asked[0], asked[1], None),),
        (BodyMass(athlete.identity, date(2026, 2, 2), draw(st.floats(40, 120))),),
        (Phase(identity(900), athlete.identity, kind, date(2026, 6, 1), last, "x"),),
    )
    return Archive(athlete, bands, tuple(outings), dated), files


def archive_file(path: Path, archive: Archive, files: dict[str, bytes]) -> Path:
    with path.open("wb") as stream:
        put_archive(archive, lambda outing: files[outing.content_hash], stream)
    return path


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(archives())
def test_an_archive_comes_back_as_it_went_in(tmp_path: Path, made: tuple[Archive, dict[str, bytes]]) -> None:
    archive, files = made
    with open_archive(archive_file(tmp_path / "a.zip", archive, files)) as opened:
        assert opened.archive == archive
        for each in archive.outings:
            assert opened.original(each.outing.content_hash) == files[each.outing.content_hash]


@pytest.fixture
def library(tmp_path: Path) -> Library:
    return Library.create(tmp_path / "one.sqlite3")


@pytest.fixture
def other(tmp_path: Path) -> Library:
    return Library.create(tmp_path / "two.sqlite3")


def filled(library: Library) -> StoredOuting:
    """A warden with a band and one outing with load, marks, a note and a note taken back."""
    warden = library.athletes.add(Athlete(identity(1), "Hut warden", sessions_per_week=3))
    band = Band(112, 131, basis=Basis.own("measured"))
    library.bands.put(BandPeriod(warden.identity, Ground.FOOT, date(2026, 1, 1), band))
    facts = OutingFacts(0, START, 7200.0, "hiking", False, "Supply hike")
    (kept,) = library.imports.keep(
        warden.identity, packed(b"a recording"), "hike.fit", [IncomingOuting(facts, None, 14.0, 7800.0)]
    )
    outing = kept.outing
    mark = Mark(10.0, 20.0, Channel.HEART_RATE, Reason.BY_HAND, MarkState.REJECTED)
    library.outings.set_marks(outing.identity, (mark,))
    note = new_note(NoteKind.EFFORT, Author.COACH, "Easy", value=3.0, start_s=60.0)
    gone = new_note(NoteKind.REMARK, Author.ATHLETE, "Gone")
    library.notes.merge(outing.identity, [note, gone.taken_back(datetime.now(UTC))])
    return outing


def contents(library: Library) -> Any:
    """All of an athlete but what is the library's own: identities and times of arrival of outings."""
    archive = archive_of(library, identity(1))
    rows = []
    for each in archive.outings:
        outing = replace(each.outing, identity="", added_utc=START)
        rows.append((outing, each.marks, each.notes, library.outings.original(each.outing.identity)))
    return archive.athlete, archive.bands, rows


def test_a_library_comes_back_from_its_archive(library: Library, other: Library, tmp_path: Path) -> None:
    filled(library)
    path = tmp_path / "warden.zip"
    write_archive(library, identity(1), path)
    report = merge_archive(other, path)
    assert contents(other) == contents(library)
    # Of the two notes one was taken back: it is kept as a mark and told of as no note.
    assert (report.new_outings, report.notes_added, report.bands_added) == (1, 1, 1)
    again = merge_archive(other, path)
    assert contents(other) == contents(library)
    assert (again.new_outings, again.known_outings, again.notes_added, again.differences) == (0, 1, 0, [])


def test_the_later_change_of_a_note_holds_whichever_way_it_travels(
    library: Library, other: Library, tmp_path: Path
) -> None:
    outing = filled(library)
    path, back = tmp_path / "out.zip", tmp_path / "back.zip"
    write_archive(library, identity(1), path)
    merge_archive(other, path)
    (there,) = other.outings.of(identity(1))
    (note,) = other.notes.of(there.identity)
    edited = note.edited(datetime.now(UTC), text="Rather hard")
    added = new_note(NoteKind.REMARK, Author.COACH, "New there")
    other.notes.merge(there.identity, [edited, added])
    write_archive(other, identity(1), back)
    merge_archive(library, back)
    merge_archive(library, path)
    notes = {note.text for note in library.notes.of(outing.identity)}
    assert notes == {"Rather hard", "New there"}


def test_where_both_decided_the_librarys_own_stays_and_is_told(
    library: Library, other: Library, tmp_path: Path
) -> None:
    filled(library)
    path = tmp_path / "warden.zip"
    write_archive(library, identity(1), path)
    here = filled(other)
    other.outings.set_load(here.identity, 9.0)
    other.outings.set_marks(here.identity, ())
    other.bands.put(BandPeriod(identity(1), Ground.FOOT, date(2026, 1, 1), Band(100, 120)))
    report = merge_archive(other, path)
    assert len(report.differences) == 3
    assert all(sentence.endswith(".") for sentence in report.differences)
    assert other.outings.get(here.identity).load_kg == 9.0
    assert other.outings.marks(here.identity) == ()
    assert other.bands.of(identity(1))[0].band == Band(100, 120)


def test_an_outing_left_out_of_what_is_learnt_stays_left_out(
    library: Library, other: Library, tmp_path: Path
) -> None:
    outing = filled(library)
    library.outings.set_teaches([outing.identity], False)
    write_archive(library, identity(1), tmp_path / "a.zip")
    merge_archive(other, tmp_path / "a.zip")
    (there,) = other.outings.of(identity(1))
    assert other.outings.left_out(identity(1)) == {there.identity}
    third = Library.create(tmp_path / "three.sqlite3")
    filled(third)
    merge_archive(third, tmp_path / "a.zip")
    assert len(third.outings.left_out(identity(1))) == 1


def test_an_archive_of_the_first_version_gives_the_bands_a_key_with_numbers(
    library: Library, tmp_path: Path
) -> None:
    """The list as the first version wrote it: sentences, and no word on what teaches."""
    band = {"lower_bpm": 112, "upper_bpm": 131, "method": "HR_MAX", "basis": "60-70 % of 187 bpm"}
    period = {
        "athlete": identity(1),
        "ground": "FOOT",
        "from_day": "2026-01-01",
        "band": band,
        "how": "Measured maximum: 60-70 % of 187 bpm",
        "details": '{"hr_max_bpm": 187}',
    }
    data = b"a recording"
    outings: list[dict[str, Any]] = [{"outing": OUTING, "marks": None, "notes": []}]
    values = GOOD | {"version": 1, "bands": [period], "outings": outings}
    path = tmp_path / "first.zip"
    path.write_bytes(packed_list(values, (f"originals/{content_hash(data)}", data)))
    merge_archive(library, path)
    (kept,) = library.bands.of(identity(1))
    assert kept.band.basis == band_from_hr_max(187).basis.called(MEASURED_MAXIMUM)
    assert how_words(kept.band) == "Measured maximum: 60-70 % of 187 bpm"
    assert library.outings.left_out(identity(1)) == frozenset()
    assert library.outings.count() == 1


def test_another_athlete_of_the_same_name_is_not_mixed_up(
    library: Library, other: Library, tmp_path: Path
) -> None:
    filled(library)
    path = tmp_path / "warden.zip"
    write_archive(library, identity(1), path)
    other.athletes.add(Athlete(identity(2), "hut warden"))
    merge_archive(other, path)
    assert {athlete.name for athlete in other.athletes} == {"hut warden", "Hut warden (2)"}
    assert other.outings.count(identity(2)) == 0


def packed_list(values: object, *entries: tuple[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr("archive.json", values if isinstance(values, str) else json.dumps(values))
        for name, data in entries:
            made.writestr(name, data)
    return out.getvalue()


ATHLETE = {
    "identity": identity(1),
    "name": "Warden",
    "birth_year": None,
    "body_mass_kg": 75,
    "bike_mass_kg": 14,
    "sessions_per_week": None,
    "minutes_per_week": None,
}
UNSTATED = {"key": "unstated"}
GOOD = {"format": "slopebeat archive", "version": 3, "athlete": ATHLETE, "bands": [], "outings": []}


def banded(basis: object, **fields: object) -> dict[str, object]:
    """A list with one band, sound but for its basis and these fields."""
    band = {"lower_bpm": 112, "upper_bpm": 131, "method": "MANUAL", "basis": basis} | fields
    period = {"athlete": identity(1), "ground": "FOOT", "from_day": "2026-01-01", "band": band}
    return GOOD | {"bands": [period]}


HOSTILE = {
    "no zip": b"no archive at all",
    "empty": b"",
    "no list": packed_list(GOOD).replace(b"archive.json", b"archive.jsom"),
    "another program's": packed_list(GOOD | {"format": "other"}),
    "later version": packed_list(GOOD | {"version": VERSION + 1}),
    "version as text": packed_list(GOOD | {"version": "1"}),
    "climbing out": packed_list(GOOD, ("../../evil", b"x")),
    "absolute": packed_list(GOOD, ("/etc/evil", b"x")),
    "windows path": packed_list(GOOD, ("originals\\..\\evil", b"x")),
    "no json": packed_list("{"),
    "deep json": packed_list("[" * 100_000),
    "a list": packed_list("[]"),
    "infinite": packed_list(json.dumps(GOOD).replace("75", "1e999")),
    "not a number": packed_list(json.dumps(GOOD).replace("75", "NaN")),
    "half a character": packed_list(json.dumps(GOOD).replace("Warden", "\\ud800")),
    "nul": packed_list(json.dumps(GOOD).replace("Warden", "a\\u0000b")),
    "no identity": packed_list(GOOD | {"athlete": ATHLETE | {"identity": "'; DROP TABLE athlete; --"}}),
    "band upside down": packed_list(banded(UNSTATED, lower_bpm=140)),
    "band of a kind to come": packed_list(banded(UNSTATED, method="BREATH")),
    "basis of no kind": packed_list(banded("set by hand")),
    "basis with half a character": packed_list(banded({"key": "own_words", "text": "\ud800"})),
    "basis without end": packed_list(banded({"key": "own_words", "text": "a" * 200_000})),
    "outings of no kind": packed_list(GOOD | {"outings": [3]}),
}


def evil_around(folder: Path) -> list[Path]:
    """What an archive may have written in the folder, or climbing out of it; others' folders are large."""
    above = (folder.parent, folder.parent.parent, Path("/etc"))
    return sorted([*folder.rglob("*evil*"), *(path for each in above for path in each.glob("*evil*"))])


@pytest.mark.parametrize("name", HOSTILE)
def test_what_is_no_good_archive_gets_a_sentence_and_changes_nothing(
    name: str, tmp_path: Path, library: Library
) -> None:
    path = tmp_path / "archive.zip"
    path.write_bytes(HOSTILE[name])
    before = evil_around(tmp_path)
    with pytest.raises(UserError) as refused:
        merge_archive(library, path)
    assert str(refused.value).endswith(".")
    assert list(library.athletes) == []
    assert evil_around(tmp_path) == before


OUTING = {
    "activity": 0,
    "start_utc": "2026-07-11T06:00:00+00:00",
    "utc_offset_s": None,
    "sport": "hiking",
    "on_bike": False,
    "title": "Hike",
    "identity": identity(5),
    "athlete": identity(1),
    "content_hash": content_hash(b"a recording"),
    "file_name": "a.fit",
    "load_kg": 0.0,
    "load_until_s": None,
    "added_utc": "2026-07-12T06:00:00+00:00",
}
NOTE = {
    "identity": identity(6),
    "kind": "EFFORT",
    "author": "COACH",
    "text": "easy",
    "created_utc": "2026-07-11T06:00:00+00:00",
    "changed_utc": "2026-07-11T06:00:00+00:00",
    "value": 3.0,
    "start_s": None,
    "end_s": None,
    "deleted_utc": None,
}
MARK = {"start_s": 1.0, "end_s": 2, "channel": "HEART_RATE", "reason": "SPIKE", "state": "PROPOSED"}
ENTRY = (f"originals/{content_hash(b'a recording')}", b"a recording")

DAMAGED = [
    ("athlete.name", 3),
    ("athlete.birth_year", 1e9),
    ("athlete.body_mass_kg", "heavy"),
    ("bands[0].from_day", "May"),
    ("bands[0].ground", "ICE"),
    ("bands[0].band.lower_bpm", 112.5),
    ("bands[0].band.basis", "set by hand"),
    ("outings[0].teaches", 1),
    ("outings[0].outing.activity", -1),
    ("outings[0].outing.start_utc", "2026-07-11T06:00:00"),
    ("outings[0].outing.load_kg", -1.0),
    ("outings[0].outing.utc_offset_s", True),
    ("outings[0].marks[0].reason", "BY_MAGIC"),
    ("outings[0].marks[0].end_s", None),
    ("outings[0].notes[0].text", "a\0b"),
    ("outings[0].notes[0].kind", "SONG"),
    ("outings[0].notes[0].start_s", -1),
    ("outings[0].notes[0].deleted_utc", 5),
]


def whole_list() -> dict[str, Any]:
    """A list with one of everything, sound."""
    outing = {"outing": OUTING, "marks": [MARK], "notes": [NOTE], "teaches": True}
    found: dict[str, Any] = json.loads(json.dumps(banded(UNSTATED) | {"outings": [outing]}))
    return found


@pytest.mark.parametrize(("field", "value"), DAMAGED)
def test_the_field_that_is_damaged_is_named(
    field: str, value: object, tmp_path: Path, library: Library
) -> None:
    values, path = whole_list(), tmp_path / "a.zip"
    *outer, last = (int(name) if name.isdigit() else name for name in re.findall(r"\w+", field))
    holder: Any = values
    for name in outer:
        holder = holder[name]
    holder[last] = value
    path.write_bytes(packed_list(values, ENTRY))
    with pytest.raises(UserError) as refused:
        merge_archive(library, path)
    assert f" {field} " in str(refused.value)
    assert list(library.athletes) == []


def test_a_note_that_does_not_hold_what_its_kind_needs_is_told(tmp_path: Path, library: Library) -> None:
    values, path = whole_list(), tmp_path / "a.zip"
    values["outings"][0]["notes"][0]["value"] = None
    path.write_bytes(packed_list(values, ENTRY))
    with pytest.raises(
        export_archive.DamagedArchive, match=r"is damaged: notes .* perceived effort needs its number"
    ):
        merge_archive(library, path)
    assert list(library.athletes) == []


@pytest.mark.parametrize(
    ("name", "value"), [("start_utc", "9999-12-31T00:00:00+00:00"), ("utc_offset_s", 86_400.0)]
)
def test_an_outing_at_a_time_nobody_can_reckon_with_is_refused(
    name: str, value: object, tmp_path: Path, library: Library
) -> None:
    values, path = whole_list(), tmp_path / "a.zip"
    values["outings"][0]["outing"][name] = value
    path.write_bytes(packed_list(values, ENTRY))
    with pytest.raises(UserError, match="time"):
        merge_archive(library, path)


def test_what_a_later_program_adds_to_a_list_of_this_version_is_passed_over(tmp_path: Path) -> None:
    values, path = whole_list() | {"weather": 3}, tmp_path / "a.zip"
    values["outings"][0]["outing"]["weather"] = "sunny"
    path.write_bytes(packed_list(values, ENTRY))
    with open_archive(path) as opened:
        assert opened.archive.outings[0].outing.title == "Hike"


def test_a_bomb_is_not_unpacked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, library: Library) -> None:
    monkeypatch.setattr(export_archive, "MOST_LIST_BYTES", 1_000_000)
    path = tmp_path / "bomb.zip"
    path.write_bytes(packed_list(" " * 50_000_000 + json.dumps(GOOD)))
    assert path.stat().st_size < 100_000
    with pytest.raises(UserError, match="far more"):
        merge_archive(library, path)


def test_a_recording_that_was_changed_or_is_missing_is_told(
    library: Library, other: Library, tmp_path: Path
) -> None:
    filled(library)
    archive = archive_of(library, identity(1))
    changed = tmp_path / "changed.zip"
    with changed.open("wb") as stream:
        put_archive(archive, lambda outing: b"something else", stream)
    with pytest.raises(UserError, match="not the one"):
        merge_archive(other, changed)
    assert other.outings.count() == 0
    entry = f"originals/{archive.outings[0].outing.content_hash}"
    with zipfile.ZipFile(changed) as whole, zipfile.ZipFile(tmp_path / "missing.zip", "w") as part:
        for name in whole.namelist():
            if name != entry:
                part.writestr(name, whole.read(name))
    with pytest.raises(UserError, match="not in it"):
        merge_archive(other, tmp_path / "missing.zip")


def test_an_archive_that_cannot_be_written_is_a_sentence_and_leaves_nothing(
    library: Library, tmp_path: Path
) -> None:
    filled(library)
    with pytest.raises(UserError, match="could not be written"):
        write_archive(library, identity(1), tmp_path / "none" / "a.zip")
    assert not (tmp_path / "none").exists()


def test_dates_and_ticks_come_along_and_what_both_hold_otherwise_is_told(tmp_path: Path) -> None:
    theirs, ours = Library.create(tmp_path / "theirs.sqlite3"), Library.create(tmp_path / "ours.sqlite3")
    athlete = theirs.athletes.add(Athlete(identity(1), "Hut warden"))
    (kept,) = theirs.imports.keep(
        athlete.identity,
        packed(b"x"),
        "x.fit",
        [IncomingOuting(OutingFacts(0, START, None, "hiking", False, "x"))],
    )
    theirs.ticks.put(kept.outing.identity, START)
    march = Prescription(athlete.identity, date(2026, 3, 2), 120.0, 3, 10.0)
    camp = Phase(identity(2), athlete.identity, PhaseKind.CAMP, date(2026, 7, 6), date(2026, 7, 12), "hut")
    mass = BodyMass(athlete.identity, date(2026, 3, 2), 70.5)
    for entry in (march, camp, mass):
        theirs.dated.put(entry)
    path = tmp_path / "warden.zip"
    write_archive(theirs, athlete.identity, path)
    assert merge_archive(ours, path).differences == []
    assert ours.dated.of(athlete.identity) == Dated((march,), (mass,), (camp,))
    (here,) = ours.outings.of(athlete.identity)
    assert ours.ticks.of(athlete.identity) == {here.identity: START}
    assert merge_archive(ours, path).differences == []
    own = replace(march, minutes_per_week=60.0)
    ours.dated.put(own)
    ours.dated.put(replace(camp, text="pass"))
    ours.ticks.put(here.identity, START + timedelta(days=1))
    told = merge_archive(ours, path).differences
    assert [("2026-03-02" in text, "2026-07-06" in text) for text in told] == [(True, False), (False, True)]
    found = ours.dated.of(athlete.identity)
    assert (found.prescriptions, found.phases[0].text) == ((own,), "pass")
    assert ours.ticks.of(athlete.identity) == {here.identity: START + timedelta(days=1)}
    for library in (theirs, ours):
        library.close()
