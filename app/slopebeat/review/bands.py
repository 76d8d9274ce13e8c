"""How a band was found, whole: also the stages of a lactate test."""

from __future__ import annotations

from typing import Any

from slopebeat.model.bands import Band
from slopebeat.model.language import tr
from slopebeat.model.measures import shortest_number


def whole_basis(band: Band) -> str:
    """Everything that is kept on how a band was found, in lines; what cannot be read of it is left out."""
    values = band.basis.values
    stages, unit = values.get("stages"), band.basis.words_of("load_unit")
    rows = [_stage(each, unit) for each in stages if _is_stage(each)] if isinstance(stages, list) else []
    rest = band.basis.numbers("resting_mmol_l")
    lines = [f"{band}: {band.how_words}"]
    if rest is not None:
        lines.append(tr("Lactate at rest: {lactate} mmol/L").format(lactate=shortest_number(rest[0])))
    if rows:
        lines.append(tr("Stages: {stages}").format(stages=";  ".join(rows)))
    return "\n".join(lines)


_STAGE = ("load", "lactate_mmol_l", "hr_bpm")


def _is_stage(values: Any) -> bool:
    return isinstance(values, dict) and all(
        isinstance(values.get(name), int | float) and not isinstance(values.get(name), bool)
        for name in _STAGE
    )


def _stage(values: dict[str, float], unit: str) -> str:
    load, lactate, hr = (shortest_number(float(values[name])) for name in _STAGE)
    text = tr("{load} {unit}, {lactate} mmol/L, {hr} bpm")
    return text.format(load=load, unit=unit, lactate=lactate, hr=hr)
