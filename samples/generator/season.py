"""Half a year of outings of two invented people, with a known change of the heart from first day to last."""

from __future__ import annotations

from collections.abc import Container, Iterator
from dataclasses import asdict, dataclass, replace
from datetime import date, datetime, time, timedelta, timezone

import numpy as np

from .fit_file import write_fit
from .outing import Athlete, Noise, Outing, simulate
from .terrain import Kind, Mode, Profile, named
from .truth import ascent_descent_m, band_seconds, decoupling

FIRST_MONDAY = date(2026, 2, 2)
WEEKS = 24
EMPTY_WEEKS = (9, 17)
"""Weeks at home, ill or travelling: nothing recorded."""
RECORD_EVERY_S = 10
BAND_BPM = (112, 131)
LAPS_M: dict[Mode, float] = {"hike": 15_000.0, "ride": 50_000.0}
CET, CEST = timezone(timedelta(hours=1)), timezone(timedelta(hours=2))
SUMMER_FROM = date(2026, 3, 29)


@dataclass(frozen=True)
class Change:
    """What changes evenly over the season: the heart rate that work adds, the drift, and the pace chosen.

    Attributes
    ----------
    work_hr_percent : change of the beats per W/kg from first day to last.
    drift_bpm_per_h : at the first and the last day.
    effort_percent : change of the effort chosen on climbs and by bicycle, half of it of the level walking
        speed: who is fitter goes faster at the same heart rate.
    day_bpm : standard deviation of a whole day's heart rate around that, for no reason.
    """

    work_hr_percent: float
    drift_bpm_per_h: tuple[float, float]
    effort_percent: float
    day_bpm: float = 1.5


@dataclass(frozen=True)
class Person:
    """One invented athlete, named by role; outings go through ``plan`` in order, round and round.

    Attributes
    ----------
    hours : an outing lasts between these.
    """

    role: str
    seed: int
    athlete: Athlete
    change: Change
    plan: tuple[tuple[Kind, Mode], ...]
    days: tuple[int, ...]
    minutes_per_week: int
    sessions_per_week: int
    hours: tuple[float, float] = (1.5, 1.9)


HUT_WARDEN = Person(
    role="hut warden",
    seed=20260202,
    athlete=Athlete(
        hike_hr0_bpm=58.5,
        hike_gain_bpm_per_w_per_kg=12.5,
        climb_w_per_kg=6.4,
        full_effort_grade=0.20,
        ride_level_w_per_kg=1.3,
        ride_climb_w_per_kg=1.9,
        ride_full_effort_grade=0.08,
    ),
    change=Change(-14.0, (11.0, 2.0), 14.0),
    plan=(
        ("flat", "hike"),
        ("rolling", "hike"),
        ("laps", "hike"),
        ("rolling", "ride"),
        ("up_then_down", "hike"),
        ("flat", "hike"),
        ("down_then_up", "hike"),
    ),
    days=(1, 3, 5),
    minutes_per_week=120,
    sessions_per_week=2,
)
"""Comes back from a long break: the base improves by more than days differ."""

TRAIL_PATROL = Person(
    role="trail patrol",
    seed=20260203,
    athlete=Athlete(
        body_mass_kg=74.0,
        hike_gain_bpm_per_w_per_kg=11.6,
        full_effort_grade=0.15,
        ride_level_w_per_kg=1.5,
        ride_climb_w_per_kg=2.2,
        ride_full_effort_grade=0.08,
    ),
    change=Change(-2.0, (4.5, 3.0), 2.0),
    plan=(
        ("rolling", "ride"),
        ("laps", "ride"),
        ("rolling", "hike"),
        ("flat", "ride"),
        ("up_then_down", "ride"),
    ),
    days=(0, 2, 5),
    minutes_per_week=150,
    sessions_per_week=3,
)
"""Trained all along: what changes is within the noise of days."""

PEOPLE = (HUT_WARDEN, TRAIL_PATROL)


