"""Keys of what was done, and what the words in files mean by it."""

from __future__ import annotations

from enum import StrEnum


class Activity(StrEnum):
    """What was done; the value is the key that files and libraries keep."""

    WALK = "walk"
    RUN = "run"
    MIXED = "mixed"
    """On foot, partly walked and partly run."""
    RIDE = "ride"
    ELECTRIC = "electric"
    LIFTS = "lifts"
    """Mostly carried up: skiing or riding downhill."""
    SKIING = "skiing"
    SWIMMING = "swimming"
    STRENGTH = "strength"
    TREADMILL = "treadmill"
    HEART_ONLY = "heart_only"
    """Heart rate and time, and no ground."""
    FRAGMENT = "fragment"
    """Too little to tell."""
    OTHER = "other"

    @property
    def on_foot(self) -> bool:
        return self in (Activity.WALK, Activity.RUN, Activity.MIXED, Activity.TREADMILL)

    @property
    def has_work(self) -> bool:
        """Whether ground or power tell a work rate; a motor's part of it is a doubt of its own."""
        return self.on_foot or self in (Activity.RIDE, Activity.ELECTRIC, Activity.FRAGMENT)


WORDS: tuple[tuple[Activity, tuple[str, ...]], ...] = (
    (Activity.ELECTRIC, ("e_bik", "ebik", "e_mtb", "electric_bi")),
    (Activity.FRAGMENT, ("snowshoe",)),
    (Activity.SKIING, ("ski", "snowboard", "sledge", "sled")),
    (Activity.SWIMMING, ("swim",)),
    (Activity.STRENGTH, ("strength", "weight", "fitness_equipment", "gym", "yoga", "pilates", "cardio")),
    (Activity.TREADMILL, ("treadmill",)),
)
"""Parts of the words found in files; the first row that fits decides, and the second says nothing: snow shoes
are gone on foot."""


def activity_said(said: str) -> Activity | None:
    """What the file's own words mean where it is not plain walking, running or riding; None elsewhere."""
    found = next((kind for kind, parts in WORDS if any(part in said for part in parts)), None)
    return None if found is Activity.FRAGMENT else found
