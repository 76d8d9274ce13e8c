"""Does the model of months say "changed" when nothing does? Run with ``PYTHONPATH=app``.

Simulated months share as little as may be with the model: days are Student with three degrees of freedom,
fitness wanders as a random walk drawn back to nothing, some outings' intervals are a third too narrow, hard
outings lie above what slopes say, a season of heat comes and goes, and in some months a power meter comes
half way. Two questions, three courses: nothing changes, fitness only wanders, and a lasting change.

Printed for each number of weeks: how often a change is called while there is none, how often the interval
holds the true change, how often a change as large as is said to show is called. ``--seeds N`` for more.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np

from slopebeat.analysis.months.change import Change, ChangeQuestion, ChangeVerdict, changes_of
from slopebeat.analysis.months.choice import Candidate
from slopebeat.model.evidence import MODELLED, POWER, RIDE, RUN, FitEvidence, InputSums, OutingEvidence

START = datetime(2025, 3, 1, 8, 0, tzinfo=UTC)
DAY_BPM, DAY_DRIFT = 4.5, 2.5
SLOW_ERROR_BPM, PULL_WEEKS = 2.25, 4.0
EXTRA_PER_W_KG = {False: 2.0, True: 10.0}
SOURCE_BPM, HEAT_PER_C = 6.0, 0.5
USUAL_WORK = {False: 10.0, True: 2.4}
SLOPE = {False: 8.0, True: 14.0}
NO_SUMS = InputSums(np.eye(7), np.zeros(5), np.zeros(5))


@dataclass(frozen=True)
class Setting:
    """What is simulated: weeks, outings a week, whether fitness wanders, a lasting change of the level."""

    weeks: float
    per_week: float
    wanders: bool
    change_bpm: float
    on_bike: bool


def months(
    setting: Setting, rng: np.random.Generator
) -> tuple[list[OutingEvidence], dict[ChangeQuestion, float]]:
    """Outings of simulated months, and the true change of the level for both questions."""
    count = max(int(rng.poisson(setting.weeks * setting.per_week)), 8)
    week = np.sort(rng.uniform(0.0, setting.weeks, count))
    fitness = _wander(week, rng) if setting.wanders else np.zeros(count)
    lasting = setting.change_bpm * (week - week[0]) / np.ptp(week)
    meter = week > (
        rng.uniform(0.3, 0.7) * setting.weeks if setting.on_bike and rng.random() < 0.4 else np.inf
    )
    air = 14.0 + 10.0 * np.sin(2.0 * np.pi * (week / 52.0 + rng.uniform())) + rng.normal(0.0, 3.0, count)
    made = [
        _outing(setting.on_bike, w, f, bool(m), a, rng)
        for w, f, m, a in zip(week, fitness + lasting, meter, air, strict=True)
    ]
    course = fitness + lasting
    ends = course[week >= week[-1] - 4.0].mean() - course[week <= week[0] + 4.0].mean()
    return made, {ChangeQuestion.LASTING: setting.change_bpm, ChangeQuestion.NOW_AGAINST_THEN: float(ends)}


def _wander(week: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """A walk of daily steps drawn back to nothing, read at the outings."""
    days = int(week[-1] * 7.0) + 2
    value, course = rng.normal(0.0, SLOW_ERROR_BPM), np.empty(days)
    pull = 1.0 / (7.0 * PULL_WEEKS)
    for day in range(days):
        value += -pull * value + SLOW_ERROR_BPM * np.sqrt(2.0 * pull) * rng.standard_t(5) / np.sqrt(5.0 / 3.0)
        course[day] = value
    return np.asarray(np.interp(week * 7.0, np.arange(days), course))


def _outing(
    on_bike: bool, week: float, level: float, meter: bool, air_c: float, rng: np.random.Generator
) -> OutingEvidence:
    hours = float(np.clip(rng.lognormal(np.log(1.3), 0.4), 0.6, 5.0))
    work = USUAL_WORK[on_bike] * float(np.exp(rng.normal(0.0, 0.15)))
    usual = USUAL_WORK[on_bike]
    level += 135.0 + EXTRA_PER_W_KG[on_bike] * (work - usual) + SOURCE_BPM * meter
    level += HEAT_PER_C * max(air_c - 20.0, 0.0) + DAY_BPM * rng.standard_t(3) / np.sqrt(3.0)
    slopes = SLOPE[on_bike] * np.array([1.0, 2.0, -0.5]) * (1.0 + 0.1 * rng.standard_normal(3))
    drift = 3.0 + DAY_DRIFT * rng.standard_normal()
    centre = np.array([work, 0.08, 0.08]) * np.array([1.0, *rng.uniform(0.3, 1.7, 2)])
    middle = 0.5 * hours + 0.1
    sd = np.array([1.2, 4.0 / hours**1.5, 0.12 * SLOPE[on_bike], 2.5 * SLOPE[on_bike], 2.5 * SLOPE[on_bike]])
    told = sd / np.sqrt(max(hours, 0.7))
    truth = np.array([level + SLOPE[on_bike] * (work - usual) + drift * (middle - 1.0), drift, *slopes])
    read = truth + told * rng.normal(0.0, 1.3 if rng.random() < 0.3 else 1.0, 5)
    fit = FitEvidence(read, np.diag(told**2), middle, centre, 55.0, 3.0, 3600.0 * hours, True)
    return OutingEvidence(
        start_utc=START + timedelta(weeks=week),
        kind=RIDE if on_bike else RUN,
        sport="cycling" if on_bike else "running",
        on_bike=on_bike,
        work_source=POWER if meter else MODELLED,
        device="",
        coverage=0.97,
        recorded_s=3600.0 * hours,
        moving_s=3600.0 * hours,
        trusted_s=3500.0 * hours,
        mean_work_w_per_kg=work,
        work_variation=0.3,
        mean_hr_bpm=level,
        hr_sd_bpm=12.0,
        load_kg=0.0,
        temperature_c=air_c,
        fit=fit,
        sums=NO_SUMS,
    )


def answers(setting: Setting, seeds: range) -> Iterator[tuple[Change, float]]:
    """The answers about the level with the true change of each."""
    for seed in seeds:
        made, truth = months(setting, np.random.default_rng(seed))
        found = changes_of([Candidate(i, True, one) for i, one in enumerate(made)])
        for change in found[0].changes:
            if change.figure == "level" and change.low is not None:
                yield change, truth[change.question]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=int, default=60)
    parser.add_argument("--first", type=int, default=7000)
    options = parser.parse_args()
    seeds = range(options.first, options.first + options.seeds)
    print("weeks  course      question          answers  called %  holds %  would show bpm  spread of error")
    for weeks in (12.0, 26.0, 60.0):
        for name, wanders, change in (
            ("still", False, 0.0),
            ("wanders", True, 0.0),
            ("changes", False, -8.0),
        ):
            rows: dict[ChangeQuestion, list[tuple[Change, float]]] = {
                question: [] for question in ChangeQuestion
            }
            for on_bike in (False, True):
                for row in answers(Setting(weeks, 2.0, wanders, change, on_bike), seeds):
                    rows[row[0].question].append(row)
            for question, found in rows.items():
                print(f"{weeks:5.0f}  {name:10s}  {question:16s}  {_line(found)}")


def _line(found: list[tuple[Change, float]]) -> str:
    if not found:
        return "      0"
    called = np.mean([c.verdict in (ChangeVerdict.LOWER, ChangeVerdict.HIGHER) for c, _ in found])
    holds = np.mean([c.low <= truth <= c.high for c, truth in found])  # type: ignore[operator]
    shows = np.median([c.detectable for c, _ in found])  # type: ignore[type-var]
    error = np.std([c.change - truth for c, truth in found])  # type: ignore[operator]
    return f"{len(found):7d}  {100 * called:8.1f}  {100 * holds:7.1f}  {shows:14.1f}  {error:15.1f}"


if __name__ == "__main__":
    main()
