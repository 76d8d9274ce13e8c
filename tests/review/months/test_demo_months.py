"""The demo library is filled through the import, and its months find what was put into them."""

from __future__ import annotations

import json
import sys
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from helpers.checks import not_none
from slopebeat.analysis.months.change import ChangeQuestion, ChangeVerdict
from slopebeat.analysis.months.trend import trend
from slopebeat.analysis.months.weeks import weeks_since
from slopebeat.disk.places import LAST_DAY, demo_folder
from slopebeat.library.store import Library
from slopebeat.model.errors import Cancelled, UserError
from slopebeat.model.people import Ground
from slopebeat.review.demo_months import demo_people, fill_with_demo
from slopebeat.review.months.changes import DECOUPLING, SPEED
from slopebeat.review.months.months import ChosenEvidence, Months, review_months

sys.path.insert(0, str(Path(__file__).parents[3] / "samples"))

from generator.cost import WalkingCost


@pytest.fixture(scope="module")
def folder() -> Path:
    found = demo_folder()
    assert found is not None
    return found


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A library with both demo athletes and all their outings: about 15 seconds' work."""
    path = tmp_path_factory.mktemp("library") / "demo.sqlite3"
    with Library.create(path) as library:
        for report in fill_with_demo(library):
            assert (report.unreadable, report.fault, report.cancelled) == ([], None, False)
    return path


@cache
def months_of(path: Path, name: str) -> Months:
    """The months of one of them; reviewed once, as nobody changes a ``Months``."""
    with Library.open(path) as library:
        athlete = library.athletes.named(name)
        assert athlete is not None
        summaries = library.results.summaries(athlete.identity)
        kept = library.results.evidence(athlete.identity)
        teaching = {id(summaries[one.identity]): ChosenEvidence(one.evidence) for one in kept}
        prescribed = library.inputs(athlete.identity).prescribed
        return review_months(summaries.values(), prescribed, teaching=teaching)


def truth_of(folder: Path, name: str) -> dict[str, Any]:
    archive = f"{name.lower().replace(' ', '_')}.zip"
    return json.loads((folder / "truth.json").read_text(encoding="utf-8"))["archives"][archive]  # type: ignore[no-any-return]


@pytest.mark.parametrize("name", ["Hut warden", "Trail patrol"])
@pytest.mark.parametrize(("ground", "mode"), [(Ground.FOOT, "hike"), (Ground.BIKE, "ride")])
def test_the_known_improvement_lies_in_the_interval(
    name: str, ground: Ground, mode: str, filled: Path, folder: Path
) -> None:
    found = months_of(filled, name).find(DECOUPLING, ground)
    assert found is not None
    outings = truth_of(folder, name)["outings"].values()
    known = [outing["terrain_fair_percent"] for outing in outings if outing["mode"] == mode]
    assert found.value.size == len(known)
    true_slope = trend(found.week, known).slope
    assert true_slope is not None
    line = trend(found.week, found.value)
    assert line.slope_low is not None
    assert line.slope_high is not None
    assert line.slope_low <= true_slope <= line.slope_high


@pytest.mark.parametrize("name", ["Hut warden", "Trail patrol"])
def test_the_known_change_of_the_drift_lies_in_the_interval(name: str, filled: Path, folder: Path) -> None:
    months = months_of(filled, name)
    early, late = truth_of(folder, name)["change"]["drift_bpm_per_h"]
    assert months.origin is not None
    at = [weeks_since(outing.start_utc, months.origin) for outing in months.outings]
    found = trend(at, [not_none(outing.drift_bpm_per_h) for outing in months.outings])
    assert found.slope_low is not None
    assert found.slope_high is not None
    assert found.slope_low <= (late - early) / 24.0 <= found.slope_high


@pytest.mark.parametrize("name", ["Hut warden", "Trail patrol"])
def test_the_known_change_of_speed_at_mid_band_lies_in_the_interval(
    name: str, filled: Path, folder: Path
) -> None:
    found = months_of(filled, name).find(SPEED, Ground.FOOT)
    assert found is not None
    hikes = {o["start_local"]: o for o in truth_of(folder, name)["outings"].values() if o["mode"] == "hike"}
    starts = {datetime.fromisoformat(text): outing["heart"] for text, outing in hikes.items()}
    months = months_of(filled, name)
    known = [true_speed_mps(starts[months.outings[i].start_utc]) for i in found.outing]
    assert len(known) >= 0.8 * len(hikes)
    true_slope = trend(found.week, known).slope
    assert true_slope is not None
    line = trend(found.week, found.value)
    assert line.slope_low is not None
    assert line.slope_high is not None
    assert line.slope_low <= true_slope <= line.slope_high


def true_speed_mps(heart: dict[str, float]) -> float:
    """Level speed at 121.5 bpm, ten minutes into the outing, by the generator's own response and cost."""
    adds = 121.5 - heart["hr0_bpm"] - heart["drift_bpm_per_h"] / 6.0
    return WalkingCost().speed_mps(adds / heart["gain_bpm_per_w_per_kg"], 0.0, 3.0)


@pytest.mark.parametrize("name", ["Hut warden", "Trail patrol"])
def test_the_true_change_of_drift_lies_in_its_interval(name: str, filled: Path, folder: Path) -> None:
    truth = truth_of(folder, name)["outings"].values()
    starts = {datetime.fromisoformat(o["start_local"]): o["heart"]["drift_bpm_per_h"] for o in truth}
    months = months_of(filled, name)
    assert months.changes
    for group in months.changes:
        told = next(c for c in group.changes if (c.figure, c.question) == ("drift", ChangeQuestion.LASTING))
        assert told.verdict is not ChangeVerdict.NOTHING
        known = [starts[months.outings[i].start_utc] for i in group.entered]
        slope = np.polyfit(group.week, known, 1)[0]
        assert told.low is not None
        assert told.high is not None
        assert told.low <= slope * told.weeks <= told.high


def test_weeks_at_home_are_in_the_table_and_empty(filled: Path) -> None:
    found = months_of(filled, "Hut warden")
    assert len(found.weeks) == 24
    assert [i for i, week in enumerate(found.weeks) if week.outings == 0] == [9, 17]
    assert all(week.unbanded == 0 for week in found.weeks)


def test_filling_again_adds_nothing(filled: Path) -> None:
    with Library.open(filled) as library:
        before = library.outings.count()
        reports = fill_with_demo(library)
        assert [report.imported for report in reports] == [[], []]
        assert library.outings.count() == before
        assert len(list(library.athletes)) == 2


def test_a_stopped_filling_says_so(tmp_path: Path) -> None:
    def stop(done: int, total: int, name: str) -> None:
        raise Cancelled

    with Library.create(tmp_path / "demo.sqlite3") as library:
        (report,) = fill_with_demo(library, stop)
        assert report.cancelled


def test_a_demo_that_is_not_whole_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(UserError, match=r"not installed whole.*\.$"):
        demo_people(tmp_path)
    (tmp_path / "people.json").write_text("[{}]", encoding="utf-8")
    with pytest.raises(UserError, match="not installed whole"):
        demo_people(tmp_path)


def test_the_weeks_of_the_demo_end_with_its_last_outing(filled: Path) -> None:
    with Library.open(filled) as library:
        days = [
            outing.local_day()
            for athlete in library.athletes
            for outing in library.outings.of(athlete.identity)
        ]
    assert timedelta(0) <= LAST_DAY - max(days) < timedelta(days=7)
    assert LAST_DAY.isoweekday() == 7
