"""Small pictures of every plot, without words, and a comparison that fonts pass and missing lines fail.

Words are left out by drawing them too small to see: what remains, curves, fills, bars and signs, is the
same whatever fonts a machine has.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pyqtgraph as pg
from numpy.typing import NDArray
from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QFont, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from scipy.ndimage import maximum_filter

from helpers.earlier_outings import evidence_before
from helpers.summaries import asked, outing
from helpers.ways import route_of
from slopebeat.analysis.band.lactate import LactateTest, Stage, thresholds
from slopebeat.analysis.route.plan import StrategyName
from slopebeat.files.reading import read_recordings
from slopebeat.model.bands import Band
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.people import Aim
from slopebeat.plots.colours import LIGHT, Colours
from slopebeat.plots.lactate import LactateChart
from slopebeat.plots.months.series import SeriesChart
from slopebeat.plots.months.weeks import WeeksChart
from slopebeat.plots.outing.ceiling_chart import CeilingChart
from slopebeat.plots.outing.outing_charts import OutingCharts
from slopebeat.plots.outing.plan import PlanView
from slopebeat.plots.route.profile import RouteProfile
from slopebeat.plots.theme import theme
from slopebeat.review.months.changes import DECOUPLING
from slopebeat.review.months.months import review_months
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.planning.planning import plan_route
from slopebeat.review.present.account import parts_of
from slopebeat.session.outing.opening import demo_files
from slopebeat.session.session import Session
from slopebeat.window.widgets.account_picture import AccountBar

FOLDER = Path(__file__).parent.parent / "plots" / "golden"

AIM = Aim(Band(112, 131), target_s=2700.0)
SIZE = QSize(360, 150)

PAINTINGS = 3
"""Until every axis has the room it needs."""

TINY_SHARE, TINY_PX = 0.02, 1
"""Of texts in the pictures: too small to be seen."""

LEAST_INK_PX, NEAR_PX, MOST_APART, LEAST_FOUND = 40, 3, 12, 0.8
"""A colour counts from this many pixels; each needs its like this near and this much alike, and this
share of them has to be found."""


@contextmanager
def without_words(colours: Colours) -> Iterator[None]:
    """Texts are drawn too small to be seen, all else in these colours."""
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    font, before = app.font(), (theme.colours, theme.text_share)
    tiny = QFont(font)
    tiny.setPixelSize(TINY_PX)
    app.setFont(tiny)
    theme.set(colours, TINY_SHARE)
    try:
        yield
    finally:
        app.setFont(font)
        theme.set(*before)


def grabbed(widget: QWidget, size: QSize = SIZE, part: QRect | None = None) -> QImage:
    """What a plot looks like at a size, or a part of it."""
    widget.setAttribute(Qt.WidgetAttribute.WA_DontShowOnScreen)
    widget.resize(size)
    widget.show()
    for _ in range(PAINTINGS):
        # An axis learns from being painted how much room it needs.
        widget.grab()
        QTest.qWait(20)
    image = widget.grab(part or QRect(0, 0, -1, -1)).toImage()
    return image.convertToFormat(QImage.Format.Format_RGB888)


def pixels(image: QImage) -> NDArray[np.int16]:
    """Rows, columns, red-green-blue."""
    image = image.convertToFormat(QImage.Format.Format_RGB888)
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    return rows[:, : 3 * image.width()].reshape(image.height(), image.width(), 3).astype(np.int16)


def differences(wanted: NDArray[np.int16], drawn: NDArray[np.int16]) -> list[str]:
    """What one picture has and the other has not, colour by colour; nothing when they are alike."""
    if wanted.shape != drawn.shape:
        return [f"size {wanted.shape} became {drawn.shape}"]
    return _lost(wanted, drawn, "lost") + _lost(drawn, wanted, "new")


def _lost(here: NDArray[np.int16], there: NDArray[np.int16], word: str) -> list[str]:
    found = []
    # One number for each colour, as they are counted far faster than rows of three.
    painted = here.astype(np.int32) @ np.array([1 << 16, 1 << 8, 1])
    colours, counts = np.unique(painted, return_counts=True)
    for number in colours[counts >= LEAST_INK_PX]:
        inked = painted == number
        colour = here[inked][0]
        alike = (np.abs(there - colour) <= MOST_APART).all(axis=2)
        near = maximum_filter(alike.view(np.uint8), 2 * NEAR_PX + 1, mode="constant")
        share = float(near[inked].mean())
        if share < LEAST_FOUND:
            red, green, blue = (int(each) for each in colour)
            found.append(f"{word}: #{red:02x}{green:02x}{blue:02x}, {share:.0%} found")
    return found


@dataclass(frozen=True)
class Drawn:
    """A demo outing in a session, with its review."""

    session: Session
    review: Review


def opened() -> Drawn:
    """The demo hike, reviewed here and now."""
    session = Session()
    review = review_recording(read_recordings(demo_files()[0])[0], AIM)
    session.outing._show(review)
    return Drawn(session, review)


def settle(drawn: Drawn) -> None:
    """Let everything that waits be drawn."""
    QTest.qWait(1)
    while not drawn.session.steps.idle:
        QTest.qWait(5)


def charts(drawn: Drawn) -> OutingCharts:
    """Heart rate under two notes, elevation, speed."""
    made = OutingCharts(drawn.session)
    made._show_review()
    settle(drawn)
    remark = new_note(NoteKind.REMARK, Author.COACH, "a steep step", start_s=2000.0)
    talk = new_note(NoteKind.REMARK, Author.ATHLETE, "soft ground", start_s=5000.0, end_s=7000.0)
    scale = made._scale
    assert scale is not None
    made.heart.lane.set_notes((remark, talk), scale, drawn.session.visible.full_s)
    made.heart.moments.set_notes(made.heart.lane.placed)
    return made


def months() -> Any:
    """Half a year of stated figures."""
    start = datetime(2026, 1, 5, 8, tzinfo=UTC)
    rng = np.random.default_rng(1)
    return review_months(
        [
            outing(
                start_utc=start + timedelta(days=6 * i),
                in_band_s=float(rng.uniform(1800, 5400)),
                terrain_fair_percent=9.0 - 0.2 * i,
                terrain_fair_low=7.5 - 0.2 * i,
                terrain_fair_high=10.5 - 0.2 * i,
            )
            for i in range(28)
        ],
        asked(60.0, 1),
    )


def draw(colours: Colours = LIGHT) -> dict[str, QImage]:
    """Every plot by name."""
    with without_words(colours):
        drawn = opened()
        try:
            return {**_of_outing(drawn), **_of_months(), **_of_others(drawn)}
        finally:
            drawn.session.close()


def _of_outing(drawn: Drawn) -> dict[str, QImage]:
    stack, size = charts(drawn), QSize(SIZE.width(), 3 * SIZE.height())
    grabbed(stack, size)
    found = {}
    names = (("heart", stack.heart), ("elevation", stack.ground), ("speed", stack.rate))
    for name, panel in names:
        place = panel.plot.sceneBoundingRect().toAlignedRect()
        found[name] = grabbed(stack, size, place)
    lane = stack.heart.lane.sceneBoundingRect().toAlignedRect()
    found["notes_lane"] = grabbed(stack, size, lane)
    plan = PlanView(drawn.session)
    plan._show_review()
    settle(drawn)
    # Softened edges have colours of their own, too few of each to be compared.
    plan.setAntialiasing(False)
    for item in plan.getPlotItem().items:
        if isinstance(item, pg.PlotCurveItem):
            item.opts["antialias"] = False
    found["plan"] = grabbed(plan, QSize(200, 200))
    bar = AccountBar()
    assert drawn.review.account is not None
    bar.show_parts(parts_of(drawn.review.account))
    found["account_bar"] = grabbed(bar, QSize(360, 24))
    ceiling = CeilingChart()
    ceiling.show_review(drawn.review)
    found["ceiling"] = grabbed(ceiling)
    return found


def _of_months() -> dict[str, QImage]:
    shown = months()
    weeks, series = WeeksChart(), SeriesChart("", zero_line=True)
    weeks.show_months(shown)
    series.show_series(shown, [each for each in shown.series if each.figure == DECOUPLING])
    return {"months_weeks": grabbed(weeks), "months_series": grabbed(series)}


def _of_others(drawn: Drawn) -> dict[str, QImage]:
    lactates, hearts = (1.0, 1.1, 1.4, 2.1, 3.6, 6.2), (110, 122, 134, 146, 158, 169)
    stages = (
        Stage(6.0 + i, mmol_l, float(bpm))
        for i, (mmol_l, bpm) in enumerate(zip(lactates, hearts, strict=True))
    )
    test = LactateTest(tuple(stages), "km/h")
    lactate = LactateChart()
    lactate.show_test(test, thresholds(test))
    route = route_of(drawn.review.recording)
    plan = plan_route(route, evidence_before(), AIM)
    profile = RouteProfile()
    profile.show_route(route)
    profile.show_plan(plan, StrategyName.HOLD)
    return {"lactate": grabbed(lactate), "route_profile": grabbed(profile, QSize(360, 220))}


pg.setConfigOptions(antialias=False)
