"""Are plans right? Outings foreseen from the others: ``PYTHONPATH=app python tests/benchmarks/backtest.py``.

Simulated athletes: 24 outings each, on changing ground, with days that differ (heart rate by 1.5 bpm: 1.1 to
1.4 % of a submaximal heart rate, Lamberts 2004, J Strength Cond Res 18:641; effort by 2 %, drift by 1.2
bpm/h [project choice]); each outing is left out in turn. Seeds of this file are used nowhere else: nothing
in the program was chosen by looking at them. One more walker tires on long days. Demo months: every outing
from the sixth on is foreseen from the latest before it on the same ground.

Printed for each: median error of the median in per cent and in minutes, and how many truths the 80 %
intervals held. In band counts outings with at least five minutes in band for the error in per cent, a share
of less being no measure, and all for the rest.
"""

from __future__ import annotations

import sys
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "samples"))

import generator.outing  # noqa: E402
from generator.outing import Athlete, Noise, Outing, simulate  # noqa: E402
from generator.travel import Mover  # noqa: E402

from helpers.ways import route_of  # noqa: E402
from slopebeat.files.reading import read_recordings  # noqa: E402
from slopebeat.model.bands import Band  # noqa: E402
from slopebeat.model.evidence import OutingEvidence  # noqa: E402
from slopebeat.model.people import Aim  # noqa: E402
from slopebeat.model.recording import Recording, Sport  # noqa: E402
from slopebeat.model.route import Route  # noqa: E402
from slopebeat.model.samples import sample_table  # noqa: E402
from slopebeat.review.evidence import evidence_of  # noqa: E402
from slopebeat.review.outing import Review, review_recording  # noqa: E402
from slopebeat.review.planning.library import LATEST_OUTINGS  # noqa: E402
from slopebeat.review.planning.planning import plan_route  # noqa: E402

OUTINGS = 24
GROUNDS = ("rolling", "up_then_down", "laps", "down_then_up", "rolling", "flat")
BAND = Band(112, 131)
DAY_BPM, DAY_EFFORT, DAY_DRIFT = 1.5, 0.02, 1.2
LEAST_BEFORE = 5
LEAST_IN_BAND_S = 300.0
COLUMNS = ("t_s", "hr_bpm", "elevation_m", "distance_m", "speed_mps", "lat_deg", "lon_deg")

ATHLETES = (
    ("walker, climbs over the band", "hike", Athlete(climb_w_per_kg=6.9), 301),
    ("walker, climbs near the edge", "hike", Athlete(climb_w_per_kg=6.2, hike_hr0_bpm=55.0), 302),
    ("rider, climbs over the band", "ride", Athlete(), 303),
    ("rider, climbs near the edge", "ride", Athlete(ride_climb_w_per_kg=2.1, ride_hr0_bpm=77.0), 304),
)

TIRING = ("walker who tires, long days", "hike", Athlete(climb_w_per_kg=6.6), 305)
TIRING_PER_H = 0.05
"""Effort lost an hour by the one who tires [project choice]."""

USUAL_HOURS, LONG_HOURS = (1.3, 2.6), (1.5, 4.5)


@dataclass
class Tired:
    """A mover of the generator whose push falls with every second of moving."""

    mover: Mover
    moved_s: int = 0

    def __getattr__(self, name: str) -> Any:
        return getattr(self.mover, name)

    def _left(self, push: float) -> float:
        return push * max(1.0 - TIRING_PER_H * self.moved_s / 3600.0, 0.3)

    def next_speed_mps(self, speed_mps: float, grade: float, push: float, at_m: float) -> float:
        self.moved_s += 1
        return self.mover.next_speed_mps(speed_mps, grade, self._left(push), at_m)

    def work_w_per_kg(self, speed_mps: float, grade: float, push: float, at_m: float) -> float:
        return self.mover.work_w_per_kg(speed_mps, grade, self._left(push), at_m)


@contextmanager
def tired_movers() -> Iterator[None]:
    """Movers made meanwhile tire; the generator of the samples knows none that do."""
    usual = generator.outing._mover

    def make(*given: Any) -> Any:
        return Tired(usual(*given))

    generator.outing._mover = make
    try:
        yield
    finally:
        generator.outing._mover = usual


@dataclass(frozen=True)
class Known:
    """One outing: what it teaches, its way, and what came of it."""

    evidence: OutingEvidence
    route: Route
    total_s: float
    in_band_s: float


def known(review: Review, route: Route) -> Known | None:
    account = review.account
    if account is None:
        return None
    return Known(evidence_of(review), route, account.recorded_s, account.in_band_s)


def one_day(who: Athlete, rng: np.random.Generator) -> Athlete:
    """The athlete on a day: heart rate and effort a little off."""
    beats, push = rng.normal(0.0, DAY_BPM), float(np.exp(rng.normal(0.0, DAY_EFFORT)))
    return replace(
        who,
        hike_hr0_bpm=who.hike_hr0_bpm + beats,
        ride_hr0_bpm=who.ride_hr0_bpm + beats,
        level_speed_mps=who.level_speed_mps * push,
        climb_w_per_kg=who.climb_w_per_kg * push,
        ride_level_w_per_kg=who.ride_level_w_per_kg * push,
        ride_climb_w_per_kg=who.ride_climb_w_per_kg * push,
    )


