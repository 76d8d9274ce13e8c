"""One outing counted against band after band: what no band changes is made ready once.

An edge that is dragged asks for twenty counts a second, months of summaries for thousands; each then only
looks up what lies above and below.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slopebeat.analysis.account.causes import CauseFinder, Causes
from slopebeat.analysis.account.climbs import Climb
from slopebeat.analysis.account.episodes import Direction, Episode, EpisodeFinder
from slopebeat.analysis.account.heart_on_climbs import HeartOnClimbs
from slopebeat.analysis.account.heart_parts import HeartParts
from slopebeat.analysis.account.time_account import Extension, TimeAccount, extension
from slopebeat.analysis.band.drift_test import DriftTest, drift_test, steadiness_of
from slopebeat.analysis.price.next_outing import NOTHING_KNOWN, NextAnswers, foretelling_of
from slopebeat.analysis.response.ceiling import Ceiling, GradeSpeeds, ceiling
from slopebeat.analysis.response.decoupling import Decoupling
from slopebeat.model.evidence import PastOuting
from slopebeat.model.people import Aim
from slopebeat.model.track import Array, Track


@dataclass(frozen=True)
class Counted:
    """What is counted against a band, as in ``Review``; only the climbs without one."""

    climbs: tuple[Climb, ...]
    causes: Causes | None = None
    episodes: tuple[Episode, ...] = ()
    extension: Extension | None = None
    drift_test: DriftTest | None = None
    next_outings: NextAnswers | None = None
    ceiling: Ceiling | None = None


class Counting:
    """Counts one outing against any aim. May be called from several threads."""

    def __init__(
        self,
        track: Track,
        work_w_per_kg: Array,
        climbs: tuple[Climb, ...],
        parts: HeartParts,
        decoupling: Decoupling,
        past: PastOuting,
        speeds: Sequence[GradeSpeeds],
    ) -> None:
        self._track, self._work, self._climbs = track, work_w_per_kg, climbs
        self._row, self._speeds = decoupling.work, speeds
        self._heart = HeartOnClimbs(climbs, track)
        self._causes = CauseFinder(track, parts)
        self._episodes = EpisodeFinder(track, work_w_per_kg)
        self._steadiness = steadiness_of(track, work_w_per_kg)
        self._foretelling = foretelling_of([past])

    def count(self, aim: Aim, account: TimeAccount | None) -> Counted:
        """The outing against the band and the target of the aim; ``account`` is None without a band."""
        band, next_time = aim.band, self._foretelling
        if band is None or account is None:
            return Counted(self._climbs)
        outside = self._episodes.out_of_band(band)
        climbs = self._heart.seen(band, outside[Direction.ABOVE])
        return Counted(
            climbs,
            self._causes.find(band),
            self._episodes.find(band, climbs, outside),
            extension(account, aim.target_s),
            drift_test(
                *(self._track, self._work, band, aim.drift_threshold_percent),
                row=self._row,
                steadiness=self._steadiness,
            ),
            NOTHING_KNOWN if next_time is None else next_time.answers(band, aim.target_s),
            ceiling(self._speeds, float(band.upper_bpm)),
        )
