"""Lists, beginnings of sentences and a few quantities, in the language and the units in force."""

from __future__ import annotations

from collections.abc import Sequence

from slopebeat.analysis.account.climbs import SMALLEST_GAIN_M
from slopebeat.model.language import tr
from slopebeat.model.measures import GROUND, HEIGHT, MASS, TEMPERATURE, System, shortest_number, system
from slopebeat.model.track import CLIMBING_GRADE
from slopebeat.model.units import percent


def listed(parts: Sequence[str]) -> str:
    """Parts as they are listed in a sentence: ``a, b and c``."""
    if len(parts) < 2:
        return "".join(parts)
    return tr("{most} and {last}").format(most=", ".join(parts[:-1]), last=parts[-1])


def sentence_start(text: str) -> str:
    """A phrase as the beginning of a sentence; the letters after the first stay as they are."""
    return text[:1].upper() + text[1:]


def on_way(metres: float) -> str:
    """A short way along the ground: metres, or miles where those are in force."""
    return HEIGHT.text(metres) if system() is System.METRIC else GROUND.text(metres)


def kilograms(mass_kg: float) -> str:
    """A mass as short as it goes: ``75 kg``, ``7.5 kg``, ``165 lb``."""
    return f"{shortest_number(mass_kg)} {MASS.unit}" if system() is System.METRIC else MASS.text(mass_kg)


def degrees(celsius: float) -> str:
    """A temperature as short as it goes: ``22.5 °C``, ``95 °F``."""
    return f"{shortest_number(round(TEMPERATURE.shown(celsius), 1))} {TEMPERATURE.unit}"


def no_climb() -> str:
    """Said where a table of climbs would be empty."""
    least = HEIGHT.text(SMALLEST_GAIN_M)
    return tr("No climb of {gain} or more at {grade} or more.").format(
        gain=least, grade=percent(CLIMBING_GRADE)
    )


def too_steep(gentlest_grade: float | None, on_bike: bool) -> str:
    """From which grade on no speed anyone keeps stays in band; empty where every grade can be gone."""
    if gentlest_grade is None:
        return ""
    grade = percent(gentlest_grade)
    if on_bike:
        return tr("{grade} is too steep to ride in band: walk, or stay under it.").format(grade=grade)
    return tr("{grade} is too steep to walk in band without rests: stay under it.").format(grade=grade)
