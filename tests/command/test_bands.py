"""Bands shown, added, changed and removed by commands: told first, done when asked."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from library.making import facts, keep, period, warden
from slopebeat.analysis.band.lactate import LactateTest, Stage, propose_band
from slopebeat.command.main import main
from slopebeat.disk.places import library_path
from slopebeat.library.store import Library
from slopebeat.model.people import BandPeriod, Ground

STAGES = ((80, 1.0, 100), (110, 0.9, 112), (140, 1.3, 124), (170, 2.2, 139), (200, 4.1, 156))

ADD = ("add", "2026-06-01", "--band", "112-131")


@pytest.fixture
def own() -> Path:
    """The user's own library with one athlete, a step test on foot, and no outing."""
    tested = propose_band(LactateTest(tuple(Stage(*map(float, each)) for each in STAGES), "W", 1.1)).band
    with Library.open_or_create() as library:
        athlete = library.athletes.add(warden())
        library.bands.put(BandPeriod(athlete.identity, Ground.FOOT, date(2026, 4, 1), tested))
    return library_path()


def said(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str]:
    code = main(["bands", *arguments])
    out, err = capsys.readouterr()
    return code, out + err


def kept() -> list[tuple[str, str, int, int]]:
    with Library.open(library_path()) as library:
        (athlete,) = library.athletes
        return [
            (each.ground.value, str(each.from_day), each.band.lower_bpm, each.band.upper_bpm)
            for each in library.bands.of(athlete.identity)
        ]


def test_bands_are_listed_with_how_they_were_found(own: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, out = said(capsys)
    assert code == 0
    assert out.splitlines()[1].split("  ")[0] == "hut warden"
    assert "Lactate step test" in out
    (one,) = json.loads(said(capsys, "list", "--json", "-")[1])["bands"]
    assert (one["ground"], one["from_day"], one["lower_bpm"]) == ("foot", "2026-04-01", 115)
    assert [stage["hr_bpm"] for stage in one["basis"]["stages"]] == [100, 112, 124, 139, 156]
    # What is given before the act's word holds as well as behind it.
    assert json.loads(said(capsys, "--json", "-", "list")[1])["bands"] == [one]


def test_a_band_is_added_and_one_of_a_taken_day_only_when_asked(
    own: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert said(capsys, "add", "2026-06-01", "--band", "112-131", "--ground", "bike")[0] == 0
    code, out = said(capsys, "add", "2026-06-01", "--band", "100-120", "--ground", "bike")
    assert (code, "112-131 bpm is in force already" in out) == (1, True)
    assert kept() == [("bike", "2026-06-01", 112, 131), ("foot", "2026-04-01", 115, 134)]
    assert said(capsys, "add", "2026-06-01", "--band", "100-120", "--ground", "bike", "--yes")[0] == 0
    assert kept()[0] == ("bike", "2026-06-01", 100, 120)
    # The very same again changes nothing and asks nothing.
    assert said(capsys, "add", "2026-06-01", "--band", "100-120", "--ground", "bike")[0] == 0


def test_a_band_keeps_how_it_was_found_when_only_its_day_changes(
    own: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    changed = ("change", "2026-04-01", "--to-day", "2026-03-01", "--hard-threshold", "165")
    code, out = said(capsys, *changed, "--json", "-")
    (one,) = json.loads(out)["bands"]
    assert (code, one["from_day"], one["method"]) == (0, "2026-03-01", "lactate")
    assert (len(one["basis"]["stages"]), one["basis"]["hard_threshold_bpm"]) == (5, 165.0)
    by_talking = ("--band", "110-128", "--found", "Talk test on the forest road")
    assert said(capsys, "change", "2026-03-01", *by_talking)[0] == 0
    code, out = said(capsys)
    assert "Talk test on the forest road; hard threshold 165 bpm" in out
    assert kept() == [("foot", "2026-03-01", 110, 128)]


def test_what_goes_is_told_before_a_band_is_removed(own: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with Library.open(own) as library:
        (athlete,) = library.athletes
        keep(library, athlete, b"0", facts(days=10.0))
        library.bands.put(period(athlete, date(2026, 5, 5), 112, 131))
    code, out = said(capsys, "remove", "2026-05-05")
    assert code == 1
    # The one outing is of 2026-05-11, and the band before is that of the step test.
    assert "1 outing is reviewed again, with 115-134 bpm." in out
    assert len(kept()) == 2
    assert said(capsys, "remove", "2026-04-01")[1].count("170 W, 2.2 mmol/L, 139 bpm") == 1


@pytest.mark.parametrize(
    ("arguments", "refusal"),
    [
        (("add", "2026-06-01"), "Say which band with --band LO-HI or --hr-max N."),
        (("add", "2026-06-01", "--band", "131-112"), "A band needs a lower edge under its upper edge"),
        (("add", "2026-06-01", "--band=-5-131"), "A band is written as two whole numbers"),
        (("add", "2026-06-01", "--hr-max", "nan"), "not plausible"),
        (
            ("add", "2026-06-01", "--band", "112-131", "--hard-threshold", "120"),
            "The hard threshold lies over",
        ),
        (
            ("add", "2026-06-01", "--band", "112-131", "--found", " "),
            "How a band was found needs some words.",
        ),
        (
            ("add", "2026-06-01", "--band", "112-131", "--athlete", "nobody"),
            "There is no athlete named nobody",
        ),
        (("change", "2026-04-01"), "Say what to change"),
        (("remove", "2026-04-02"), "hut warden has no such band from 2026-04-02 on"),
    ],
)
def test_odd_arguments_get_one_sentence(
    own: Path, capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], refusal: str
) -> None:
    code, out = said(capsys, *arguments)
    assert (code, len(out.splitlines())) == (2, 1)
    assert refusal in out
    assert kept() == [("foot", "2026-04-01", 115, 134)]
