"""Outings shown, and title and sport of many put right, by commands: told first, done when asked."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from library.making import facts, keep, period, warden
from slopebeat.command.main import main
from slopebeat.disk.places import library_path
from slopebeat.library.store import Library
from slopebeat.model.note_kinds import Author
from slopebeat.model.notes import NoteKind, new_note
from slopebeat.model.people import Ground


@pytest.fixture
def own() -> Path:
    """The user's own library: outings on foot of 2026-05-01 and 05-11, with a load noted on the second."""
    with Library.open_or_create() as library:
        athlete = library.athletes.add(warden())
        for number in range(2):
            keep(library, athlete, bytes([number]), facts(days=10.0 * number))
        second = library.outings.of(athlete.identity)[1]
        library.notes.merge(second.identity, [new_note(NoteKind.LOAD, Author.ATHLETE, value=12.0)])
        library.bands.put(period(athlete, date(2026, 4, 1), 112, 131))
        library.bands.put(period(athlete, date(2026, 4, 1), 105, 124, Ground.BIKE))
    return library_path()


def said(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str]:
    code = main(["outings", *arguments])
    out, err = capsys.readouterr()
    return code, out + err


def test_outings_are_listed_with_the_load_of_their_notes(
    own: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    listed = json.loads(said(capsys, "--json", "-")[1])["outings"]
    assert [(each["day"], each["load_kg"]) for each in listed] == [("2026-05-01", 0.0), ("2026-05-11", 12.0)]
    assert said(capsys, "--from", "2026-05-02")[1].splitlines()[1].endswith("12 kg")


def test_a_sport_put_right_decides_which_band_is_in_force(
    own: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    change = ("change", "--sport", "mountain-biking", "--title", "To the lake", "--from", "2026-05-02")
    code, out = said(capsys, *change)
    assert (code, "Nothing was changed; give --yes to do it." in out) == (1, True)
    assert said(capsys, *change, "--yes") == (0, "1 outing was changed.\n")
    listed = json.loads(said(capsys, "--json", "-")[1])["outings"]
    assert [each["title"] for each in listed] == ["To the upper hut", "To the lake"]
    assert [each["on_bike"] for each in listed] == [False, True]
    with Library.open(own) as library:
        bands = {stale.outing.title: stale.aim.band for stale in library.stale_outings(1)}
    edges = {title: band and (band.lower_bpm, band.upper_bpm) for title, band in bands.items()}
    assert edges == {"To the upper hut": (112, 131), "To the lake": (105, 124)}
    assert said(capsys, "change", "--sport", "as-recorded", "--yes")[0] == 0
    listed = json.loads(said(capsys, "--json", "-")[1])["outings"]
    assert [each["sport"] for each in listed] == ["hiking", "hiking"]
