"""The three sample outings: what was walked and ridden, and what the recordings lack."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta, timezone

import numpy as np
from numpy.typing import NDArray

from .fit_file import write_fit
from .outing import Athlete, Noise, Outing, simulate
from .terrain import from_segments
from .travel import Interruption
from .truth import spans, summary
from .xml_files import write_gpx, write_tcx

BAND_BPM = (112, 131)
"""60-70 % of 187 bpm, 112.2 to 130.9, rounded outward to whole beats; both ends inside."""
TARGET_MINUTES = 45
HUT_WARDEN = Athlete(
    hike_hr0_bpm=58.5,
    hike_gain_bpm_per_w_per_kg=12.0,
    level_speed_mps=1.45,
    climb_w_per_kg=7.8,
    full_effort_grade=0.20,
)
"""Of the hike and the lake walk: one person, so one heart and one pace."""
TRAIL_PATROL = Athlete(
    body_mass_kg=74.0,
    ride_level_w_per_kg=1.62,
    ride_climb_w_per_kg=2.6,
    ride_full_effort_grade=0.08,
)
"""Of the forest-road patrol: somebody else, on a bicycle."""
WAY_UP = (
    (900.0, -13.0),
    (480.0, 93.0),
    (600.0, 33.0),
    (450.0, 89.0),
    (250.0, -4.0),
    (360.0, -72.0),
    (500.0, -24.0),
    (400.0, -2.0),
    (520.0, 105.0),
    (600.0, 27.0),
    (420.0, 90.0),
    (80.0, 3.0),
)
"""Of the hike, as (length in m, rise in m): approach, climb to the shoulder, dip behind it, climb to the
hut. Each climb has a gentler middle between two steep parts."""
FOREST_ROADS = (
    (1800.0, -13.0),
    (1000.0, 70.0),
    (900.0, 16.0),
    (700.0, 49.0),
    (1500.0, -7.0),
    (1700.0, -108.0),
    (1500.0, -4.0),
    (1200.0, 85.0),
    (1100.0, 19.0),
    (1000.0, 71.0),
    (1600.0, -7.0),
    (2300.0, -150.0),
    (2000.0, -5.0),
    (1300.0, 94.0),
    (1000.0, 16.0),
    (900.0, 64.0),
    (1600.0, -7.0),
    (2600.0, -172.0),
    (2600.0, -6.0),
    (600.0, -36.0),
)
"""Of the patrol, likewise: three climbs with a gentler middle, level ground and a descent between."""
SUMMER_TIME = timezone(timedelta(hours=2))


@dataclass(frozen=True, eq=False)
class Sample:
    """A sample ready to be written: file name, maker of its bytes, and the truth beside it."""

    file_name: str
    encode: Callable[[], bytes]
    truth: dict[str, object]
    outing: Outing


def _truth(
    title: str,
    seed: int,
    start: datetime,
    outing: Outing,
    rows: NDArray[np.intp],
    drop_outs: NDArray[np.bool_],
    spikes: NDArray[np.bool_],
) -> dict[str, object]:
    return {
        "title": title,
        "seed": seed,
        "start_local": start.isoformat(),
        "target_minutes": TARGET_MINUTES,
        "records": int(rows.size),
        "heart_rate_drop_outs": spans(drop_outs),
        "heart_rate_spikes": spans(spikes),
        **summary(outing, BAND_BPM, np.flatnonzero(drop_outs | spikes).tolist()),
    }


def hut_supply_hike() -> Sample:
    """Up over a shoulder with supplies, a rest at the hut with the watch stopped, down without load."""
    seed, title = 20260711, "Hut supply hike, hut warden"
    start = datetime(2026, 7, 11, 6, 10, tzinfo=SUMMER_TIME)
    rng = np.random.default_rng(seed)
    ridge = from_segments(WAY_UP, rng, start_m=1180.0, shape="out_and_back")
    hut_m = ridge.length_m / 2.0
    outing = simulate(
        ridge,
        "hike",
        4.0,
        rng,
        drift_bpm_per_h=3.0,
        tau_up_s=52.0,
        tau_down_s=52.0,
        athlete=HUT_WARDEN,
        load_kg=14.0,
        load_until_m=hut_m,
        interruptions=[
            Interruption(2700.0, 180),
            Interruption(4150.0, 75),
            Interruption(hut_m + 5.0, 600, timer_running=False),
            Interruption(hut_m + 3300.0, 90),
        ],
    )
    rows = np.flatnonzero(outing.timer_running)
    none = np.zeros(outing.moving.shape, dtype=bool)
    truth = _truth(title, seed, start, outing, rows, none, none)
    truth["load"] = {"load_kg": 14.0, "carried_until_s": int(np.searchsorted(outing["distance_m"], hut_m))}
    lap_starts = [0, int(np.flatnonzero(~outing.timer_running)[-1]) + 1]
    truth["lap_starts_s"] = lap_starts
    return Sample(
        "hut_supply_hike.fit",
        lambda: write_fit(outing, rows, start, lap_starts, ("hiking", "generic")),
        truth,
        outing,
    )


def forest_road_patrol() -> Sample:
    """Rolling forest roads with three pauses, a stop, and the faults recordings have."""
    seed, title = 20260718, "Forest road patrol, trail patrol"
    start = datetime(2026, 7, 18, 8, 30, tzinfo=SUMMER_TIME)
    rng = np.random.default_rng(seed)
    road = from_segments(FOREST_ROADS, rng, start_m=910.0, ripple=0.006, offset_m=(4200.0, -6100.0))
    outing = simulate(
        road,
        "ride",
        4.0,
        rng,
        drift_bpm_per_h=5.0,
        tau_up_s=45.0,
        tau_down_s=45.0,
        athlete=TRAIL_PATROL,
        interruptions=[
            Interruption(4700.0, 210, timer_running=False),
            Interruption(8900.0, 150),
            Interruption(12600.0, 420, timer_running=False),
            Interruption(20400.0, 160, timer_running=False),
        ],
    )
    outing, drop_outs, spikes = _with_faults(outing)
    lost = _between(outing, 1701, 1709) | _between(outing, 1901, 1941) | _between(outing, 6401, 6413)
    every = np.arange(outing.moving.size) % 4 == 0
    rows = np.flatnonzero((every | _edges(outing)) & outing.timer_running & ~lost)
    truth = _truth(title, seed, start, outing, rows, drop_outs, spikes)
    truth["records_lost"] = spans(lost)
    lap_starts = [0, int(np.searchsorted(outing["distance_m"], 14000.0))]
    truth["lap_starts_s"] = lap_starts
    return Sample(
        "forest_road_patrol.tcx",
        lambda: write_tcx(outing, rows, start, lap_starts, efficiency=0.22),
        truth,
        outing,
    )


def lake_shore_walk() -> Sample:
    """A rest day's even walk around a lake, the kind of outing whose minutes nearly all count."""
    seed, title = 20260712, "Lake shore walk, hut warden"
    start = datetime(2026, 7, 12, 16, 45, tzinfo=SUMMER_TIME)
    rng = np.random.default_rng(seed)
    shore = from_segments(
        [(1800.0, 6.0), (2200.0, -6.0), (1500.0, 5.0), (1760.0, -5.0)],
        rng,
        start_m=790.0,
        shape="loop",
        ripple=0.004,
        offset_m=(-5200.0, -3000.0),
    )
    outing = simulate(
        shore,
        "hike",
        2.0,
        rng,
        drift_bpm_per_h=3.0,
        tau_up_s=52.0,
        tau_down_s=52.0,
        athlete=HUT_WARDEN,
        noise=Noise(barometer_m=0.6, gps_m=2.5),
        interruptions=[Interruption(4150.0, 50)],
    )
    end = outing.moving.size - 1
    rows = np.unique(np.append(np.arange(0, end, 3), end))
    none = np.zeros(outing.moving.shape, dtype=bool)
    truth = _truth(title, seed, start, outing, rows, none, none)
    return Sample(
        "lake_shore_walk.gpx", lambda: write_gpx(outing, rows, start, title, "walking"), truth, outing
    )


SCENARIOS: tuple[Callable[[], Sample], ...] = (hut_supply_hike, forest_road_patrol, lake_shore_walk)


def _with_faults(outing: Outing) -> tuple[Outing, NDArray[np.bool_], NDArray[np.bool_]]:
    """The outing with heart rate missing for some minutes and once falsely high, and where."""
    drop_outs, spikes = _between(outing, 5310, 5580), _between(outing, 7100, 7112)
    recorded = outing["hr_bpm"].copy()
    recorded[drop_outs] = np.nan
    recorded[spikes] += 62.0
    return replace(outing, columns=outing.columns | {"hr_bpm": recorded}), drop_outs, spikes


def _between(outing: Outing, first: int, last: int) -> NDArray[np.bool_]:
    return (outing["t_s"] >= first) & (outing["t_s"] < last)


def _edges(outing: Outing) -> NDArray[np.bool_]:
    """First and last row of the outing and of every pause's neighbours: recorders write those."""
    timer = outing.timer_running
    edges = np.zeros(timer.shape, dtype=bool)
    edges[[0, -1]] = True
    edges[:-1] |= timer[:-1] & ~timer[1:]
    edges[1:] |= timer[1:] & ~timer[:-1]
    return edges
