"""Ground gone before as it is found, beside what is true of invented outings."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

import numpy as np
from generator.repeated import RepeatedOuting

from slopebeat.analysis.ground.equal_speed import later_half
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.people import Athlete
from slopebeat.review.ground.ground import review_ground
from slopebeat.review.ground.repeated import repeated_ground
from slopebeat.review.ground.search import find_ground
from slopebeat.review.imports.importing import import_files

ENDS_M = 60.0
"""Around the joints of legs it is not asked which ground it is."""


@dataclass
class Found:
    """Metres of ground by truth and by what is said, and errors of day levels, bpm."""

    gone_m: float = 0.0
    found_m: float = 0.0
    said_m: float = 0.0
    right_m: float = 0.0
    level_off: list[float] = field(default_factory=list)
    raw_off: list[float] = field(default_factory=list)
    change: list[float] = field(default_factory=list)
    raw_change: list[float] = field(default_factory=list)
    true_change: list[float] = field(default_factory=list)


def measure(outings: list[RepeatedOuting], found: Found, workers: int = 1) -> None:
    """Import invented outings and set what is found beside what is true."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        paths = [each.write(place) for each in outings]
        with Library.create(place / "library.sqlite3") as library:
            athlete = library.athletes.add(Athlete(new_identity(), "Hut warden"))
            import_files(library, athlete.identity, paths, workers=workers)
            find_ground(library)
            kept = {outing.start_utc: outing.identity for outing in library.outings.of(athlete.identity)}
            before: set[int] = set()
            for each in outings:
                _ground(library, kept[each.start], each, before, found)
                before |= {name for name, _ in each.legs if name}
            _levels(library, athlete.identity, outings, found)


def _ground(library: Library, identity: str, true: RepeatedOuting, before: set[int], found: Found) -> None:
    """Metres of one outing that were gone before in truth and in what is said."""
    gone = repeated_ground(identity, library.places.beside(identity))
    distance, t = true.outing["distance_m"], true.outing["t_s"]
    at = np.arange(0.0, float(distance[-1]), 10.0)
    when = np.interp(at, distance, t)
    truth = np.isin(true.leg_at(at), sorted(before))
    ends = np.array([end for _, end in true.legs])
    clear = np.abs(at[:, None] - np.append(ends, 0.0)[None]).min(axis=1) > ENDS_M
    said = np.zeros(at.size, dtype=bool)
    for stretch in gone.stretches:
        said |= (when >= stretch.start_s) & (when <= stretch.end_s)
    found.gone_m += 10.0 * float((truth & clear).sum())
    found.found_m += 10.0 * float((truth & said & clear).sum())
    found.said_m += 10.0 * float((said & clear).sum())
    found.right_m += 10.0 * float((truth & said & clear).sum())


def _levels(library: Library, athlete: str, outings: list[RepeatedOuting], found: Found) -> None:
    """Levels of days against the true ones, and raw means at the places in the same way."""
    passes = library.places.passes(athlete)
    ground = review_ground(library.places.of(athlete), passes)
    truth = {each.start.date(): each.level_bpm for each in outings}
    for levels in ground.levels[:1]:
        true = np.array([truth[day] for day in levels.days])
        error = levels.levels.level_bpm - true
        found.level_off += (error - error.mean()).tolist()
        by_day: dict[date, list[float]] = {}
        for each in passes:
            if each.figures.hr_bpm is not None:
                by_day.setdefault(each.facts.start_utc.date(), []).append(each.figures.hr_bpm)
        raw = [float(np.mean(by_day[day])) for day in levels.days]
        off = np.array(raw) - true
        found.raw_off += (off - off.mean()).tolist()
        if levels.change is not None:
            found.change.append(levels.change.change_bpm)
        sd = levels.levels.sd_bpm
        for values, changes in ((np.array(raw), found.raw_change), (true, found.true_change)):
            half = later_half(values, sd)
            if half is not None:
                changes.append(half.change_bpm)
