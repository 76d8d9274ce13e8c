"""The figures under the cursor."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QWidget

from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import GROUND, HEIGHT, SPEED, VERTICAL_SPEED, Measure, number
from slopebeat.model.units import MISSING, clock
from slopebeat.review.help.explanations import hint
from slopebeat.review.outing import Review
from slopebeat.session.session import Session
from slopebeat.window.widgets.parts import label

STATE_WORDS = {
    BandState.BELOW: mark("below"),
    BandState.IN_BAND: mark("in band"),
    BandState.ABOVE: mark("above"),
    BandState.NO_HEART_RATE: mark("not known"),
}


@dataclass(frozen=True)
class Figure:
    """One figure of the read-out: name and explanation as marked texts, how to read it, and its unit."""

    name: str
    tip: str
    text: Callable[[Review, int], str]
    unit: str | Measure = ""

    @property
    def caption(self) -> str:
        """Name and unit as shown."""
        unit = self.unit.unit if isinstance(self.unit, Measure) else self.unit
        return f"{tr(self.name)} {unit}".rstrip()

    @property
    def key(self) -> str:
        """The same in English and metric, whatever is shown."""
        unit = self.unit.metric.unit if isinstance(self.unit, Measure) else self.unit
        return f"{self.name} {unit}".rstrip()


def _state(review: Review, i: int) -> str:
    if review.aim.band is None:
        return MISSING
    state = BandState(int(band_state(review.track.hr_bpm[i : i + 1], review.aim.band)[0]))
    return tr(STATE_WORDS[state])


def _heart_rate(review: Review, i: int) -> str:
    used = float(review.track.hr_bpm[i])
    recorded = float(review.recording.samples["hr_bpm"][i])
    doubtful = np.isnan(used) and np.isfinite(recorded)
    return f"({number(recorded)})" if doubtful else number(used)


FIGURES = (
    Figure(mark("Time"), hint("at_time"), lambda r, i: clock(float(r.track.t_s[i]))),
    Figure(
        mark("Distance"),
        hint("at_distance"),
        lambda r, i: GROUND.figure(float(r.track.distance_m[i])),
        GROUND,
    ),
    Figure(
        mark("Heart rate"),
        hint("at_heart_rate"),
        _heart_rate,
        "bpm",
    ),
    Figure(mark("Band"), hint("at_band"), _state),
    Figure(
        mark("Elevation"),
        hint("at_elevation"),
        lambda r, i: HEIGHT.figure(float(r.track.elevation_m[i])),
        HEIGHT,
    ),
    Figure(
        mark("Grade"),
        hint("at_grade"),
        lambda r, i: number(float(r.track.grade[i]), 0, 100),
        "%",
    ),
    Figure(
        mark("Speed"),
        hint("at_speed"),
        lambda r, i: SPEED.figure(float(r.track.speed_mps[i])),
        SPEED,
    ),
    Figure(
        mark("Vertical"),
        hint("at_vertical"),
        lambda r, i: VERTICAL_SPEED.figure(float(r.track.vertical_speed_mps[i])),
        VERTICAL_SPEED,
    ),
    Figure(
        mark("Work"),
        hint("work_rate"),
        lambda r, i: number(float(r.work_w_per_kg[i]), 1),
        "W/kg",
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
        self._captions: dict[str, QLabel] = {}
        for column, figure in enumerate(FIGURES):
            caption = label("", "caption", tr(figure.tip))
            grid.addWidget(caption, 0, column)
            value = label(MISSING, "figure", tr(figure.tip))
            grid.addWidget(value, 1, column)
            grid.setColumnStretch(column, 1)
            self.values[figure.key], self._captions[figure.key] = value, caption
        session.cursor.changed.connect(self._show)
        session.outing.reviewed.connect(self._show)
        session.display.changed.connect(self._name)
        session.display.changed.connect(self._show)
        self._name()

    def _name(self) -> None:
        for figure in FIGURES:
            self._captions[figure.key].setText(figure.caption)
            said = tr("{figure} at the cursor").format(figure=figure.caption)
            self.values[figure.key].setAccessibleName(said)

    def _show(self) -> None:
        review, t_s = self._session.outing.review, self._session.cursor.t_s
        if review is None or t_s is None or not len(review.track):
            for value in self.values.values():
                value.setText(MISSING)
            return
        t = review.track.t_s
        i = int(np.clip(np.searchsorted(t, t_s, side="right") - 1, 0, t.size - 1))
        for figure in FIGURES:
            self.values[figure.key].setText(figure.text(review, i))
