"""How long this outing would have had to last to collect the prescribed minutes in band.

What to expect of the next one, with an interval, is in :mod:`slopebeat.analysis.price.next_outing`.
"""

from __future__ import annotations

from dataclasses import dataclass

from slopebeat.analysis.account.time_account import TimeAccount
from slopebeat.analysis.price.next_outing import LONGEST_S


@dataclass(frozen=True)
class Extension:
    """The answer for one target.

    Attributes
    ----------
    yield_share : share of the time with trusted heart rate that is in band; None where that is less than
        half of the recorded time: neither share nor length is told then.
    target_s : prescribed time in band. in_band_s : what this outing gave.
    needed_s : recorded time this kind of outing needs for the target, ``target / yield``; None when no
        second was in band, because no length would reach the target, or it would pass ``LONGEST_S``.
    extra_s : ``needed_s - target_s``, the price of the terrain.
    missing_s : time in band still missing after this outing, never negative.
    more_s : recorded time more on this ground to collect what is missing.
    """

    yield_share: float | None
    target_s: float
    in_band_s: float
    needed_s: float | None
    extra_s: float | None
    missing_s: float
    more_s: float | None


def extension(account: TimeAccount, target_s: float) -> Extension:
    """Needed and extra time for ``target_s`` seconds in band at this outing's yield."""
    missing = max(0.0, target_s - account.in_band_s)
    share = account.share(account.in_band_s)
    if share is None:
        return Extension(None, target_s, account.in_band_s, None, None, missing, None)
    if share <= 0.0:
        more = 0.0 if missing == 0.0 else None
        return Extension(0.0, target_s, account.in_band_s, None, None, missing, more)
    needed, more = target_s / share, missing / share
    if needed > LONGEST_S:
        return Extension(
            share, target_s, account.in_band_s, None, None, missing, 0.0 if missing == 0.0 else None
        )
    return Extension(share, target_s, account.in_band_s, needed, needed - target_s, missing, more)
