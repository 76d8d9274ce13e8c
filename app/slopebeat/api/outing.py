"""One outing reviewed, as programs in Python get it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from slopebeat.api.recording import Recording, Source, read_recordings
from slopebeat.api.tables import figure_table, table
from slopebeat.model.bands import Band, band_from_hr_max, band_from_reserve, parse_band
from slopebeat.model.errors import UserError
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import shortest_number
from slopebeat.model.people import DEFAULT_BIKE_MASS_KG, DEFAULT_BODY_MASS_KG, DEFAULT_TARGET_S, Aim
from slopebeat.model.recording import Recording as Read
from slopebeat.review.answer import answer, why
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.present.account import ACCOUNT_FIGURES
from slopebeat.review.present.climbs import CLIMB_FIGURES
from slopebeat.review.present.episodes import EPISODE_FIGURES, episode_rows
from slopebeat.review.present.figure import json_of
from slopebeat.review.present.hold import HOLD_FIGURES, known_rows
from slopebeat.review.samples import SAMPLE_COLUMNS
from slopebeat.review.values import MARK_NAMES, marks_values, plain, review_values

if TYPE_CHECKING:
    import pandas as pd

MOST = 10_000.0
"""Minutes and kilograms beyond which a number was mistyped [project choice]."""

LEAST_BODY_MASS_KG = 20.0
"""A lighter body mass was mistyped [project choice]."""


class OutingReview:
    """What one outing was worth. Times are seconds, from the first record where they are moments."""

    def __init__(self, review: Review) -> None:
        self._review = review

    @property
    def recording(self) -> Recording:
        """The recording as the file has it."""
        return Recording(self._review.recording)

    @property
    def band_bpm(self) -> tuple[int, int] | None:
        """Both edges, which are inside; None where no band was given."""
        band = self._review.aim.band
        return None if band is None else (band.lower_bpm, band.upper_bpm)

    @property
    def account_s(self) -> dict[str, float]:
        """Seconds of the span by what they were: its parts in and out of band, pauses and gaps sum to it.

        Empty where no band was given.
        """
        account = self._review.account
        return {} if account is None else plain(json_of(ACCOUNT_FIGURES, 0, account))

    @property
    def yield_share(self) -> float | None:
        """Time in band over the time with trusted heart rate; None where that is under half of it."""
        longer = self._review.extension
        share = None if longer is None else longer.yield_share
        return None if share is None or not math.isfinite(share) else float(share)

    @property
    def causes_s(self) -> dict[str, float]:
        """Seconds out of band by their cause, a key; empty where no band was given."""
        causes = self._review.causes
        return {} if causes is None else {str(key): float(value) for key, value in causes.seconds.items()}

    @property
    def samples(self) -> pd.DataFrame:
        """Every record, beside it what cleaning and analysis made of it; words are None without a band."""
        import pandas as pd

        return pd.DataFrame({each.name: each.get(self._review) for each in SAMPLE_COLUMNS})

    @property
    def climbs(self) -> pd.DataFrame:
        """Every climb; what needs a band is NaN without one."""
        return figure_table(CLIMB_FIGURES, self._review.climbs)

    @property
    def episodes(self) -> pd.DataFrame:
        """Every episode out of band; no row without a band."""
        return figure_table(EPISODE_FIGURES, episode_rows(self._review))

    @property
    def speeds_to_hold(self) -> pd.DataFrame:
        """For each grade seen, the speed whose steady heart rate is the band's upper edge."""
        return figure_table(HOLD_FIGURES, known_rows(self._review))

    @property
    def marks(self) -> pd.DataFrame:
        """Stretches that are not believed, with their channel and reason as keys."""
        return table(MARK_NAMES, marks_values(self._review))

    @property
    def sentences(self) -> tuple[str, ...]:
        """What counted and how much longer, and why not the rest."""
        return answer(self._review), why(self._review)

    @property
    def warnings(self) -> tuple[str, ...]:
        """What to know about this recording, in sentences."""
        return self._review.warnings

    def values(self) -> dict[str, Any]:
        """Everything as plain data, as ``slopebeat review --json`` writes it; keys may be added."""
        return review_values(self._review)


