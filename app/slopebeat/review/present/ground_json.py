"""Ground gone before as JSON values, without coordinates; null for unknown."""

from __future__ import annotations

from typing import Any

from slopebeat.analysis.ground.equal_speed import SPEED, pass_sd_bpm
from slopebeat.review.ground.ground import NEAR_END_M, GroundReview, GroupLevels, PlaceRow, much_stopped
from slopebeat.review.ground.words import ground_sentences, place_sentences
from slopebeat.review.present.figure import json_of
from slopebeat.review.present.ground import PASS_FIGURES, PLACE_FIGURES


def ground_values(ground: GroundReview) -> dict[str, Any]:
    """Places, passes and levels as JSON values, without coordinates; null for unknown."""
    return {
        "places": [_place(row) for row in ground.places],
        "levels": [_level(each) for each in ground.levels],
        "left_out_near_ends": ground.left_out,
        "near_end_m": NEAR_END_M,
        "sentences": list(ground_sentences(ground)),
    }


def _place(row: PlaceRow) -> dict[str, Any]:
    groups = [
        {
            **_group(each.group.sport, each.group.work_source),
            "times": each.passes,
            "days": each.days,
            "change": None if each.change is None else vars(each.change),
        }
        for each in row.groups
    ]
    passes = [
        {
            **json_of(PASS_FIGURES, number, one),
            "hr_equal_speed_sd_bpm": None if one.equal_bpm is None else pass_sd_bpm(1),
            **_group(one.group.sport, one.group.work_source),
            "much_stopped": much_stopped(one.kept),
        }
        for number, one in enumerate(row.passes)
    ]
    sentences = list(place_sentences(row))
    return {**json_of(PLACE_FIGURES, 0, row), "groups": groups, "passes": passes, "sentences": sentences}


def _group(sport: str, source: str | None) -> dict[str, str | None]:
    return {"sport": sport, "work_source": source}


def _level(levels: GroupLevels) -> dict[str, Any]:
    found = levels.levels
    days = [
        {"day": day.isoformat(), "level_bpm": level, "sd_bpm": sd, "passes": passes}
        for day, level, sd, passes in zip(
            levels.days,
            found.level_bpm.tolist(),
            found.sd_bpm.tolist(),
            found.passes.tolist(),
            strict=True,
        )
    ]
    return {
        **_group(levels.group.sport, levels.group.work_source),
        "slope_bpm": levels.slope.bpm,
        "slope_sd_bpm": levels.slope.sd_bpm,
        "slope_of": "ln(m/s)" if levels.group.effort_from == SPEED else "W/kg",
        "slope_pairs": levels.slope.pairs,
        "change": None if levels.change is None else vars(levels.change),
        "days": days,
    }
