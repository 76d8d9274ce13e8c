"""All that can be told of a window from outside, so that two windows can be compared."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum
from typing import Any

from PySide6.QtCore import QCoreApplication, QObject
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QComboBox,
    QHeaderView,
    QLabel,
    QLineEdit,
    QSpinBox,
    QStackedWidget,
    QTableView,
    QTabWidget,
    QWidget,
)

from slopebeat.session.session import Session
from slopebeat.window.shell.main_window import MainWindow

PLAIN = bool | int | float | str | Enum | None

CHOSEN = QComboBox | QAbstractSpinBox | QLineEdit | QAbstractButton


def state_of(window: MainWindow) -> list[tuple[Any, ...]]:
    """What its session holds in plain values, and the words, places and choices of every widget.

    Layouts are told from one to the next around it: what waits is done first.
    """
    before: list[tuple[Any, ...]] = []
    now = _state_of(window)
    while now != before:
        QCoreApplication.processEvents()
        before, now = now, _state_of(window)
    return now


def _state_of(window: MainWindow) -> list[tuple[Any, ...]]:
    return [*_values_in(window.session), *_widgets_of(window)]


def _values_in(session: Session) -> Iterator[tuple[Any, ...]]:
    """The plain values of the session's parts, by the names of their attributes."""
    for name, part in vars(session).items():
        if isinstance(part, QObject):
            kept = {key: _told(value) for key, value in vars(part).items() if _plain(value)}
            yield (name, kept)
    yield ("preferences", session.display.preferences)
    yield ("entered", session.aim.entered)
    yield ("library", session.library.opened.library is not None)


def _plain(value: object) -> bool:
    if isinstance(value, tuple):
        return all(_plain(each) for each in value)
    return isinstance(value, PLAIN | list | dict)


def _told(value: object) -> object:
    """Of lists, what was done and can be undone among them, their length."""
    return len(value) if isinstance(value, list | dict) else value


def _widgets_of(window: MainWindow) -> Iterator[tuple[Any, ...]]:
    """All of what is on screen; of tabs that are filled when they are looked at, what a hand can choose."""
    page, library = window.page_loader.made, window.session.library.opened.library
    path = "" if library is None else str(library.path)
    found, beside = window.findChildren(QWidget), page.findChildren(QWidget) if page is not None else []
    for widget in filter(QWidget.isVisible, found):
        place = widget.geometry().getRect()
        called = (type(widget).__name__, widget.accessibleName(), widget.isEnabled(), place)
        # Where a library lies is another folder for each test.
        yield (*called, *(_without(path, each) for each in _said(widget)))
    # A tab that is opened for the first time comes after the others.
    named = [each for each in beside if each.accessibleName()]
    hidden = [each for each in named if isinstance(each, CHOSEN) and not each.isVisible()]
    yield from sorted((each.accessibleName(), type(each).__name__, *_said(each)) for each in hidden)


def _without(path: str, said: object) -> object:
    return said.replace(path, "") if path and isinstance(said, str) else said


def _said(widget: QWidget) -> tuple[Any, ...]:
    """What a widget says and what is chosen in it."""
    match widget:
        case QLabel() | QLineEdit():
            return (widget.text(),)
        case QAbstractButton():
            return (widget.text(), widget.isChecked())
        case QComboBox():
            return (widget.currentText(), widget.count())
        case QSpinBox():
            return (widget.value(),)
        case QAbstractSpinBox():
            return (widget.text(),)
        case QTabWidget() | QStackedWidget():
            return (widget.currentIndex(), widget.count())
        case QTableView():
            selected = [index.row() for index in widget.selectionModel().selectedRows()]
            return (widget.model().rowCount(), selected)
        case QHeaderView():
            sections = [widget.sectionSize(at) for at in range(widget.count())]
            return (widget.sortIndicatorSection(), widget.sortIndicatorOrder(), sections)
    return ()
