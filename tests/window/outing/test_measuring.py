"""Measuring stretches on the charts: live while the hand moves, two side by side."""

from __future__ import annotations

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from helpers.window_acts import review_of, wait_drawn
from slopebeat.plots.outing.drag_mode import DragMode, DragModeChoice
from slopebeat.review.present.figure import On
from slopebeat.review.present.stretch import STRETCH_FIGURES, SplitBy, measure_stretch, splits
from slopebeat.session.outing.view_state import Picked
from slopebeat.window.shell.main_window import MainWindow


def drag(window: MainWindow, start_s: float, *stops_s: float, let_go: bool = True) -> None:
    """A drag over the charts with measuring chosen, as the panel tells of it."""
    box, scale = window.page.charts.heart.range_box, window.page.charts._scale
    assert scale is not None
    start, *stops = (float(scale.to_x(t_s)) for t_s in (start_s, *stops_s))
    for stop in stops[: -1 if let_go else None]:
        box.dragged.emit(start, stop, DragMode.MEASURE)
    if let_go:
        box.chosen.emit(start, stops[-1], DragMode.MEASURE)


def shown(window: MainWindow, row: int) -> list[str]:
    """The texts of a row of the table of stretches."""
    model = window.page.measure.table.model()
    return [str(model.index(row, column).data()) for column in range(model.columnCount())]


IN_WINDOW = [figure.key for figure in STRETCH_FIGURES if On.WINDOW in figure.on]
HEART = 1 + IN_WINDOW.index("stretch.hr_mean")


def test_a_drag_is_measured_while_it_goes_on(ride: MainWindow, qtbot: QtBot) -> None:
    drag(ride, 600.0, 900.0, let_go=False)
    wait_drawn(ride.session, qtbot)
    assert ride.page.tabs.currentWidget() is ride.page.measure
    first = shown(ride, 0)
    drag(ride, 600.0, 1500.0, let_go=False)
    wait_drawn(ride.session, qtbot)
    assert shown(ride, 0) != first
    assert ride.page.charts.heart.measured.spans


def test_two_stretches_stand_side_by_side_with_their_difference(ride: MainWindow, qtbot: QtBot) -> None:
    drag(ride, 600.0, 900.0, 1200.0)
    drag(ride, 3000.0, 3200.0, 3900.0)
    wait_drawn(ride.session, qtbot)
    review = review_of(ride)
    one, two = measure_stretch(review, 600.0, 1200.0), measure_stretch(review, 3000.0, 3900.0)
    assert one.hr_mean_bpm is not None
    assert two.hr_mean_bpm is not None
    assert shown(ride, 0)[HEART] == f"{one.hr_mean_bpm:.0f}"
    assert shown(ride, 1)[HEART] == f"{two.hr_mean_bpm:.0f}"
    assert shown(ride, 2)[HEART].replace("−", "-") == f"{two.hr_mean_bpm - one.hr_mean_bpm:.0f}"


def test_a_selected_climb_can_be_measured(ride: MainWindow, qtbot: QtBot) -> None:
    climb = review_of(ride).climbs[0]
    ride.session.selection.select(Picked.CLIMB, 0, climb.start_s, climb.end_s)
    ride.page.tabs.setCurrentWidget(ride.page.measure)
    wait_drawn(ride.session, qtbot)
    qtbot.mouseClick(ride.page.measure.take, Qt.MouseButton.LeftButton)
    assert ride.session.measuring.latest == (climb.start_s, climb.end_s)


def test_a_click_clears_both(ride: MainWindow) -> None:
    drag(ride, 600.0, 900.0, 1200.0)
    drag(ride, 700.0, 700.0)
    assert ride.session.measuring.latest is None
    assert not ride.page.charts.heart.measured.spans


def test_two_keys_held_measure_for_once() -> None:
    choice, key = DragModeChoice(), Qt.KeyboardModifier
    assert choice.of(key.ControlModifier | key.ShiftModifier) is DragMode.MEASURE
    assert choice.of(key.ControlModifier) is DragMode.NOTE
    assert choice.of(key.ShiftModifier) is DragMode.DOUBT
    assert choice.of(key.NoModifier) is DragMode.LOOK


def test_splits_are_listed_and_a_row_is_selected_on_the_charts(ride: MainWindow, qtbot: QtBot) -> None:
    panel = ride.page.measure
    ride.page.tabs.setCurrentWidget(panel)
    panel.by.setCurrentIndex(2)
    wait_drawn(ride.session, qtbot)
    parts = splits(review_of(ride), SplitBy.DISTANCE)
    assert len(parts) > 3
    assert list(panel.splits.rows.rows) == parts
    panel.splits.selectRow(1)
    picked = ride.session.selection
    assert (picked.kind, picked.start_s, picked.end_s) == (Picked.SPLIT, parts[1].start_s, parts[1].end_s)
    panel.by.setCurrentIndex(3)
    wait_drawn(ride.session, qtbot)
    assert picked.kind is None
    assert list(panel.splits.rows.rows) == splits(review_of(ride), SplitBy.ASCENT)
    drag(ride, 600.0, 900.0, 1200.0)
    wait_drawn(ride.session, qtbot)
    assert panel.by.currentIndex() == 0
    assert panel.table.isVisible()
    assert not panel.splits.isVisible()
