"""The head of an outing: what it was, how long, how far, how fast, with what heart rate."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from slopebeat.model.evidence import POWER
from slopebeat.model.language import tr
from slopebeat.model.measures import GROUND, HEIGHT, MISSING, OWN_SPEED, figure
from slopebeat.model.recording import Sport
from slopebeat.model.units import clock
from slopebeat.review.outing import Review
from slopebeat.review.present.figure import Figure, On, in_files, json_of, shown_everywhere, shown_on
from slopebeat.review.present.stretch import Stretch, measure_stretch
from slopebeat.review.words.names import key_name


@dataclass(frozen=True)
class Head:
    """The row of the figures: a review, and the whole of it measured as one stretch."""

    review: Review

    @cached_property
    def whole(self) -> Stretch | None:
        """None where there is no record."""
        track = self.review.track
        return measure_stretch(self.review, 0.0, float(track.t_s[-1])) if len(track) else None

    @property
    def distance_m(self) -> float | None:
        walked = self.review.track.distance_m
        return float(walked[-1] - walked[0]) if len(walked) and np.isfinite(walked).any() else None

    @property
    def hr_coverage(self) -> float:
        """Share of the records that hold a heart rate, trusted or not."""
        hr = self.review.recording.samples["hr_bpm"]
        return float(np.mean(np.isfinite(hr))) if hr.size else 0.0


def sport_words(review: Review) -> str:
    """What was done, and that it is a guess where the file does not say; empty where there is no word."""
    sport, track = review.recording.sport, review.track
    if sport is Sport.OTHER:
        return ""
    if sport is not Sport.UNKNOWN:
        return key_name(sport)
    if not np.isfinite(track.distance_m).any():
        return tr("on foot (assumed)")
    return tr("on a bike (by its speed)") if track.on_bike else tr("on foot (by its speed)")


def _distance(head: Head) -> str:
    metres = head.distance_m
    return f"{MISSING} {GROUND.unit}" if metres is None else GROUND.text(metres, 1)


def _up_and_down(head: Head) -> str:
    found = head.review.elevation
    if found.ascent_m is None:
        return ""
    return tr("{up} up, {down} down").format(
        up=HEIGHT.text(found.ascent_m), down=HEIGHT.text(found.descent_m)
    )


def _heart(head: Head) -> str:
    whole = head.whole
    if whole is None or whole.hr_mean_bpm is None:
        return ""
    text = tr("heart rate {mean} mean, {highest} highest")
    return text.format(mean=figure(whole.hr_mean_bpm), highest=figure(whole.hr_max_bpm))


def _work(head: Head) -> str:
    whole = head.whole
    if whole is None or whole.work_w_per_kg is None:
        return ""
    recorded = head.review.work_source == POWER
    text = tr("work {work} W/kg (recorded power)") if recorded else tr("work {work} W/kg (modelled)")
    return text.format(work=figure(whole.work_w_per_kg, 1))


def _moving(head: Head) -> str:
    return "" if head.whole is None else tr("moving {time}").format(time=clock(head.whole.moving_s))


def _speed(head: Head) -> str:
    speed = None if head.whole is None else head.whole.speed_mps
    return "" if speed is None else OWN_SPEED.text(speed)


def _band(head: Head) -> list[float] | None:
    band = head.review.aim.band
    return None if band is None else [band.lower_bpm, band.upper_bpm]


HEAD_FIGURES: tuple[Figure, ...] = (
    in_files("head.title", json="title", get=lambda i, h: h.review.recording.title),
    shown_everywhere(
        "head.start",
        json="start_utc",
        get=lambda i, h: h.review.recording.start_utc.isoformat(),
        words=lambda h: h.review.recording.start_text,
    ),
    in_files("head.utc_offset", json="utc_offset_s", field="review.recording.utc_offset_s"),
    shown_everywhere(
        "head.sport",
        json="sport",
        get=lambda i, h: str(h.review.recording.sport),
        words=lambda h: sport_words(h.review),
    ),
    in_files("head.activity", json="activity", get=lambda i, h: h.review.recognised.kind),
    in_files("head.work_source", json="work_source", get=lambda i, h: h.review.work_source),
    in_files("head.span", json="span_s", get=lambda i, h: h.review.recording.span_s),
    shown_everywhere("head.distance", json="distance_m", words=_distance),
    shown_everywhere(
        "head.ascent",
        json="ascent_m",
        get=lambda i, h: h.review.elevation.ascent_m,
        words=_up_and_down,
    ),
    in_files("head.descent", json="descent_m", get=lambda i, h: h.review.elevation.descent_m),
    Figure("head.moving", words=_moving, on=On.DETAIL),
    Figure("head.speed", words=_speed, on=On.DETAIL),
    Figure("head.heart", json="hr_mean_bpm", field="whole.hr_mean_bpm", words=_heart, on=On.DETAIL),
    in_files("head.hr_max", json="hr_max_bpm", field="whole.hr_max_bpm"),
    in_files("head.hr_coverage", json="hr_coverage"),
    Figure("head.work", words=_work, on=On.DETAIL),
    in_files("head.band", json="band_bpm", get=lambda i, h: _band(h)),
)
"""In the order of the line they are said in; those in detail are a second line of the window."""

APART = "  ·  "


EXPLAINED = {
    "head.start": "start",
    "head.sport": "sport",
    "head.distance": "stretch.distance",
    "head.ascent": "ascent",
    "head.moving": "stretch.moving",
    "head.speed": "stretch.speed",
    "head.heart": "stretch.hr_mean",
    "head.work": "stretch.work",
}
"""The head says the whole outing as one stretch: what explains a figure of a stretch explains it here."""


def head_parts(review: Review, where: On) -> list[tuple[str, str]]:
    """The figures shown there, each with the key of its explanation, which may be empty."""
    head = Head(review)
    parts = ((each.text_of(0, head), EXPLAINED.get(each.key, "")) for each in shown_on(where, HEAD_FIGURES))
    return [(text, key) for text, key in parts if text]


def head_line(review: Review, where: On, fit: Callable[[str], str] = str) -> str:
    """The figures shown there in one line, each made to fit."""
    return APART.join(fit(text) for text, _ in head_parts(review, where))


def head_values(review: Review) -> dict[str, Any]:
    """The head as JSON has it."""
    return json_of(HEAD_FIGURES, 0, Head(review))
