"""The figures under the cursor."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QWidget

from slopebeat.analysis.time_account import BandState, band_state
from slopebeat.model.units import MISSING, clock
from slopebeat.review.outing import Review
from slopebeat.session.display import kilometres, number, speed_kmh, vertical_mh
from slopebeat.session.session import Session
from slopebeat.window.parts import label

STATE_WORDS = {
    BandState.BELOW: "below",
    BandState.IN_BAND: "in band",
    BandState.ABOVE: "above",
    BandState.NO_HEART_RATE: "not known",
}


@dataclass(frozen=True)
class Figure:
    """One figure of the read-out: its caption, its explanation, and how to read it at a sample."""

    caption: str
    tip: str
    text: Callable[[Review, int], str]


def _state(review: Review, i: int) -> str:
    if review.aim.band is None:
        return MISSING
    return STATE_WORDS[BandState(int(band_state(review.track.hr_bpm[i : i + 1], review.aim.band)[0]))]


def _heart_rate(review: Review, i: int) -> str:
    used = float(review.track.hr_bpm[i])
    recorded = float(review.recording.samples["hr_bpm"].iloc[i])
    doubtful = np.isnan(used) and np.isfinite(recorded)
    return f"({number(recorded)})" if doubtful else number(used)


FIGURES = (
    Figure("Time", "Time since the first record, h:mm:ss.", lambda r, i: clock(float(r.track.t_s[i]))),
    Figure(
        "Distance km", "Distance along the ground.", lambda r, i: kilometres(float(r.track.distance_m[i]))
    ),
    Figure(
        "Heart rate bpm", "Recorded heart rate; in brackets where it is doubted and not used.", _heart_rate
    ),
    Figure("Band", "Where the heart rate lies; both edges of the band count as in band.", _state),
    Figure("Elevation m", "Smoothed elevation.", lambda r, i: number(float(r.track.elevation_m[i]))),
    Figure(
        "Grade %",
        "Rise over run of the smoothed track; none while standing.",
        lambda r, i: number(float(r.track.grade[i]), 0, 100),
    ),
    Figure("Speed km/h", "Smoothed speed over ground.", lambda r, i: speed_kmh(float(r.track.speed_mps[i]))),
    Figure(
        "Vertical m/h",
        "Vertical speed, from the smoothed elevation.",
        lambda r, i: vertical_mh(float(r.track.vertical_speed_mps[i])),
    ),
    Figure(
        "Work W/kg",
        "Estimated work rate per kilogram of body mass, from grade and speed (on a bike: recorded power "
        "where there is any).",
        lambda r, i: number(float(r.work_w_per_kg[i]), 1),
    ),
)


class Readout(QFrame):
    """A strip of captions and figures; dashes while there is no cursor."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        grid = QGridLayout(self)
        grid.setContentsMargins(12, 6, 12, 2)
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(0)
        self.values: dict[str, QLabel] = {}
        for column, figure in enumerate(FIGURES):
            grid.addWidget(label(figure.caption, "caption", figure.tip), 0, column)
            value = label(MISSING, "figure", figure.tip)
            value.setAccessibleName(f"{figure.caption} at the cursor")
            grid.addWidget(value, 1, column)
            grid.setColumnStretch(column, 1)
            self.values[figure.caption] = value
        session.cursor.changed.connect(self._show)
        session.outing.reviewed.connect(self._show)

    def _show(self) -> None:
        review, t_s = self._session.outing.review, self._session.cursor.t_s
        if review is None or t_s is None or not len(review.track):
            for value in self.values.values():
                value.setText(MISSING)
            return
        t = review.track.t_s
        i = int(np.clip(np.searchsorted(t, t_s, side="right") - 1, 0, t.size - 1))
        for figure in FIGURES:
            self.values[figure.caption].setText(figure.text(review, i))
