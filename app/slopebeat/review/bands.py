"""Bands of an athlete over time: how each was found, whole, and what a change of one means."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from slopebeat.library.people import Entry
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr, trn
from slopebeat.model.measures import shortest_number
from slopebeat.model.people import BandPeriod, band_in_force, period_in_force
from slopebeat.review.notes.corrections import outings_as_noted
from slopebeat.review.words.basis import how_words
from slopebeat.review.words.names import key_name

DatedEntry = BandPeriod | Entry
"""What holds for an athlete from a day on, or between two days."""


def whole_basis(band: Band) -> str:
    """Everything that is kept on how a band was found, in lines; what cannot be read of it is left out.

    A band that was tested or set anew keeps how it was found before; that is said, too.
    """
    values = band.basis.values
    before = values.get("before")
    lines = [f"{band}: {how_words(band)}", *_measured(values)]
    return "\n".join([*lines, *(_measured(before) if isinstance(before, dict) else ())])


def _measured(values: dict[str, Any]) -> list[str]:
    stages, unit, rest = values.get("stages"), values.get("load_unit"), values.get("resting_mmol_l")
    named = unit if isinstance(unit, str) else ""
    rows = [_stage(each, named) for each in stages if _is_stage(each)] if isinstance(stages, list) else []
    lines = []
    if rest is not None and _is_number(rest):
        lines.append(tr("Lactate at rest: {lactate} mmol/L").format(lactate=shortest_number(float(rest))))
    if rows:
        lines.append(tr("Stages: {stages}").format(stages=";  ".join(rows)))
    return lines


_STAGE = ("load", "lactate_mmol_l", "hr_bpm")


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _is_stage(values: Any) -> bool:
    return isinstance(values, dict) and all(_is_number(values.get(name)) for name in _STAGE)


def _stage(values: dict[str, float], unit: str) -> str:
    load, lactate, hr = (shortest_number(float(values[name])) for name in _STAGE)
    text = tr("{load} {unit}, {lactate} mmol/L, {hr} bpm")
    return text.format(load=load, unit=unit, lactate=lactate, hr=hr)


def same_day(periods: Iterable[BandPeriod], period: BandPeriod) -> BandPeriod | None:
    """The band that came into force on the same day and ground; None where the day is free."""
    key = (period.ground, period.from_day)
    return next((each for each in periods if (each.ground, each.from_day) == key), None)


def exchange(
    library: Library, gone: Iterable[Entry | BandPeriod], come: Iterable[Entry | BandPeriod]
) -> None:
    """Take out what goes and put in what comes, together.

    Raises
    ------
    UserError
        With a sentence, when a band comes on a day that another has, which does not go.
    """
    with library.together():
        for each in gone:
            if isinstance(each, BandPeriod):
                library.bands.remove(each)
            else:
                library.dated.remove(each)
        for each in come:
            if isinstance(each, BandPeriod):
                _put(library, each)
            else:
                library.dated.put(each)


def _put(library: Library, period: BandPeriod) -> None:
    there = same_day(library.bands.of(period.athlete), period)
    if there is not None and there != period:
        raise UserError(taken_words(there))
    library.bands.put(period)


def taken_words(there: BandPeriod) -> str:
    """That a day has a band already, and how that was found."""
    text = tr("From {day} on the band {band} is in force already, {ground} ({how}).")
    return text.format(
        day=there.from_day, band=there.band, ground=key_name(there.ground), how=how_words(there.band)
    )


def removal_words(library: Library, period: BandPeriod) -> str:
    """What goes with a band: how it was found, and what holds for its outings afterwards."""
    periods = library.bands.of(period.athlete)
    rest = tuple(each for each in periods if same_day((each,), period) is None)
    here = [each for each in outings_as_noted(library, period.athlete) if each.ground is period.ground]
    covered = sum(period_in_force(periods, each.ground, each.local_day()) == period for each in here)
    before = band_in_force(rest, period.ground, period.from_day)
    lines = [
        tr("The band {band}, {ground}, from {day} goes, with how it was found:").format(
            band=period.band, ground=key_name(period.ground), day=period.from_day
        ),
        whole_basis(period.band).partition(": ")[2],
    ]
    if before is None:
        after = trn(
            "{n} outing has no band then and counts for no week.",
            "{n} outings have no band then and count for no week.",
            covered,
        )
        return "\n".join((*lines, after.format(n=covered)))
    after = trn(
        "{n} outing is reviewed again, with {band}.", "{n} outings are reviewed again, with {band}.", covered
    )
    return "\n".join((*lines, after.format(n=covered, band=before)))


def back_to_first(library: Library, period: BandPeriod) -> BandPeriod | None:
    """The band in force back to the first outing on its ground; None where none was before it.

    It must be the first band there, or outings would change that had a band on their day.
    """
    days = [
        each.local_day() for each in outings_as_noted(library, period.athlete) if each.ground is period.ground
    ]
    earlier = [
        each
        for each in library.bands.of(period.athlete)
        if each.ground is period.ground and each.from_day < period.from_day
    ]
    if earlier or not days or min(days) >= period.from_day:
        return None
    return replace(period, from_day=min(days))
