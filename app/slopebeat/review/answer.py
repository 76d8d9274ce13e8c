"""The answer of a review in plain sentences, the same on screen and in the terminal."""

from __future__ import annotations

from slopebeat.analysis.causes import Cause
from slopebeat.analysis.extension import Extension
from slopebeat.model.units import duration, percent
from slopebeat.review.outing import Review

CAUTIONS = (
    "This is not medical advice; a licensed professional and local rules come first.",
    "Maximal tests and lactate tests need medical clearance and a trained person.",
    "Chest pain, fainting or unusual breathlessness: stop and seek care.",
    "A wrist sensor was off by 13 % on trails, a chest strap by 2 % (doi:10.1371/journal.pone.0238569).",
)
"""Shown wherever a band is asked for or an answer is given."""


def answer(review: Review) -> str:
    """What the outing was worth, in one to three sentences."""
    account, longer = review.account, review.extension
    if account is None or longer is None:
        return "Set a band to see what counted."
    if account.recorded_s <= 0.0:
        return "Nothing was recorded between the first and the last record."
    if account.no_hr_s >= account.recorded_s:
        return "Without heart rate nothing can be counted in band."
    counted = (
        f"{duration(account.in_band_s)} of {duration(account.recorded_s)} recorded counted "
        f"({percent(longer.yield_share)})."
    )
    return f"{counted} {_plan(longer)}"


def why(review: Review) -> str:
    """Why this outing needs longer: where the time that did not count went, the largest parts first."""
    causes, account = review.causes, review.account
    if causes is None or account is None:
        return ""
    lost = account.recorded_s - account.in_band_s
    if lost < 1.0:
        return "Every recorded second counted."
    ranked = sorted(((s, c) for c, s in causes.seconds.items() if s >= 0.05 * lost), reverse=True)
    parts = [f"{percent(seconds / lost)} {_PHRASES[cause]}" for seconds, cause in ranked[:4]]
    listed = parts[0] if len(parts) == 1 else ", ".join(parts[:-1]) + " and " + parts[-1]
    return f"Of the {duration(lost)} that did not count, {listed}."


_PHRASES = {
    Cause.STEEP_CLIMB: "went over the band on steep climbs",
    Cause.SURGE: "went over it in surges on gentle ground",
    Cause.DRIFT: "went over it by drift, at work that stayed inside early on",
    Cause.DESCENT: "fell under it on descents",
    Cause.STOP: "fell under it while standing",
    Cause.WARM_UP: "was warming up",
    Cause.EASY_GROUND: "fell under it on easy ground",
    Cause.SENSOR_DOUBT: "had no trusted heart rate",
}


LONGEST_SENSIBLE_S = 12 * 3600.0
"""Longer than a day out; no plan is made of such a figure [project choice]."""


def _plan(longer: Extension) -> str:
    target = duration(longer.target_s)
    if longer.needed_s is None or longer.extra_s is None:
        return f"No outing like this collects {target} in band: none of it was inside."
    if longer.needed_s > LONGEST_SENSIBLE_S:
        return (
            f"At this effort ground like this would take {duration(longer.needed_s)} to collect {target} in "
            "band: slow down on the climbs, or choose gentler ground."
        )
    plan = (
        f"To collect {target} in band on ground like this, plan {duration(longer.needed_s)}: "
        f"{duration(longer.extra_s)} more than if every minute counted{_range(longer)}."
    )
    if longer.missing_s >= 60.0 and longer.more_s is not None:
        plan += (
            f" This outing was {duration(longer.missing_s)} short, which is {duration(longer.more_s)} more "
            "on this ground."
        )
    return plan


def _range(longer: Extension) -> str:
    low, high = longer.needed_low_s, longer.needed_high_s
    if low is None:
        return ""
    if high is None or high > LONGEST_SENSIBLE_S:
        return f" (95 % interval from {duration(low)} up)"
    return f" (95 % interval {duration(low)} to {duration(high)})"
