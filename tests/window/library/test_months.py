"""The months in the window: verdicts in words, bars, points that open outings."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QLabel, QPushButton
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.libraries import made, teach
from helpers.patience import WAIT_MS
from helpers.window_acts import go_to_library, wait_drawn
from slopebeat.library.store import Library
from slopebeat.review.months.changes import LeftOut
from slopebeat.window.library.left_out import LeftOutDialog
from slopebeat.window.shell.main_window import MainWindow
from window.conftest import Reused, new_window


@pytest.fixture(scope="module")
def taught(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A library of eighteen stated outings; every test opens a copy."""
    path = tmp_path_factory.mktemp("taught") / "walks.sqlite3"
    made(path, 18)
    with Library.open(path) as kept:
        (athlete,) = kept.athletes
        teach(kept, athlete.identity, [150.0 - 1.5 * i for i in range(17)])
    return path


@pytest.fixture
def months(
    reused: Reused, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot, tmp_path: Path, taught: Path
) -> MainWindow:
    """The window on the months of eighteen stated outings."""

    def show(window: MainWindow) -> MainWindow:
        go_to_library(window, qtbot, Path(shutil.copy(taught, tmp_path / f"{window.winId()}.sqlite3")))
        window.library.show_months()
        wait_drawn(window.session, qtbot)
        return window

    return reused.take(monkeypatch, lambda: show(new_window()), show)


def words(window: MainWindow) -> list[str]:
    page = not_none(window.library.page.months.words.widget())
    return [label.text() for label in page.findChildren(QLabel)]


def test_what_changed_is_said_in_words_with_what_would_have_shown(months: MainWindow) -> None:
    told = words(months)
    # 60 minutes in two outings of a week at most, against 90: the weeks with two outings meet it.
    assert any("weeks met the prescription" in text for text in told)
    # The levels put in fall by 24 beats in 17 outings on foot; their drift differs by chance alone.
    assert "Walking and hiking: Heart rate at your usual work" in told
    assert "Lower" in told
    assert "No change can be told" in told
    assert any("17 outings in 10 weeks" in text and "would show" in text for text in told)


def test_charts_show_what_the_months_hold(months: MainWindow) -> None:
    page, shown = months.library.page.months, months.session.library.outings.shown.months
    assert page.weeks.bars.weeks == shown.weeks
    assert {week.minutes_asked for week in page.weeks.bars.weeks} == {90.0}
    on_foot, by_bike = (points.getData()[1] for points in page.decoupling.points)
    assert len(on_foot) == 17
    assert by_bike.tolist() == [7.0]
    assert "on foot" in page.decoupling.caption.text
    assert "on foot: 17" in page.decoupling.accessibleDescription()
    assert page.level.points[0].getData()[1][0] == pytest.approx(150.0, abs=8.0)


def test_a_click_on_a_point_asks_for_that_outing(months: MainWindow, reused: Reused, qtbot: QtBot) -> None:
    # What this one disconnects stays so: the next test gets another window.
    reused.fresh = ()
    chart = months.library.page.months.decoupling
    points = chart.points[0]
    x, y = (values[3] for values in points.getData())
    place = chart.mapFromScene(
        chart.plotItem.getViewBox().mapViewToScene(points.pos() + type(points.pos())(x, y))
    )
    with qtbot.waitSignal(months.library.page.months.open_requested, timeout=WAIT_MS) as told:
        qtbot.mouseClick(chart.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(place.x(), place.y()))
        months.session.library.kept.failed.disconnect()
    outing = next(r for r in months.session.library.opened.rows if r.outing.identity == told.args[0])
    # The fourth outing on foot is Ridge 3.
    assert outing.outing.title == "Ridge 3"


def test_the_filter_of_the_list_holds_for_the_months(months: MainWindow, qtbot: QtBot) -> None:
    library, filters = months.session.library, months.library.page.filters
    filters.ground.setCurrentIndex(2)
    filters.ground.activated.emit(2)
    qtbot.waitUntil(lambda: library.idle and library.outings.up_to_date, timeout=WAIT_MS)
    wait_drawn(months.session, qtbot)
    assert len(library.outings.shown.months.outings) == 1
    assert [len(points.getData()[0]) for points in months.library.page.months.decoupling.points] == [1]
    assert any("No outing tells a change yet" in text for text in words(months))


def test_an_outing_is_left_out_of_what_is_learnt_by_its_menu_and_taken_in_again(
    months: MainWindow, qtbot: QtBot
) -> None:
    library, listed = months.session.library, months.library.page.list
    identity = next(row.outing.identity for row in library.opened.rows if not row.outing.on_bike)
    for count, teaches in ((16, False), (17, True)):
        listed.pick_outings((identity,))
        action = months.library.page.picked_menu().actions()[-1]
        action.trigger()
        qtbot.waitUntil(lambda: library.idle and library.outings.up_to_date, timeout=WAIT_MS)
        row = next(row for row in library.opened.rows if row.outing.identity == identity)
        assert row.teaches is teaches
        assert library.outings.shown.months.changes[0].entered.size == count


def test_an_outing_left_out_is_named_with_the_reason_and_taken_in_by_one_click(
    months: MainWindow, qtbot: QtBot
) -> None:
    library = months.session.library
    identity = next(row.outing.identity for row in library.opened.rows if not row.outing.on_bike)

    def settled() -> None:
        qtbot.waitUntil(lambda: library.idle and library.outings.up_to_date, timeout=WAIT_MS)
        wait_drawn(months.session, qtbot)

    library.opened.set_teaches((identity,), False)
    settled()
    assert any("left out by hand" in text for text in words(months))
    page = not_none(months.library.page.months.words.widget())
    (take_in,) = [each for each in page.findChildren(QPushButton) if each.text() == "Take in"]
    take_in.click()
    settled()
    row = next(row for row in library.opened.rows if row.outing.identity == identity)
    assert row.teaches
    assert not any("left out by hand" in text for text in words(months))


def test_every_outing_left_out_stands_in_a_list_and_a_click_on_it_decides(
    months: MainWindow, qtbot: QtBot
) -> None:
    rows = [LeftOut(f"Ridge {i}", "left out by hand", i, (None, True, False)[i % 3]) for i in range(40)]
    decided: list[tuple[int, bool]] = []
    dialog = LeftOutDialog(months, "Left out", rows, lambda index, teaches: decided.append((index, teaches)))
    qtbot.addWidget(dialog)
    model = dialog.table.rows
    assert model.rowCount() == 40
    for index in (0, 1, 2):
        line = model.order.index(index)
        assert str(model.index(line, 0).data()) == f"Ridge {index}"
        dialog.table.clicked.emit(model.index(line, 1))
        dialog.table.clicked.emit(model.index(line, 2))
    assert decided == [(1, True), (2, False)]
