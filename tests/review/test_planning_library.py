"""Learning from a library: each outing is read once, and again only where what it depends on has changed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from slopebeat.library.store import Library
from slopebeat.model.errors import Cancelled
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.people import Athlete, Ground
from slopebeat.review.imports.importing import import_files
from slopebeat.review.notes.library import stored_note
from slopebeat.review.planning import library as planning_library
from slopebeat.review.planning.library import EvidenceMemory, learn, teachers

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
FILES = [SAMPLES / "hut_supply_hike.fit", SAMPLES / "lake_shore_walk.gpx"]
WARDEN = "0" * 32


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    """A warden with two invented walks."""
    with Library.create(tmp_path / "library.sqlite3") as made:
        made.athletes.add(Athlete(WARDEN, "hut warden", body_mass_kg=72.0))
        import_files(made, WARDEN, FILES, workers=1)
        yield made


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Names of the files read while learning, in order."""
    names: list[str] = []
    inner = planning_library.read

    def counting(data: bytes, file_name: str) -> object:
        names.append(file_name)
        return inner(data, file_name)

    monkeypatch.setattr(planning_library, "read", counting)
    return names


def test_a_plan_asked_for_again_reads_no_file_again(library: Library, read: list[str]) -> None:
    memory = EvidenceMemory()
    first = learn(library, WARDEN, Ground.FOOT, date.max, memory=memory)
    assert len(read) == len(first.outings) == 2
    again = learn(library, WARDEN, Ground.FOOT, date.max, memory=memory)
    assert len(read) == 2
    assert again.outings == first.outings


def test_another_load_or_mass_is_learnt_anew(library: Library, read: list[str]) -> None:
    memory = EvidenceMemory()
    before = learn(library, WARDEN, Ground.FOOT, date.max, memory=memory).outings
    library.athletes.change(replace(next(iter(library.athletes)), body_mass_kg=90.0))
    after = learn(library, WARDEN, Ground.FOOT, date.max, memory=memory).outings
    assert len(read) == 4
    assert all(a is not b for a, b in zip(before, after, strict=True))


def test_only_the_chosen_outings_are_read(library: Library, read: list[str]) -> None:
    one = teachers(library, WARDEN, Ground.FOOT, date.max)[0]
    taught = learn(library, WARDEN, Ground.FOOT, date.max, chosen={one.identity})
    assert len(taught.outings) == 1
    assert read == [one.file_name]
    assert learn(library, WARDEN, Ground.BIKE, date.max).outings == ()


def test_what_is_kept_is_no_longer_than_a_grade_table(library: Library) -> None:
    for one in learn(library, WARDEN, Ground.FOOT, date.max).outings:
        assert one.response.fitted_hr_bpm is None
        assert one.part_seconds.sum() == pytest.approx(one.moving_s)
        assert one.part_metres.sum(axis=0) == pytest.approx(one.metres)


def test_learning_tells_what_is_at_hand_and_stops_when_told_to(library: Library, read: list[str]) -> None:
    told: list[tuple[int, int]] = []

    def stop_at_the_second(done: int, total: int, name: str) -> None:
        told.append((done, total))
        if done == 1:
            raise Cancelled

    with pytest.raises(Cancelled):
        learn(library, WARDEN, Ground.FOOT, date.max, told=stop_at_the_second)
    assert told == [(0, 2), (1, 2)]
    assert len(read) == 1


def test_a_load_told_by_a_note_teaches_as_a_load_entered_does(library: Library) -> None:
    """Two ways of saying that 12 kg were carried throughout must teach the same."""
    one = teachers(library, WARDEN, Ground.FOOT, date.max)[0]
    library.outings.set_load(one.identity, 12.0)
    (entered,) = learn(library, WARDEN, Ground.FOOT, date.max, chosen={one.identity}).outings
    library.outings.set_load(one.identity, 0.0)
    library.notes.merge([stored_note(new_note(NoteKind.LOAD, Author.ATHLETE, value=12.0), one)])
    (told,) = learn(library, WARDEN, Ground.FOOT, date.max, chosen={one.identity}).outings
    gone = told.seconds > 0.0
    assert told.load_kg[gone] == pytest.approx(12.0)
    for name in ("load_kg", "work_w_per_kg", "seconds", "metres"):
        assert getattr(told, name) == pytest.approx(getattr(entered, name), nan_ok=True)
