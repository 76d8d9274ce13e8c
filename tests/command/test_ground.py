"""The ground command as a person would run it."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from helpers.libraries import keep, walks, warden
from helpers.ways import curved, off, way
from slopebeat.command.main import main
from slopebeat.library.store import Library


@pytest.fixture
def library(tmp_path: Path) -> Path:
    """A hut warden who went one way on four days and stood still on a fifth."""
    path = tmp_path / "library.sqlite3"
    with Library.create(path) as kept:
        athlete = warden(kept).identity
        keep(kept, athlete, walks(5))
        for number, outing in enumerate(kept.outings.of(athlete)):
            result = kept.results.get(outing.identity)
            assert result is not None
            places = curved(1, 2000.0) if number < 4 else (np.zeros(5), np.zeros(5))
            error = off(places[0].size, 3.0, np.random.default_rng(number))
            made = way(*places, day=7.0 * number, error=error, hr_bpm=140.0 - number, kind="walk")
            kept.results.put(outing.identity, replace(result, way=made))
    return path


def answer(capsys: pytest.CaptureFixture[str], library: Path, *more: str) -> str:
    assert main(["ground", "--library", str(library), *more]) == 0
    return capsys.readouterr().out


def test_places_passes_and_levels_come_out_as_json_without_coordinates(
    library: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = answer(capsys, library, "--json", "-")
    values = json.loads(text)
    assert values["athlete"] == "Hut warden"
    assert sum(place["length_m"] for place in values["places"]) == pytest.approx(2000.0, abs=200.0)
    for place in values["places"]:
        assert place["times"] == place["days"] == len(place["passes"]) == 4
        assert [each["hr_bpm"] for each in place["passes"]] == pytest.approx([140.0, 139.0, 138.0, 137.0])
        assert place["groups"][0]["sport"] == "hiking"
        # On real months days differed by 8.1 bpm at one pass (tests/benchmarks/same_ground_real.md).
        assert all(each["hr_equal_speed_sd_bpm"] == pytest.approx(8.1, abs=0.5) for each in place["passes"])
    (level,) = values["levels"]
    assert [day["level_bpm"] for day in level["days"]] == pytest.approx([1.5, 0.5, -0.5, -1.5], abs=0.1)
    assert level["change"]["change_bpm"] == pytest.approx(-2.0, abs=0.1)
    assert values["warnings"] == []
    # The ways lie about 46.9 north, 10.2 east: nothing written is such a number, and no key names one.
    assert not [key for key in re.findall(r'"(\w+)":', text) if re.search(r"lat_|lon_|deg|line|cell", key)]
    numbers = [float(each) for each in re.findall(r"-?\d+\.\d+", text)]
    assert not any(46.8 < each < 47.0 or 10.1 < each < 10.3 for each in numbers)


def test_the_page_says_what_days_differ_by_and_one_place_is_told_by_its_number(
    library: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = answer(capsys, library)
    assert "Hut warden  |  2 places gone more than once" in page
    assert "one place alone says little" in page
    assert "not medical advice" in page
    number = json.loads(answer(capsys, library, "--json", "-"))["places"][0]["number"]
    place = answer(capsys, library, "--place", str(number), "--language", "de")
    assert place.startswith(f"Nr. {number}: Wegstück von ")
    assert "bei gleichem" in place


def test_an_unknown_place_is_a_sentence(library: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["ground", "--library", str(library), "--place", "99"]) == 2
    assert capsys.readouterr().err == "There is no place number 99.\n"


def test_places_near_ends_are_left_out_and_all_is_found_again(
    library: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    values = json.loads(answer(capsys, library, "--without-ends", "--again", "--json", "-"))
    assert values["places"] == []
    assert values["left_out_near_ends"] == 2
