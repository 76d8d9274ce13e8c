"""Minutes of weeks of a real rider agree with a count by another reader and another way of adding up."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import fitparse
import numpy as np
import pandas as pd
import pytest

from slopebeat.analysis.months.weeks import Apart
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.people import Athlete, BandPeriod, Ground, Prescription
from slopebeat.review.imports.importing import import_files
from slopebeat.review.week.board import WeekRow, read_outings, week_rows

BAND = Band(120, 140)

RIDES = (
    *("rider_2015-08-10_1446", "rider_2015-08-11_1457", "rider_2015-08-11_2036"),
    *("rider_2015-08-20_1521", "rider_2015-08-21_0631", "rider_2015-08-21_1445", "rider_2015-08-23_0812"),
)
"""Two weeks of a summer: long rides and commutes, some of these without heart rate."""

LONGEST_STEP_S = 30.0
"""As the definition has it: what lies further apart is a gap and counts for nothing."""


@pytest.fixture(scope="module")
def rides(recordings: Path) -> tuple[Path, ...]:
    folder = recordings.parent / "months" / "rider"
    if not folder.is_dir():
        pytest.skip("the folder of real months is not beside the project")
    return tuple(folder / f"{name}.fit" for name in RIDES)


@pytest.fixture(scope="module")
def rows(rides: tuple[Path, ...], tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, WeekRow]]:
    with Library.create(tmp_path_factory.mktemp("rider") / "rider.sqlite3") as library:
        who = library.athletes.add(Athlete(new_identity(), "Rider")).identity
        library.bands.put(BandPeriod(who, Ground.BIKE, date(2015, 1, 1), BAND))
        library.dated.put(Prescription(who, date(2015, 7, 1), 150.0, 2))
        assert len(import_files(library, who, rides, workers=1).imported) == len(RIDES)
        made = week_rows(library.inputs(who), read_outings(library, who), date(2015, 8, 30))
        yield {row.week.iso: row for row in made}


def counted(path: Path) -> dict[str, float]:
    """Seconds by fitparse and NumPy: no cleaning, pauses as steps over thirty seconds."""
    records = []
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for message in fitparse.FitFile(str(path), check_crc=False).get_messages("record"):
            values = message.get_values()
            records.append((values["timestamp"], values.get("heart_rate")))
    table = pd.DataFrame(records, columns=["at", "hr"]).drop_duplicates("at").sort_values("at")
    step = table["at"].diff().shift(-1).dt.total_seconds().to_numpy()
    step = np.where(step <= LONGEST_STEP_S, step, 0.0)
    hr = table["hr"].to_numpy(dtype=float)
    inside = (hr >= BAND.lower_bpm) & (hr <= BAND.upper_bpm)
    return {
        "in_band": float(step[inside].sum()),
        "above": float(step[hr > BAND.upper_bpm].sum()),
        "below": float(step[hr < BAND.lower_bpm].sum()),
    }


def test_minutes_of_two_weeks_agree_with_an_independent_count(
    rides: tuple[Path, ...], rows: dict[str, WeekRow]
) -> None:
    table = pd.DataFrame([counted(path) for path in rides])
    # The day stands in the name, in UTC; none of these rides lies near a Sunday's midnight.
    days = pd.to_datetime([path.stem.split("_")[1] for path in rides])
    table["week"] = [f"{day.isocalendar()[0]}-W{day.isocalendar()[1]:02d}" for day in days]
    sums = table.groupby("week").sum()
    assert list(sums.index) == ["2015-W33", "2015-W34"]
    for iso, expected in sums.iterrows():
        week = rows[str(iso)].week
        trusted = expected.sum()
        for name in ("in_band", "above", "below"):
            # What cleaning doubts, and timer pauses shorter than a gap, are all that may differ.
            found = getattr(week, f"{name}_s")
            assert np.isclose(found, expected[name], atol=0.03 * trusted), (iso, name, found, expected[name])
        here = table.loc[table["week"] == iso, "in_band"]
        assert week.sessions == int((here >= 20 * 60).sum())
    # Commutes without heart rate and under twenty minutes are counted apart by name.
    silent = [why for _, why in rows["2015-W34"].week.apart]
    assert silent == [Apart.NO_HEART_RATE, Apart.NO_HEART_RATE]
    assert rows["2015-W35"].week.over is False
