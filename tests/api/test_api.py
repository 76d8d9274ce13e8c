"""The interface for programs in Python: tables against other readers, and against the commands."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import fitparse
import gpxpy
import numpy as np
import pandas as pd
import pytest

import make_promise as promise
import slopebeat
from helpers.libraries import keep, teach, walks, warden
from slopebeat.command.main import main
from slopebeat.library.store import Library

ROOT = Path(__file__).resolve().parents[2]
SAMPLES = ROOT / "samples"
HIKE, WALK, RIDE = (
    SAMPLES / name for name in ("hut_supply_hike.fit", "lake_shore_walk.gpx", "forest_road_patrol.tcx")
)
LOWER, UPPER = 112, 131
GAP_S = 30.0
"""More between two records is a gap [project choice]."""

SEMICIRCLES_PER_DEGREE = 2**31 / 180.0
"""Unit of positions in FIT files (FIT profile)."""


@pytest.fixture(scope="module")
def hike() -> slopebeat.OutingReview:
    return slopebeat.review_outing(HIKE, band=(LOWER, UPPER))


@pytest.fixture(scope="module")
def walk() -> slopebeat.OutingReview:
    return slopebeat.review_outing(str(WALK), band=f"{LOWER}-{UPPER}")


@pytest.fixture(scope="module")
def ride() -> slopebeat.OutingReview:
    return slopebeat.review_outing(RIDE.read_bytes(), hr_max_bpm=187.0)


@pytest.fixture
def library(tmp_path: Path) -> Path:
    path = tmp_path / "library.sqlite3"
    with Library.create(path) as kept:
        who = warden(kept)
        keep(kept, who.identity, walks())
        teach(kept, who.identity, [150.0 - 2.0 * i for i in range(11)])
    return path


def in_band_s(samples: pd.DataFrame) -> float:
    """Seconds in band of a table of samples, both edges inside."""
    inside = samples["trusted_hr_bpm"].between(LOWER, UPPER, inclusive="both")
    return float(samples.loc[inside, "recorded_s"].sum())


@pytest.mark.parametrize("name", ["hike", "walk", "ride"])
def test_seconds_in_band_of_the_table_are_those_of_the_account(
    name: str, request: pytest.FixtureRequest
) -> None:
    review: slopebeat.OutingReview = request.getfixturevalue(name)
    samples, account = review.samples, review.account_s
    assert review.band_bpm == (LOWER, UPPER)
    assert in_band_s(samples) == pytest.approx(account["in_band_s"], abs=1e-6)
    by_state = samples.groupby("band_state")["recorded_s"].sum()
    states = {"in band": "in_band_s", "above": "above_s", "below": "below_s", "no heart rate": "no_hr_s"}
    for state, part in states.items():
        assert by_state.get(state, 0.0) == pytest.approx(account[part], abs=1e-6)
    by_cause = samples[samples["cause"] != ""].groupby("cause")["recorded_s"].sum()
    assert by_cause.sum() == pytest.approx(sum(review.causes_s.values()))
    assert by_cause.to_dict() == pytest.approx({k: s for k, s in review.causes_s.items() if s})
    parts = ("in_band_s", "above_s", "below_s", "no_hr_s", "pause_s", "gap_s")
    assert sum(account[part] for part in parts) == pytest.approx(review.recording.span_s)


def test_a_fit_file_counts_the_same_when_read_with_fitparse_and_summed_with_pandas(
    hike: slopebeat.OutingReview,
) -> None:
    """fitparse 1.2, an independent decoder; what a sample stands for is worked out anew on its records."""
    file = fitparse.FitFile(str(HIKE), check_crc=False)
    rows = [message.get_values() for message in file.get_messages("record")]
    records = pd.DataFrame(rows).sort_values("timestamp", ignore_index=True)
    elapsed = (records["timestamp"] - records["timestamp"].iloc[0]).dt.total_seconds()
    samples = hike.samples
    assert samples["t_s"].to_numpy() == pytest.approx(elapsed.to_numpy())
    assert samples["hr_bpm"].to_numpy() == pytest.approx(records["heart_rate"].to_numpy(float), nan_ok=True)
    for name, column, factor in (
        ("lat_deg", "position_lat", 1.0 / SEMICIRCLES_PER_DEGREE),
        ("elevation_m", "enhanced_altitude", 1.0),
        ("distance_m", "distance", 1.0),
    ):
        theirs = records[column].to_numpy(float) * factor
        assert samples[name].to_numpy() == pytest.approx(theirs, nan_ok=True)
    assert hike.marks.empty, "so all heart rate counts"
    stands_for = elapsed.diff().shift(-1).fillna(0.0) - _timer_off_s(file, records["timestamp"])
    counted = stands_for.where(stands_for <= GAP_S, 0.0)
    inside = records["heart_rate"].between(LOWER, UPPER)
    assert float(counted[inside].sum()) == pytest.approx(hike.account_s["in_band_s"])


def _timer_off_s(file: fitparse.FitFile, moments: pd.Series[Any]) -> np.ndarray:
    """Seconds between each record and the next with the timer stopped, from the timer events."""
    off = np.zeros(len(moments))
    stopped = None
    for message in file.get_messages("event"):
        event = message.get_values()
        if event["event"] != "timer":
            continue
        if event["event_type"] in ("stop", "stop_all"):
            stopped = event["timestamp"]
        elif stopped is not None:
            starts, ends = moments, moments.shift(-1).fillna(moments.iloc[-1])
            first, last = starts.clip(lower=stopped), ends.clip(upper=event["timestamp"])
            off += (last - first).dt.total_seconds().clip(lower=0.0).to_numpy()
            stopped = None
    return off


def test_a_gpx_file_counts_the_same_when_read_with_gpxpy_and_summed_with_pandas(
    walk: slopebeat.OutingReview,
) -> None:
    """gpxpy 1.6, an independent reader of GPX 1.1."""
    points = [
        (point.time, point.latitude, point.longitude, point.elevation, _heart_rate(point))
        for track in gpxpy.parse(WALK.read_text(encoding="utf-8")).tracks
        for segment in track.segments
        for point in segment.points
    ]
    theirs = pd.DataFrame(points, columns=["time", "lat_deg", "lon_deg", "elevation_m", "hr_bpm"])
    elapsed = (theirs["time"] - theirs["time"].iloc[0]).dt.total_seconds()
    samples = walk.samples
    assert samples["t_s"].to_numpy() == pytest.approx(elapsed.to_numpy())
    for name in ("lat_deg", "lon_deg", "elevation_m", "hr_bpm"):
        assert samples[name].to_numpy() == pytest.approx(theirs[name].to_numpy(float), nan_ok=True)
    assert walk.marks.empty, "so all heart rate counts"
    step = elapsed.diff().shift(-1).fillna(0.0)
    inside = theirs["hr_bpm"].between(LOWER, UPPER)
    assert float(step[inside & (step <= GAP_S)].sum()) == pytest.approx(walk.account_s["in_band_s"])


def _heart_rate(point: gpxpy.gpx.GPXTrackPoint) -> float:
    found = [
        each.text for extension in point.extensions for each in extension.iter() if "hr" in each.tag[-3:]
    ]
    return float(found[-1]) if found else np.nan


def test_the_climbs_are_those_the_generator_made(hike: slopebeat.OutingReview) -> None:
    truth = json.loads((SAMPLES / "truth" / f"{HIKE.stem}.json").read_text(encoding="utf-8"))
    assert len(hike.climbs) == len(truth["climbs"])
    # The generator's ground is what the barometer did not see: within 5 m.
    gains = [climb["gain_m"] for climb in truth["climbs"]]
    assert hike.climbs["gain_m"].to_numpy() == pytest.approx(gains, abs=5.0)


def test_the_command_says_the_same(hike: slopebeat.OutingReview, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["review", str(HIKE), "--band", f"{LOWER}-{UPPER}", "--json", "-"]) == 0
    assert json.loads(capsys.readouterr().out) == hike.values()


def test_tables_have_the_columns_that_are_promised(
    hike: slopebeat.OutingReview, library: Path, tmp_path: Path
) -> None:
    bare = slopebeat.review_outing(WALK)
    with slopebeat.open_library(library) as opened:
        owners: dict[str, list[object]] = {
            "OutingReview": [hike, bare],
            "Recording": [hike.recording, bare.recording],
            "Library": [opened],
            "Months": [opened.months()],
        }
        for place, promised in promise.TABLES.items():
            owner, name = place.split(".")
            for each in owners[owner]:
                made = getattr(each, name)
                made = made() if callable(made) else made
                if isinstance(made, pd.DataFrame) or made:
                    assert tuple(made) == promised, place


def test_without_a_band_nothing_is_counted_and_nothing_is_lost() -> None:
    bare = slopebeat.review_outing(WALK)
    assert bare.account_s == {}
    assert bare.causes_s == {}
    assert bare.yield_share is None
    assert bare.band_bpm is None
    assert bare.episodes.empty
    assert bare.samples["band_state"].isna().all()
    assert len(bare.samples) == len(bare.recording.samples) > 0


def test_unknown_numbers_are_nan_and_not_objects(hike: slopebeat.OutingReview) -> None:
    for table in (hike.climbs, hike.episodes, hike.speeds_to_hold, hike.samples):
        for name in table:
            words = pd.api.types.is_string_dtype(table[name]) or pd.api.types.is_object_dtype(table[name])
            assert not words or table[name].map(type).eq(str).all(), name


def test_a_table_is_the_callers_own(hike: slopebeat.OutingReview) -> None:
    samples, climbs = hike.samples, hike.climbs
    samples.loc[:, "hr_bpm"] = 0.0
    climbs.loc[:, "gain_m"] = 0.0
    assert hike.samples["hr_bpm"].max() > 100.0
    assert hike.climbs["gain_m"].min() > 30.0


def test_a_recording_says_what_the_file_says() -> None:
    (recording,) = slopebeat.read_recordings(HIKE)
    assert recording.sport == "hiking"
    assert recording.warnings == ()
    assert recording.pauses.to_dict("list") == {"start_s": [7406.0], "end_s": [8006.0]}
    assert len(recording.laps) == 2
    assert slopebeat.review_outing(recording, band="112-131").recording.start_utc == recording.start_utc


def test_a_library_gives_outings_weeks_and_bands(library: Path) -> None:
    with slopebeat.open_library(library) as opened:
        assert opened.athletes["name"].tolist() == ["Hut warden"]
        assert opened.bands()["upper_bpm"].tolist() == [131, 131]
        outings, months = opened.outings("hut warden"), opened.months()
        assert len(outings) == len(walks()) == len(months.outings)
        assert opened.months(ground="bike").outings["sport"].tolist() == ["mountain biking"]
    assert outings["start_utc"].is_monotonic_increasing
    assert outings["start_utc"].dt.tz is not None
    # ISO weeks by pandas, which knows nothing of the program's own (ISO 8601).
    local = outings["start_utc"] + pd.to_timedelta(outings["utc_offset_s"].fillna(0.0), unit="s")
    year_week = local.dt.isocalendar()
    by_week = outings.groupby([year_week["year"], year_week["week"]])["in_band_s"].sum()
    weeks = months.weeks[months.weeks["outings"] > 0]
    assert weeks["in_band_s"].to_numpy() == pytest.approx(by_week.to_numpy())
    assert (weeks["monday"].dt.day_of_week == 0).all()
    assert months.values()["sentences"] == list(months.sentences)


def test_an_outing_of_a_library_is_reviewed_as_it_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "library.sqlite3"
    call = ["import", str(HIKE), str(WALK), "--library", str(path), "--athlete", "Hut warden"]
    assert main([*call, "--band", f"{LOWER}-{UPPER}"]) == 0
    with slopebeat.open_library(path) as opened:
        outings = opened.outings().set_index("outing_id")
        for identity, row in outings.iterrows():
            again = opened.review_outing(str(identity))
            assert again.account_s["in_band_s"] == pytest.approx(row["in_band_s"])
            assert again.band_bpm == (LOWER, UPPER)
            assert in_band_s(again.samples) == pytest.approx(row["in_band_s"])
        with pytest.raises(KeyError):
            opened.review_outing("nothing")
        assert tuple(opened.places()) == promise.TABLES["Library.places"]


def test_refusals_are_sentences(library: Path, tmp_path: Path) -> None:
    with pytest.raises(slopebeat.UserError, match=r"missing\.fit"):
        slopebeat.review_outing(tmp_path / "missing.fit")
    with pytest.raises(slopebeat.UserError, match="body mass of 4 is not plausible"):
        slopebeat.review_outing(WALK, body_mass_kg=4.0)
    with pytest.raises(slopebeat.UserError, match="there is no number 2"):
        slopebeat.review_outing(WALK, activity=2)
    with pytest.raises(ValueError, match="not both"):
        slopebeat.review_outing(WALK, band="112-131", hr_max_bpm=187.0)
    with slopebeat.open_library(library) as opened:
        with pytest.raises(slopebeat.UserError, match="no athlete named Nobody"):
            opened.outings("Nobody")
        with pytest.raises(ValueError, match="ground"):
            opened.months(ground="water")
    with pytest.raises(slopebeat.UserError, match=r"missing\.sqlite3"):
        slopebeat.open_library(tmp_path / "missing.sqlite3")


def test_the_example_runs_and_says_what_the_review_says(hike: slopebeat.OutingReview, library: Path) -> None:
    ran = subprocess.run(
        [sys.executable, str(SAMPLES / "from_python.py"), str(HIKE), str(library)],
        env={**os.environ, "PYTHONPATH": str(ROOT / "app")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    assert f"{hike.account_s['in_band_s'] / 60:.0f} min in band" in ran.stdout
    assert "2026-W02" in ran.stdout
