"""The decoupling rows on screen: only what is an answer stands in the size of an answer."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QLabel

from helpers.checks import not_none
from helpers.window_acts import review_of
from slopebeat.analysis.response.decoupling import Verdict
from slopebeat.analysis.response.fit import FitStatus
from slopebeat.model.message import message
from slopebeat.review.outing import Review
from slopebeat.review.present.decoupling import decoupling_sentence, rows_of
from slopebeat.window.outing.decoupling_panel import DecouplingPanel
from slopebeat.window.shell.main_window import MainWindow


def judged(review: Review, verdict: Verdict, status: FitStatus) -> Review:
    pace, work = (replace(row, verdict=verdict) for row in (review.decoupling.pace, review.decoupling.work))
    return replace(
        review,
        decoupling=replace(review.decoupling, pace=pace, work=work),
        terrain_fair=replace(review.terrain_fair, status=status, reason=message("response.nothing_left")),
    )


def test_figures_that_are_no_answer_are_small_and_keep_their_number(ride: MainWindow) -> None:
    review = review_of(ride)
    answers = rows_of(judged(review, Verdict.STEADY, FitStatus.USABLE))
    doubtful = rows_of(judged(review, Verdict.TERRAIN, FitStatus.UNDECIDED))
    assert [row.answers for row in answers] == [True] * 3
    assert [row.answers for row in doubtful] == [False] * 3
    assert [row.figure for row in answers] == [row.figure for row in doubtful]
    assert doubtful[2].trust.startswith("Undecided. No recorded minute of moving")


def test_on_hills_the_plain_rows_are_grey_and_the_fair_one_is_large(ride: MainWindow) -> None:
    panel = ride.page.decoupling
    ride.page.tabs.setCurrentWidget(panel)
    review = review_of(ride)
    assert review.decoupling.pace.verdict is Verdict.TERRAIN
    for row in rows_of(review):
        assert {found.objectName() for found in figures(panel, row.figure)} == {
            "figure" if row.answers else "caption"
        }


def figures(panel: DecouplingPanel, text: str) -> list[QLabel]:
    return [found for found in panel.findChildren(QLabel) if found.text() == text]


def test_a_sentence_heads_the_tab_and_says_what_the_rows_come_to(ride: MainWindow) -> None:
    panel = ride.page.decoupling
    ride.page.tabs.setCurrentWidget(panel)
    assert panel.sentence.text() == decoupling_sentence(review_of(ride))
    page = not_none(panel.widget())
    heights = [panel.sentence.mapTo(page, QPoint()).y(), panel.drift_test.mapTo(page, QPoint()).y()]
    assert heights == sorted(heights)


def with_fair(
    review: Review, status: FitStatus, percent: float, interval_percent: tuple[float, float]
) -> Review:
    fair = replace(review.terrain_fair, status=status, percent=percent, interval_percent=interval_percent)
    return replace(judged(review, Verdict.TERRAIN, status), terrain_fair=fair)


@pytest.mark.parametrize(
    ("status", "percent", "interval", "begins"),
    [
        (
            FitStatus.USABLE,
            4.0,
            (1.0, 7.0),
            "For the same work the heart rate rose by 4.0 % (95 %: 1.0 to 7.0",
        ),
        (
            FitStatus.USABLE,
            -4.0,
            (-7.0, -1.0),
            "For the same work the heart rate fell by 4.0 % (95 %: 1.0 to 7.0",
        ),
        (
            FitStatus.USABLE,
            1.0,
            (-2.0, 4.0),
            "For the same work no change of the heart rate can be told: 1.0 %",
        ),
        (
            FitStatus.UNDECIDED,
            4.0,
            (-9.0, 17.0),
            "Whether the heart rate rose for the same work is undecided: −9.0",
        ),
    ],
)
def test_the_sentence_follows_the_interval(
    ride: MainWindow, status: FitStatus, percent: float, interval: tuple[float, float], begins: str
) -> None:
    said = decoupling_sentence(with_fair(review_of(ride), status, percent, interval))
    assert said.startswith(begins)
    assert ("small print" in said) == (status is not FitStatus.USABLE)


def test_a_figure_that_is_no_answer_stands_in_brackets_where_sizes_cannot_tell(ride: MainWindow) -> None:
    row = rows_of(judged(review_of(ride), Verdict.TERRAIN, FitStatus.UNDECIDED))[0]
    assert row.with_interval == f"({row.figure})"
