"""A library and its months, as programs in Python get them."""

from __future__ import annotations

from dataclasses import fields
from datetime import date
from os import PathLike
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any, Self

from slopebeat.analysis.months.choice import Choice
from slopebeat.api.tables import table
from slopebeat.disk.places import library_path
from slopebeat.library.store import Library as Store
from slopebeat.model.errors import UserError
from slopebeat.model.evidence import OutingSummary
from slopebeat.model.language import tr
from slopebeat.model.people import Athlete, Ground, session_target_s
from slopebeat.review.months.months import Months as Reviewed
from slopebeat.review.months.values import WEEK_NAMES, months_of, months_values

if TYPE_CHECKING:
    import pandas as pd

    from slopebeat.api.outing import OutingReview

GROUNDS = {"foot": Ground.FOOT, "bike": Ground.BIKE}

ATHLETE_NAMES = (
    "name",
    "birth_year",
    "body_mass_kg",
    "bike_mass_kg",
    "sessions_per_week",
    "minutes_per_week",
)

BAND_NAMES = ("ground", "from_day", "lower_bpm", "upper_bpm", "method")

_RENAMED = {"terrain_fair_low": "terrain_fair_low_percent", "terrain_fair_high": "terrain_fair_high_percent"}
"""What is kept under a name without its unit."""

SUMMARY_NAMES = tuple(_RENAMED.get(each.name, each.name) for each in fields(OutingSummary))

OUTING_NAMES = ("outing_id", *SUMMARY_NAMES)


class Months:
    """What months of outings of one athlete add up to."""

    def __init__(self, of: Athlete, reviewed: Reviewed, warnings: tuple[str, ...]) -> None:
        self._of = of
        self._reviewed = reviewed
        self._warnings = warnings

    @property
    def athlete(self) -> str:
        """Whose months they are."""
        return self._of.name

    @property
    def weeks(self) -> pd.DataFrame:
        """A row for each ISO week with its minutes; breaks are folded into the week after them."""
        weeks = table(WEEK_NAMES, self.values()["weeks"])
        return weeks.astype({"monday": "datetime64[s]"})

    @property
    def outings(self) -> pd.DataFrame:
        """A row for each outing that was looked at, in order of time."""
        return _summary_table(SUMMARY_NAMES, [vars(each) for each in self._reviewed.outings])

    @property
    def sentences(self) -> tuple[str, ...]:
        """The weeks in a sentence, then what changed in each kind of outings."""
        return self._reviewed.sentences

    @property
    def warnings(self) -> tuple[str, ...]:
        """What to know about these figures, in sentences."""
        return self._warnings

    def values(self) -> dict[str, Any]:
        """Everything as plain data, as ``slopebeat months --json`` writes it; keys may be added."""
        return months_values(self._of, self._reviewed, self._warnings)


