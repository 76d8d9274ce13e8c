"""How uneven the work of an outing was, which tells how far its ground spreads the heart rate.

The coefficient of variation of the minutes' work tells the spread of the heart rate far better than ascent a
kilometre does: a rolling road with pushes over each rise is less even than one long climb.
"""

from __future__ import annotations

from bisect import bisect_right
from enum import StrEnum

from slopebeat.model.evidence import PastOuting


class Unevenness(StrEnum):
    """Kinds of ground and of going by the variation of the minutes' work."""

    STEADY = "steady"
    GENTLE = "gentle"
    MIXED = "mixed"
    STOP_AND_GO = "stop_and_go"


EDGES = {False: (0.20, 0.30, 0.45), True: (0.35, 0.45, 0.60)}
"""By on_bike: variation of the minutes' work that parts the kinds [project choice, about thirds of real
outings]: coasting makes rides less even than walks over the same ground."""

USUAL = {False: 0.30, True: 0.45}
"""By on_bike: variation of an outing somewhere in the middle [project choice]."""

MACHINE = {False: 0.10, True: 0.18}
"""By on_bike: variation of a session indoors, half of what is still steady [project choice]."""


def is_indoors(one: PastOuting) -> bool:
    """Whether an outing has neither positions nor ground: a treadmill, a trainer, a step machine."""
    return one.start_lat_deg is None and not one.has_ground


def variation_of(one: PastOuting) -> float | None:
    """Coefficient of variation of the minutes' work; None where no work is known outdoors.

    Indoors nothing but the machine makes work uneven, so it counts as steady whatever a sensor says.
    """
    return MACHINE[one.on_bike] if is_indoors(one) else one.work_variation


def kind_of(one: PastOuting) -> Unevenness:
    """The kind of an outing; gentle where its work is not known."""
    return kind_at(variation_of(one), one.on_bike)


def kind_at(variation: float | None, on_bike: bool) -> Unevenness:
    """The kind of a variation of work; gentle where it is not known [project choice]."""
    if variation is None:
        return Unevenness.GENTLE
    return tuple(Unevenness)[bisect_right(EDGES[on_bike], variation)]