@dataclass(frozen=True, eq=False)
class SeasonOuting:
    """One outing of the season: its name in the archive, when and what, and the outing itself."""

    file_name: str
    start: datetime
    kind: Kind
    outing: Outing

    def encode(self) -> bytes:
        """The outing as a FIT activity with a record every ``RECORD_EVERY_S`` seconds."""
        end = self.outing.moving.size - 1
        rows = np.unique(np.append(np.arange(0, end, RECORD_EVERY_S), end))
        sport = ("hiking", "generic") if self.outing.mode == "hike" else ("cycling", "mountain")
        return write_fit(self.outing, rows, self.start, [0], sport)

    def truth(self) -> dict[str, object]:
        heart = self.outing.heart
        return {
            "start_local": self.start.isoformat(),
            "ground": self.kind,
            "mode": self.outing.mode,
            "heart": asdict(heart),
            "ascent_m": round(ascent_descent_m(self.outing)[0], 1),
            "seconds": band_seconds(self.outing, *BAND_BPM),
            "terrain_fair_percent": decoupling(self.outing)["percent"],
        }


def season(
    person: Person,
    weeks: int = WEEKS,
    first_monday: date = FIRST_MONDAY,
    empty_weeks: Container[int] = EMPTY_WEEKS,
) -> Iterator[SeasonOuting]:
    """All outings of a person, in order; two or three a week, none in the empty weeks."""
    schedule = [
        (week, day)
        for week in range(weeks)
        if week not in empty_weeks
        # Every other week one of the three days is left out, in turn.
        for day in (person.days if week % 2 else [d for i, d in enumerate(person.days) if i != week // 2 % 3])
    ]
    for number, (week, weekday) in enumerate(schedule):
        kind, mode = person.plan[number % len(person.plan)]
        rng = np.random.default_rng([person.seed, number])
        day = first_monday + timedelta(weeks=week, days=weekday)
        start = datetime.combine(day, time(int(rng.integers(7, 16)), int(rng.integers(60))))
        start = start.replace(tzinfo=CEST if day >= SUMMER_FROM else CET)
        share = (week + weekday / 7.0) / weeks
        outing = _one(person, kind, mode, share, rng)
        yield SeasonOuting(f"{person.role.replace(' ', '_')}_{start:%Y-%m-%d}.fit", start, kind, outing)


def _home_lap(person: Person, mode: Mode) -> Profile:
    """The lap by the hut: the same ground every time, more rounds of it than anybody has the hours for."""
    return named("laps", mode, LAPS_M[mode], np.random.default_rng(person.seed))


def _one(person: Person, kind: Kind, mode: Mode, share: float, rng: np.random.Generator) -> Outing:
    """An outing at a share of the season gone by."""
    change, who = person.change, person.athlete
    factor = 1.0 + change.work_hr_percent / 100.0 * share
    push = 1.0 + change.effort_percent / 100.0 * share
    today = float(rng.normal(0.0, change.day_bpm))
    early, late = change.drift_bpm_per_h
    tau = float(rng.uniform(42.0, 58.0))
    return simulate(
        _home_lap(person, mode) if kind == "laps" else kind,
        mode,
        float(rng.uniform(*person.hours)),
        rng,
        drift_bpm_per_h=early + (late - early) * share,
        tau_up_s=tau,
        tau_down_s=tau,
        noise=Noise(hr_bpm=1.8),
        athlete=replace(
            who,
            level_speed_mps=who.level_speed_mps * (1.0 + (push - 1.0) / 2.0),
            climb_w_per_kg=who.climb_w_per_kg * push,
            ride_level_w_per_kg=who.ride_level_w_per_kg * push,
            ride_climb_w_per_kg=who.ride_climb_w_per_kg * push,
            hike_hr0_bpm=who.hike_hr0_bpm + today,
            ride_hr0_bpm=who.ride_hr0_bpm + today,
            hike_gain_bpm_per_w_per_kg=who.hike_gain_bpm_per_w_per_kg * factor,
            ride_gain_bpm_per_w_per_kg=who.ride_gain_bpm_per_w_per_kg * factor,
        ),
    )
