"""The demo library: two invented people with half a year of outings, imported like anybody's."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from slopebeat.disk.places import demo_folder
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.bands import band_from_hr_max
from slopebeat.model.basis import INVENTED_MAXIMUM
from slopebeat.model.codec import decode
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.people import DEFAULT_BODY_MASS_KG, Athlete, BandPeriod, Ground
from slopebeat.review.imports.importing import ImportProgress, import_files
from slopebeat.review.imports.report import ImportReport


@dataclass(frozen=True)
class DemoPerson:
    """One demo athlete, with the archive of outings and the day the band comes into force."""

    athlete: Athlete
    archive: Path
    hr_max_bpm: float
    from_day: date


@dataclass(frozen=True)
class _Listed:
    """A demo athlete as the demo lists them; ``archive`` is the name of a file beside the list."""

    name: str
    archive: str
    hr_max_bpm: float
    sessions_per_week: int
    minutes_per_week: int
    from_day: date
    body_mass_kg: float = DEFAULT_BODY_MASS_KG


def demo_people(folder: Path) -> tuple[DemoPerson, ...]:
    """The demo athletes, each with a new identity.

    Raises
    ------
    UserError
        When the demo is not installed whole.
    """
    try:
        rows = decode((folder / "people.json").read_bytes(), tuple[_Listed, ...])
        people = tuple(
            DemoPerson(
                Athlete(
                    identity=new_identity(),
                    name=row.name,
                    body_mass_kg=row.body_mass_kg,
                    sessions_per_week=row.sessions_per_week,
                    minutes_per_week=row.minutes_per_week,
                ),
                folder / row.archive,
                row.hr_max_bpm,
                row.from_day,
            )
            for row in rows
        )
    except (OSError, ValueError) as problem:
        raise UserError(
            tr("The demo outings are not installed whole; install the program again.")
        ) from problem
    if not all(person.archive.is_file() for person in people):
        raise UserError(tr("The demo outings are not installed whole; install the program again."))
    return people


def fill_with_demo(library: Library, progress: ImportProgress | None = None) -> tuple[ImportReport, ...]:
    """Put the demo athletes with their bands and outings into a library; what is there already stays.

    Parameters
    ----------
    progress : gets files done, of how many, athlete by athlete; raises Cancelled to stop, and the next call
        goes on from there.

    Raises
    ------
    UserError
        When the demo is not installed.
    """
    place = demo_folder()
    if place is None:
        raise UserError(tr("The demo outings are not installed with this program."))
    reports = []
    for person in demo_people(place):
        kept = library.athletes.named(person.athlete.name) or library.athletes.add(person.athlete)
        for ground in Ground:
            found = band_from_hr_max(person.hr_max_bpm)
            band = replace(found, basis=found.basis.called(INVENTED_MAXIMUM))
            library.bands.put(BandPeriod(kept.identity, ground, person.from_day, band))
        report = import_files(library, kept.identity, [person.archive], progress)
        reports.append(report)
        if report.cancelled or report.fault is not None:
            break
    return tuple(reports)
