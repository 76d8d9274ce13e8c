"""Six invented athletes of one coach over two years, with what the coach prescribed and wrote."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np

from .season import HUT_WARDEN, TRAIL_PATROL, Change, Person, SeasonOuting, season

HOURS = (1.0, 1.4)
"""Shorter than those of the demo: fifteen hundred of them are simulated and reviewed."""

FIRST_MONDAY = date(2024, 7, 1)
WEEKS = 104

REMARKS = (
    "Steady; the last climb a little too fast.",
    "Good. Keep it this easy.",
    "Too much above the band again: walk the steep part.",
    "Short of sleep, says the athlete; nothing to change.",
    "The strap slipped in the second hour.",
)
"""What the coach writes, in turn."""

_PEOPLE: tuple[Person, ...] = (
    HUT_WARDEN,
    TRAIL_PATROL,
    replace(HUT_WARDEN, role="lift hand", seed=20260204, change=Change(-6.0, (6.0, 4.0), 6.0), days=(1, 4)),
    replace(TRAIL_PATROL, role="ranger", seed=20260205, change=Change(4.0, (3.0, 6.0), 0.0), days=(2, 6)),
    replace(
        HUT_WARDEN,
        role="way builder",
        seed=20260206,
        change=Change(-10.0, (8.0, 3.0), 10.0),
        plan=(("up_then_down", "hike"), ("rolling", "hike"), ("flat", "hike")),
    ),
    replace(TRAIL_PATROL, role="guide", seed=20260207, change=Change(-1.0, (4.0, 4.0), 1.0), days=(0, 3, 6)),
)

ATHLETES = tuple(replace(person, hours=HOURS) for person in _PEOPLE)


@dataclass(frozen=True)
class Asked:
    """Minutes in band and sessions a week from a day on, and what is too much above the band."""

    from_day: date
    minutes: float
    sessions: int
    most_above: float | None = None


@dataclass(frozen=True)
class Spell:
    """A block, a camp or an illness, both days inside; ``kind`` as the program calls it."""

    kind: str
    first_day: date
    last_day: date
    text: str


@dataclass(frozen=True)
class Remark:
    """What the coach wrote on the outing of a file."""

    file_name: str
    text: str
    written: datetime


@dataclass(frozen=True)
class Kept:
    """What is left of an outing once its file is written."""

    file_name: str
    start: datetime


@dataclass(frozen=True)
class Charge:
    """One athlete of the coach.

    Attributes
    ----------
    ill_weeks : without outings. masses : body mass from a day on, kg.
    """

    person: Person
    weeks: int = WEEKS

    @property
    def ill_weeks(self) -> range:
        """Two weeks, at another time for everyone."""
        start = 12 + self.person.seed % 7 * 3
        return range(start, start + 2)

    @property
    def asked(self) -> tuple[Asked, ...]:
        """More is asked as time goes by; a limit above the band comes in the second year."""
        base, count = float(self.person.minutes_per_week), self.person.sessions_per_week
        steps = ((0, 0.7, None), (self.weeks // 3, 0.85, None), (self.weeks // 2, 1.0, 30.0))
        return tuple(
            Asked(FIRST_MONDAY + timedelta(weeks=week), round(base * share), count, limit)
            for week, share, limit in steps
        )

    @property
    def spells(self) -> tuple[Spell, ...]:
        ill = FIRST_MONDAY + timedelta(weeks=self.ill_weeks[0])
        camp = FIRST_MONDAY + timedelta(weeks=self.weeks * 2 // 3)
        block = FIRST_MONDAY + timedelta(weeks=self.weeks // 3)
        return (
            Spell("ILLNESS", ill, ill + timedelta(days=13), "cold"),
            Spell("BLOCK", block, block + timedelta(days=41), "base"),
            Spell("CAMP", camp, camp + timedelta(days=6), "hut week"),
        )

    @property
    def masses(self) -> tuple[tuple[date, float], ...]:
        """Two kilograms less in the second year."""
        kg = self.person.athlete.body_mass_kg
        return ((FIRST_MONDAY, kg), (FIRST_MONDAY + timedelta(weeks=self.weeks // 2), kg - 2.0))

    def outings(self) -> Iterator[SeasonOuting]:
        return season(self.person, self.weeks, FIRST_MONDAY, self.ill_weeks)

    def record(self, folder: Path) -> list[Kept]:
        """Write all outings into a folder, one after the other."""
        kept = []
        for outing in self.outings():
            (folder / outing.file_name).write_bytes(outing.encode())
            kept.append(Kept(outing.file_name, outing.start))
        return kept

    def remarks(self, outings: Sequence[Kept]) -> Iterator[Remark]:
        """About every third outing, a day later."""
        rng = np.random.default_rng(self.person.seed)
        for number, outing in enumerate(outings):
            if rng.random() < 1 / 3:
                text = REMARKS[number % len(REMARKS)]
                yield Remark(outing.file_name, text, (outing.start + timedelta(days=1)).astimezone(UTC))


def charges(weeks: int = WEEKS) -> tuple[Charge, ...]:
    """All six, over so many weeks."""
    return tuple(Charge(person, weeks) for person in ATHLETES)
