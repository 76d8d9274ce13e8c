"""One outing reviewed: the join of cleaning and analysis that the window and the command both show."""

from __future__ import annotations

from dataclasses import dataclass

from slopebeat.analysis.climbs import Climb
from slopebeat.analysis.decoupling import Decoupling
from slopebeat.analysis.episodes import Episode
from slopebeat.analysis.extension import Extension
from slopebeat.analysis.time_account import TimeAccount
from slopebeat.cleaning.elevation import Elevation
from slopebeat.model.athlete import Aim
from slopebeat.model.marks import Mark
from slopebeat.model.recording import Recording
from slopebeat.model.track import Array, Track


@dataclass(frozen=True, eq=False)
class Review:
    """Everything computed of one outing. What needs a band is None or empty without one.

    Attributes
    ----------
    work_w_per_kg : (n,) work rate per kilogram of body mass, NaN where unknown.
    warnings : sentences from the reader, the cleaning and the analysis.
    """

    recording: Recording
    aim: Aim
    marks: tuple[Mark, ...]
    elevation: Elevation
    track: Track
    work_w_per_kg: Array
    climbs: tuple[Climb, ...]
    decoupling: Decoupling
    account: TimeAccount | None
    episodes: tuple[Episode, ...]
    extension: Extension | None
    warnings: tuple[str, ...]


def review_recording(recording: Recording, aim: Aim, marks: tuple[Mark, ...] | None = None) -> Review:
    """Clean and analyse one recording.

    ``marks`` replaces what cleaning would propose, once a user has accepted, rejected or added some.
    """
    raise NotImplementedError
