"""Who brought what with an archive: new outings, and notes with the role of who wrote them."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from helpers.libraries import keep
from helpers.summaries import outing
from slopebeat.command.main import main
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.note_kinds import Author
from slopebeat.model.notes import NoteKind, new_note
from slopebeat.model.people import Athlete
from slopebeat.review.archive.library import merge_archive, write_archive
from slopebeat.review.archive.words import change_words

LATER = datetime(2031, 1, 1, tzinfo=UTC)


def test_an_archive_is_looked_into_without_taking_it_in(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with Library.create(tmp_path / "hers.sqlite3") as hers:
        athlete = hers.athletes.add(Athlete(new_identity(), "Hut warden"))
        keep(hers, athlete.identity, [outing(title="lake_shore_walk")])
        one = hers.outings.of(athlete.identity)[0].identity
        seen = new_note(NoteKind.REMARK, Author.COACH, "Windy at the pass")
        gone = new_note(NoteKind.REMARK, Author.COACH, "Too fast").taken_back(LATER)
        hers.notes.merge(one, [seen, gone])
        write_archive(hers, athlete.identity, tmp_path / "warden.zip")
    assert main(["archive", "show", str(tmp_path / "warden.zip")]) == 0
    first, new, note = capsys.readouterr().out.splitlines()
    assert first == "Hut warden: 1 outing, 0 bands"
    assert new.endswith("Lake shore walk  new outing")
    assert note.endswith("note by the coach: remark, Windy at the pass")


def test_a_coach_s_notes_are_listed_by_outing_and_role(tmp_path: Path) -> None:
    archive = tmp_path / "warden.zip"
    with (
        Library.create(tmp_path / "hers.sqlite3") as hers,
        Library.create(tmp_path / "coach.sqlite3") as coachs,
    ):
        athlete = hers.athletes.add(Athlete(new_identity(), "Hut warden"))
        keep(hers, athlete.identity, [outing(title="lake_shore_walk")])
        one = hers.outings.of(athlete.identity)[0].identity
        own = new_note(NoteKind.REMARK, Author.ATHLETE, "Windy at the pass")
        hers.notes.merge(one, [own])
        write_archive(hers, athlete.identity, archive)
        first = merge_archive(coachs, archive).brought
        assert [change_words(each)[1] for each in first] == [
            "new outing",
            "note by the athlete: remark, Windy at the pass",
        ]
        assert change_words(first[0])[0].endswith("  Lake shore walk")
        # The coach writes two notes, takes one back again, changes hers, and sends all of it home.
        there = first[0].outing.identity
        kept = new_note(NoteKind.REMARK, Author.COACH, "Hold 4 km/h up to the hut")
        gone = new_note(NoteKind.REMARK, Author.COACH, "Too fast")
        coachs.notes.merge(there, [kept, gone.taken_back(LATER), own.edited(LATER, text="Windy")])
        write_archive(coachs, athlete.identity, archive)
        back = merge_archive(hers, archive)
        assert sorted(change_words(each)[1] for each in back.brought) == [
            "changed by the athlete: remark, Windy",
            "note by the coach: remark, Hold 4 km/h up to the hut",
        ]
        # A note nobody sees is none that was added, and is told of as nothing else.
        assert (back.notes_added, back.notes_replaced) == (1, 1)
        assert merge_archive(hers, archive).brought == []
        # Taken back where it was seen, it is told with who wrote it.
        coachs.notes.merge(there, [kept.taken_back(LATER)])
        write_archive(coachs, athlete.identity, archive)
        (last,) = merge_archive(hers, archive).brought
        assert change_words(last)[1] == "taken back, by the coach: remark, Hold 4 km/h up to the hut"
