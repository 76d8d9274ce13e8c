"""A plan for an outing on its terrain, as numbers: what a window, a page or a pocket card shows."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

import numpy as np

from slopebeat.analysis.account.climbs import Climb
from slopebeat.analysis.price.draws import INTERVAL_LEVEL as INTERVAL_LEVEL
from slopebeat.analysis.route.profile import RouteGround
from slopebeat.analysis.route.simulation import Conditions
from slopebeat.model.bands import Band
from slopebeat.model.track import Array

HOLDABLE = 0.5
"""From this share of the outings drawn on a climb is said to be holdable [project choice]."""


class Range(NamedTuple):
    """Median of the outings drawn, and the interval that holds ``INTERVAL_LEVEL`` of them.

    ``high`` may be infinite: no length of such an outing is enough.
    """

    middle: float
    low: float
    high: float


class StrategyName(StrEnum):
    """How the outing is gone."""

    USUAL = "usual"
    HOLD = "hold"


@dataclass(frozen=True, eq=False)
class Course:
    """What is expected along the way; arrays of one shape (n + 1,), at the ends of the steps of ground.

    Attributes
    ----------
    distance_m, elevation_m, grade : the ground. seen : the grade was gone before, long enough.
    reach_s : median time of reaching the place. speed_mps : median speed.
    hr_bpm, hr_low_bpm, hr_high_bpm : median and interval of the heart rate there.
    p_below, p_in_band, p_above : share of the outings drawn on each side of the band.
    """

    distance_m: Array
    elevation_m: Array
    grade: Array
    seen: np.ndarray
    reach_s: Array
    speed_mps: Array
    hr_bpm: Array
    hr_low_bpm: Array
    hr_high_bpm: Array
    p_below: Array
    p_in_band: Array
    p_above: Array

    @property
    def state(self) -> np.ndarray:
        """(n + 1,) the likeliest side of the band: -1 below, 0 in band, 1 above."""
        return np.asarray(np.argmax([self.p_below, self.p_in_band, self.p_above], axis=0) - 1)


@dataclass(frozen=True)
class ClimbCourse:
    """One climb in one strategy.

    Attributes
    ----------
    reach_s : time of reaching its foot. duration_s : from foot to top, stops included.
    speed_mps, vertical_m_per_h : means of the moving time.
    hr_top_bpm, hr_peak_bpm : heart rate at the top, and the highest minute-long mean.
    above_s : over the band on the climb. exit_probability : share of outings with an episode over it.
    exit_after_m : metres from the foot to leaving the band, in the middle one of those outings.
    episodes_above : out-of-band episodes over the band.
    """

    reach_s: Range
    duration_s: Range
    speed_mps: Range
    vertical_m_per_h: Range
    hr_top_bpm: Range
    hr_peak_bpm: Range
    above_s: Range
    exit_probability: float
    exit_after_m: float | None
    episodes_above: Range


@dataclass(frozen=True, kw_only=True)
class PlannedClimb(Climb):
    """One climb of the way: of :class:`Climb` what the ground says, and what is expected on it.

    Attributes
    ----------
    seen : its mean grade was gone before.
    usual, held : what is expected as usual, and holding the band.
    hold_speed_mps, hold_vertical_m_per_h : speed on its mean grade at which the heart rate settles under
        the band's upper edge, at the expected time of arrival with the drift until then; None where every
        speed stays under it, or ``holdable`` is None.
    holdable : share of the outings drawn in which any speed keeps the heart rate down; None where earlier
        outings do not tell how the heart answers.
    hold_cost_s : time holding costs on this climb.
    """

    seen: bool
    usual: ClimbCourse
    held: ClimbCourse
    hold_speed_mps: Range | None
    hold_vertical_m_per_h: Range | None
    holdable: float | None
    hold_cost_s: Range

    @property
    def too_steep(self) -> bool:
        """Whether in most outings no speed keeps the heart rate down."""
        return self.holdable is not None and self.holdable < HOLDABLE


@dataclass(frozen=True, eq=False)
class Strategy:
    """The whole outing gone one way.

    Attributes
    ----------
    hold_bpm : mean heart rate that is held, None as usual. mean_bpm : what it comes to.
    total_s : moving and standing with the timer running; moving_s its part. pause_s : beside it.
    in_band_s, above_s, below_s : parts of total_s. yield_share : in_band_s / total_s.
    episodes_above, episodes_below : out-of-band episodes on either side; the warm-up is one below.
    missing_s : of the target. extra_s : more time on such ground to reach it.
    target_probability : share of the outings drawn that reach the target.
    """

    name: StrategyName
    hold_bpm: float | None
    mean_bpm: Range
    total_s: Range
    moving_s: Range
    pause_s: Range
    in_band_s: Range
    above_s: Range
    below_s: Range
    yield_share: Range
    episodes_above: Range
    episodes_below: Range
    missing_s: Range
    extra_s: Range
    target_probability: float
    course: Course


@dataclass(frozen=True)
class LapPlan:
    """Extra laps of a loop on the way until the target is likely reached.

    Attributes
    ----------
    start_m, end_m : the loop on the way. laps : extra laps after which the median outing reaches the
        target; None where ``MOST_LAPS`` are not enough. total_s, in_band_s : with them.
    """

    strategy: StrategyName
    start_m: float
    end_m: float
    laps: int | None
    total_s: Range
    in_band_s: Range


@dataclass(frozen=True)
class GradeRow:
    """What is known of one grade.

    Attributes
    ----------
    seen_s, outings : moving time and number of outings on it; seen : enough to count.
    usual_mps : without a load. lower_mps, upper_mps : speeds under today's load whose steady heart rate
        is the band's lower and upper edge halfway through; None where no speed reaches it.
    """

    grade: float
    seen_s: float
    outings: int
    seen: bool
    usual_mps: Range
    lower_mps: Range | None
    upper_mps: Range | None


@dataclass(frozen=True)
class Reference:
    """A published rule's time for the way, without stops."""

    name: str
    seconds: float


@dataclass(frozen=True, eq=False)
class RoutePlan:
    """Everything planned for one outing.

    Attributes
    ----------
    ascent_m, descent_m : None without elevation. outing_count : outings learnt from.
    heart_count : those that tell how the heart answers to work. longest_s : the longest of them.
    usual_bpm : mean heart rate of earlier outings. usual, hold : the two strategies.
    ground_share : how far the ground, not the earlier outings' spread, decides the minutes in band.
    laps : for a loop that was named, one per strategy. rule_of_thumb_s : distance and ascent at the usual
    speed of the latest outings. unseen_share : share of the way on grades never seen.
    warnings : whole sentences for the user.
    """

    title: str
    on_bike: bool
    band: Band
    target_s: float
    conditions: Conditions
    ground: RouteGround
    ascent_m: float | None
    descent_m: float | None
    outing_count: int
    heart_count: int
    longest_s: float
    usual_bpm: float
    ground_share: float
    usual: Strategy
    hold: Strategy
    climbs: tuple[PlannedClimb, ...]
    laps: tuple[LapPlan, ...]
    grades: tuple[GradeRow, ...]
    references: tuple[Reference, ...]
    rule_of_thumb_s: float | None
    unseen_share: float
    warnings: tuple[str, ...]

    @property
    def strategies(self) -> tuple[Strategy, Strategy]:
        return self.usual, self.hold
