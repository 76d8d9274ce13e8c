"""What the program should find in a sample, counted here by loops of its own."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from .outing import Outing

WARM_UP_S = 600
"""Left out at the start of a decoupling figure [project choice]."""
SMALLEST_CLIMB_M, SMALLEST_DIP_M, SMALLEST_GRADE = 30.0, 10.0, 0.03
"""What is called a climb here [project choice]."""


def band_seconds(
    outing: Outing, lower_bpm: int, upper_bpm: int, without: Iterable[int] = ()
) -> dict[str, int]:
    """Seconds with the timer running inside, above and below a band, both edges inside.

    The true heart rate is counted in whole beats, as any instrument shows it; one second per row.
    Rows in ``without`` (doubtful or missing heart rate) are counted apart.
    """
    counts = {"in_band": 0, "above": 0, "below": 0, "heart_rate_not_trusted": 0}
    left_out = set(without)
    # The last row stands for no time.
    for second in range(outing.timer_running.size - 1):
        if not outing.timer_running[second]:
            continue
        if second in left_out:
            counts["heart_rate_not_trusted"] += 1
            continue
        beats = round(float(outing["true_hr_bpm"][second]))
        if beats > upper_bpm:
            counts["above"] += 1
        elif beats < lower_bpm:
            counts["below"] += 1
        else:
            counts["in_band"] += 1
    return counts


def decoupling(outing: Outing) -> dict[str, float]:
    """Terrain-fair decoupling under the true response, in percent, positive when heart rate rose.

    ``1 - HR(mean work, first-half mean time) / HR(mean work, second-half mean time)``, over the
    seconds moving with the timer running after :data:`WARM_UP_S`, cut in two halves of equal length.
    """
    used = np.flatnonzero(outing.moving & outing.timer_running & (outing["t_s"] >= WARM_UP_S))
    first, second = used[: used.size // 2], used[used.size // 2 :]
    work = float(np.mean(outing["true_work_w_per_kg"][used]))
    times = [float(np.mean(outing["t_s"][half])) for half in (first, second)]
    rates = [outing.heart.steady_bpm(work, t) for t in times]
    return {
        "percent": round(100.0 * (1.0 - rates[0] / rates[1]), 3),
        "mean_work_w_per_kg": round(work, 4),
        "first_half_mean_time_s": round(times[0], 1),
        "second_half_mean_time_s": round(times[1], 1),
        "first_half_hr_bpm": round(rates[0], 3),
        "second_half_hr_bpm": round(rates[1], 3),
        "used_s": int(used.size),
    }


def ascent_descent_m(outing: Outing) -> tuple[float, float]:
    """Sum of all true rises and of all true falls; the ground is smooth, so the sums mean something."""
    steps = np.diff(outing["true_elevation_m"])
    return float(steps[steps > 0.0].sum()), float(-steps[steps < 0.0].sum())


def climbs(outing: Outing) -> list[dict[str, float]]:
    """Climbs of the true ground, by turning points that dips under 10 m do not make."""
    height, along = outing["true_elevation_m"], outing["distance_m"]
    found = []
    turns = _turning_points(height.tolist())
    for foot, top in pairwise(turns):
        gain, length = float(height[top] - height[foot]), float(along[top] - along[foot])
        if gain >= SMALLEST_CLIMB_M and gain / length >= SMALLEST_GRADE:
            found.append(
                {
                    "foot_s": foot,
                    "top_s": top,
                    "foot_elevation_m": round(float(height[foot]), 1),
                    "gain_m": round(gain, 1),
                    "length_m": round(length, 1),
                    "mean_grade": round(gain / length, 4),
                }
            )
    return found


def _turning_points(height: list[float]) -> list[int]:
    """Rows where the way turns up or down, both ends included; reversals under 10 m are no turn."""
    turns, best, rising = [0], 0, None
    for row, value in enumerate(height):
        if rising is None:
            if abs(value - height[0]) >= SMALLEST_DIP_M:
                rising, best = value > height[0], row
        elif value > height[best] if rising else value <= height[best]:
            # Standing at a top belongs to what follows, standing at a foot to what went before.
            best = row
        elif abs(value - height[best]) >= SMALLEST_DIP_M:
            turns.append(best)
            rising, best = not rising, row
    return [*turns, best, len(height) - 1] if best < len(height) - 1 else [*turns, best]


def runs(flags: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """(first second, seconds) of every run of true rows."""
    found: list[tuple[int, int]] = []
    for second in np.flatnonzero(flags).tolist():
        if found and second == sum(found[-1]):
            found[-1] = (found[-1][0], found[-1][1] + 1)
        else:
            found.append((second, 1))
    return found


def spans(flags: NDArray[np.bool_]) -> list[dict[str, int]]:
    return [{"start_s": start, "end_s": start + length} for start, length in runs(flags)]


def summary(outing: Outing, band: tuple[int, int], without: Iterable[int]) -> dict[str, object]:
    """All of the above, with the numbers the outing was made from, ready for JSON."""
    ascent, descent = ascent_descent_m(outing)
    rounded: Callable[[float], float] = lambda value: round(float(value), 2)  # noqa: E731
    still = ~outing.moving
    heart_rate = outing["true_hr_bpm"][outing.timer_running]
    return {
        "athlete": {
            "body_mass_kg": outing.athlete.body_mass_kg,
            "hr_max_bpm": outing.athlete.hr_max_bpm,
            "hr_rest_bpm": outing.athlete.hr_rest_bpm,
            "band_bpm": list(band),
        },
        "heart": vars(outing.heart),
        "noise": vars(outing.noise),
        "settings": outing.settings,
        "span_s": int(outing.timer_running.size) - 1,
        "timer_s": int(outing.timer_running[:-1].sum()),
        "distance_m": rounded(outing["distance_m"][-1]),
        "ascent_m": rounded(ascent),
        "descent_m": rounded(descent),
        "climbs": climbs(outing),
        "stops": spans(still & outing.timer_running),
        "pauses": spans(~outing.timer_running),
        "true_hr_range_bpm": [rounded(heart_rate.min()), rounded(heart_rate.max())],
        "seconds": band_seconds(outing, *band),
        "seconds_with_trusted_heart_rate": band_seconds(outing, *band, without=without),
        "terrain_fair_decoupling": decoupling(outing),
    }