def simulated(mode: str, who: Athlete, seed: int, hours: tuple[float, float] = USUAL_HOURS) -> list[Known]:
    rng = np.random.default_rng(seed)
    aim = Aim(BAND, body_mass_kg=who.body_mass_kg, bike_mass_kg=14.0)
    found = []
    for number in range(OUTINGS):
        tau = float(rng.uniform(42.0, 58.0))
        outing = simulate(
            GROUNDS[number % len(GROUNDS)],  # type: ignore[arg-type]
            mode,  # type: ignore[arg-type]
            float(rng.uniform(*hours)),
            rng,
            drift_bpm_per_h=float(rng.normal(4.0, DAY_DRIFT)),
            tau_up_s=tau,
            tau_down_s=tau,
            noise=Noise(),
            athlete=one_day(who, rng),
        )
        one = known(review_recording(recording(outing, number), aim), drawn(outing))
        assert one is not None
        found.append(one)
    return found


def recording(outing: Outing, number: int) -> Recording:
    sport = Sport.HIKING if outing.mode == "hike" else Sport.MOUNTAIN_BIKING
    samples = sample_table({name: outing[name] for name in COLUMNS})
    return Recording(samples, datetime(2026, 1, 1, 7, tzinfo=UTC) + timedelta(days=3 * number), sport)


def drawn(outing: Outing) -> Route:
    """The way as a map has it: true heights every 20 m, not what the barometer made of them."""
    at = np.arange(0.0, outing["distance_m"][-1], 20.0)
    return Route.of_profile(at, np.interp(at, outing["distance_m"], outing["true_elevation_m"]))


def demo_months() -> Iterator[tuple[str, list[Known]]]:
    """Outings of each demo athlete on each ground, in order; their ways are the recorded ones."""
    for archive in sorted((ROOT / "samples" / "demo_library").glob("*.zip")):
        aim = Aim(BAND, body_mass_kg=74.0 if "patrol" in archive.stem else 72.0, bike_mass_kg=14.0)
        by_ground: dict[bool, list[Known]] = {False: [], True: []}
        with tempfile.TemporaryDirectory() as folder, zipfile.ZipFile(archive) as packed:
            for name in sorted(n for n in packed.namelist() if n.endswith(".fit")):
                path = Path(packed.extract(name, folder))
                (made,) = read_recordings(path)
                review = review_recording(made, aim)
                if (one := known(review, route_of(made))) is not None:
                    by_ground[review.track.on_bike].append(one)
        for on_bike, outings in by_ground.items():
            yield f"demo {archive.stem.replace('_', ' ')}, {'rides' if on_bike else 'walks'}", outings


def foreseen(one: Known, taught: list[Known], aim: Aim) -> np.ndarray:
    """(2, 4) true value, median, low and high of total and in-band minutes."""
    plan = plan_route(one.route, [each.evidence for each in taught], aim)
    total, inside = plan.usual.total_s, plan.usual.in_band_s
    return np.array([[one.total_s, *total], [one.in_band_s, *inside]]) / 60.0


def report(name: str, rows: list[np.ndarray]) -> None:
    table = np.array(rows)
    print(f"{name} ({len(rows)} outings)")
    for k, what in enumerate(("total time", "in band")):
        true, middle, low, high = table[:, k].T
        enough = true >= LEAST_IN_BAND_S / 60.0
        share = 100.0 * np.median(np.abs(middle - true)[enough] / true[enough])
        held = 100.0 * np.mean((true >= low) & (true <= high))
        print(
            f"  {what:<11} error {share:5.1f} %  {np.median(np.abs(middle - true)):5.1f} min, "
            f"bias {np.mean(middle - true):+5.1f} min   80 % interval held {held:3.0f} %, "
            f"{np.median(high - low):5.1f} min wide",
            flush=True,
        )


def left_out_in_turn(outings: list[Known], aim: Aim) -> list[np.ndarray]:
    return [foreseen(one, [other for other in outings if other is not one], aim) for one in outings]


def tiring_walker() -> None:
    """Long days of one who tires."""
    name, mode, who, seed = TIRING
    with tired_movers():
        outings = simulated(mode, who, seed, LONG_HOURS)
    report(name, left_out_in_turn(outings, Aim(BAND, body_mass_kg=who.body_mass_kg)))


def main() -> None:
    everything: list[np.ndarray] = []
    for name, mode, who, seed in ATHLETES:
        outings = simulated(mode, who, seed)
        aim = Aim(BAND, body_mass_kg=who.body_mass_kg, bike_mass_kg=14.0)
        rows = left_out_in_turn(outings, aim)
        report(name, rows)
        everything += rows
    report("all simulated", everything)
    tiring_walker()
    for name, outings in demo_months():
        if len(outings) <= LEAST_BEFORE:
            continue
        aim = Aim(BAND, body_mass_kg=74.0 if "patrol" in name else 72.0, bike_mass_kg=14.0)
        rows = [
            foreseen(outings[i], outings[max(i - LATEST_OUTINGS, 0) : i], aim)
            for i in range(LEAST_BEFORE, len(outings))
        ]
        report(name, rows)


if __name__ == "__main__":
    main()