def review_outing(
    source: Source | Recording,
    *,
    band: str | tuple[int, int] | None = None,
    hr_max_bpm: float | None = None,
    hr_rest_bpm: float | None = None,
    target_s: float = DEFAULT_TARGET_S,
    body_mass_kg: float = DEFAULT_BODY_MASS_KG,
    load_kg: float = 0.0,
    load_until_s: float | None = None,
    bike_mass_kg: float = DEFAULT_BIKE_MASS_KG,
    activity: int | None = None,
) -> OutingReview:
    """Review one recorded activity.

    Parameters
    ----------
    source : where the file lies, its content as bytes, or a recording that was read.
    band : both edges in bpm, as "112-131" or two numbers; or ``hr_max_bpm``, of which it is 60-70 %, and with
        ``hr_rest_bpm`` 40-59 % of the reserve. Without any nothing is counted.
    target_s : prescribed time in band. load_kg : carried until ``load_until_s``, or throughout.
    activity : which activity of a file that holds several, from 1; else the one with most heart rate.

    Raises
    ------
    UserError
        With a sentence, when the file cannot be read or a number is not plausible.
    """
    aim = make_aim(
        make_band(band, hr_max_bpm, hr_rest_bpm), target_s, body_mass_kg, load_kg, load_until_s, bike_mass_kg
    )
    found = (source,) if isinstance(source, Recording) else read_recordings(source)
    every = [each._read for each in found]
    return OutingReview(review_recording(every[choose_activity(every, activity)], aim))


def make_band(
    band: str | tuple[int, int] | None = None,
    hr_max_bpm: float | None = None,
    hr_rest_bpm: float | None = None,
) -> Band | None:
    """The band given by its edges or by heart rates; None where none is given.

    Raises
    ------
    UserError
        When a number is not plausible. ValueError when it is given in two ways, or by half.
    """
    if band is not None and (hr_max_bpm is not None or hr_rest_bpm is not None):
        raise ValueError("a band is given by its edges or by heart rates, not both")
    if isinstance(band, str):
        return parse_band(band)
    if band is not None:
        return Band(*band)
    if hr_max_bpm is None:
        if hr_rest_bpm is not None:
            raise ValueError("a resting heart rate needs a maximal one beside it")
        return None
    return band_from_hr_max(hr_max_bpm) if hr_rest_bpm is None else band_from_reserve(hr_max_bpm, hr_rest_bpm)


def make_aim(
    band: Band | None,
    target_s: float,
    body_mass_kg: float,
    load_kg: float,
    load_until_s: float | None,
    bike_mass_kg: float,
) -> Aim:
    """What an outing is reviewed with.

    Raises
    ------
    UserError
        When a number is not plausible.
    """
    minutes = target_s / 60.0
    for refusal, value, least in (
        (mark("A target of {value} is not plausible."), minutes, 0.0),
        (mark("A body mass of {value} is not plausible."), body_mass_kg, LEAST_BODY_MASS_KG),
        (mark("A load of {value} is not plausible."), load_kg, 0.0),
        (mark("A time of setting it down of {value} is not plausible."), (load_until_s or 0.0) / 60.0, 0.0),
        (mark("A bike mass of {value} is not plausible."), bike_mass_kg, 0.0),
    ):
        if not (math.isfinite(value) and least <= value <= MOST):
            raise UserError(tr(refusal).format(value=shortest_number(value)))
    if minutes == 0.0:
        raise UserError(tr("A target of 0 minutes asks for nothing; give the minutes prescribed in band."))
    return Aim(band, target_s, body_mass_kg, load_kg, bike_mass_kg, load_until_s)


def choose_activity(recordings: Sequence[Read], number: int | None) -> int:
    """Index of the activity asked for, counted from 1, else of the one with most heart rate.

    Raises
    ------
    UserError
        When there is none of this number.
    """
    if number is None:
        return max(
            range(len(recordings)), key=lambda i: int(np.isfinite(recordings[i].samples["hr_bpm"]).sum())
        )
    if not 1 <= number <= len(recordings):
        refusal = trn(
            "The file holds {n} activity; there is no number {number}.",
            "The file holds {n} activities; there is no number {number}.",
            len(recordings),
        )
        raise UserError(refusal.format(n=len(recordings), number=number))
    return number - 1