class Library:
    """A library that is open; close it, or use it in a ``with`` statement."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close its file; nothing can be asked of it any more."""
        self._store.close()

    @property
    def athletes(self) -> pd.DataFrame:
        """Everybody whose outings are kept, with what is prescribed where nothing with a date is."""
        return table(ATHLETE_NAMES, [vars(each) for each in self._store.athletes])

    def bands(self, athlete: str | None = None) -> pd.DataFrame:
        """The bands of an athlete, each from the day it came into force."""
        periods = self._store.bands.of(athlete_of(self._store, athlete).identity)
        rows = [
            {
                "ground": each.ground.value,
                "from_day": each.from_day.isoformat(),
                "lower_bpm": each.band.lower_bpm,
                "upper_bpm": each.band.upper_bpm,
                "method": each.band.method.value,
            }
            for each in periods
        ]
        return table(BAND_NAMES, rows).astype({"from_day": "datetime64[s]"})

    def outings(self, athlete: str | None = None) -> pd.DataFrame:
        """The outings of an athlete that have been reviewed, one a row, in order of time."""
        summaries = self._store.results.summaries(athlete_of(self._store, athlete).identity)
        rows = [{"outing_id": identity, **vars(each)} for identity, each in summaries.items()]
        return _summary_table(OUTING_NAMES, sorted(rows, key=lambda row: row["start_utc"]))

    def review_outing(self, outing_id: str) -> OutingReview:
        """An outing reviewed as it is kept: with its notes and marks, and the band in force on its day.

        Parameters
        ----------
        outing_id : as :meth:`outings` has it.

        Raises
        ------
        UserError
            With a sentence, when the file kept of it is damaged. KeyError when there is no such outing.
        """
        # Here and below: commands come by for the athlete alone, and are not to wait for the rest.
        from slopebeat.api.outing import OutingReview
        from slopebeat.review.notes.keeping import read_outing
        from slopebeat.review.outing import review_recording

        kept = read_outing(self._store, outing_id)
        return OutingReview(review_recording(kept.recording, kept.aim, kept.book.marks, kept.book.notes))

    def price(
        self, athlete: str | None = None, target_s: float | None = None, day: date | None = None
    ) -> pd.DataFrame:
        """How long minutes in band take on each kind of ground, derived from the outings until a day.

        Parameters
        ----------
        target_s : seconds in band; None is one session as prescribed. day : None is today.
        """
        from slopebeat.api.tables import figure_table
        from slopebeat.review.present.price import PRICE_FIGURES
        from slopebeat.review.price.grounds import review_price

        of, until = athlete_of(self._store, athlete), day or date.today()
        if target_s is None:
            target_s = session_target_s(self._store.inputs(of.identity).prescribed(until))
        taught = [each.evidence for each in self._store.results.evidence(of.identity) if each.teaches]
        found = review_price(taught, self._store.bands.of(of.identity), target_s, until)
        return figure_table(PRICE_FIGURES, found.rows)

    def places(self, athlete: str | None = None) -> pd.DataFrame:
        """Climbs and stretches of way gone more than once; looked for in what is new, which may take long."""
        from slopebeat.api.tables import figure_table
        from slopebeat.review.ground.ground import review_ground
        from slopebeat.review.ground.search import find_ground
        from slopebeat.review.present.ground import PLACE_FIGURES

        of = athlete_of(self._store, athlete).identity
        find_ground(self._store, of)
        found = review_ground(self._store.places.of(of), self._store.places.passes(of))
        return figure_table(PLACE_FIGURES, found.places)

    def months(
        self,
        athlete: str | None = None,
        ground: str | None = None,
        first_day: date | None = None,
        last_day: date | None = None,
    ) -> Months:
        """Weeks and changes of an athlete's outings; weeks run to today, or to ``last_day``.

        Parameters
        ----------
        athlete : by name; may be left out when there is only one. ground : "foot" or "bike"; None is both.
        first_day, last_day : local days of the outings to look at, both inside; None is no limit.

        Raises
        ------
        UserError
            With a sentence, when there is no such athlete. ValueError for another ground.
        """
        if ground not in (None, *GROUNDS):
            raise ValueError(f"ground is one of {', '.join(GROUNDS)}, or None")
        of = athlete_of(self._store, athlete)
        of_ground = None if ground is None else GROUNDS[ground]
        chosen = Choice(ground=of_ground, first_day=first_day, last_day=last_day)
        return Months(of, *months_of(self._store, of, chosen))


def open_library(path: str | PathLike[str] | None = None) -> Library:
    """Open a library that is there; None is your own, where the window keeps it.

    One of an earlier version is brought to the present layout, with a copy of it kept beside it.

    Raises
    ------
    UserError
        With a sentence, when there is none, or it is none or of a later version.
    """
    return Library(Store.open(library_path() if path is None else Path(path)))


def athlete_of(library: Store, name: str | None) -> Athlete:
    """The athlete of a name, or the only one there is.

    Raises
    ------
    UserError
        When there is none of that name, or several and no name was given.
    """
    everyone = list(library.athletes)
    if name is None and len(everyone) == 1:
        return everyone[0]
    names = ", ".join(athlete.name for athlete in everyone) or tr("none yet")
    found = None if name is None else library.athletes.named(name)
    if found is None:
        refusal = (
            tr(
                "Say whose outings are meant (athlete, or --athlete in a command); "
                "the library holds: {names}."
            )
            if name is None
            else tr("There is no athlete named {name}; the library holds: {names}.")
        )
        raise UserError(refusal.format(name=name, names=names))
    return found


def _summary_table(names: tuple[str, ...], rows: list[dict[str, Any]]) -> pd.DataFrame:
    import pandas as pd

    moments = pd.to_datetime([row["start_utc"] for row in rows], utc=True)
    # Moments are no plain values: they take their place in the finished table.
    named = [{_RENAMED.get(name, name): value for name, value in row.items()} for row in rows]
    numbers = table(names, [{**row, "start_utc": None} for row in named])
    return numbers.assign(start_utc=pd.DatetimeIndex(moments).as_unit("us"))
