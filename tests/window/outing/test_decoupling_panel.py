"""The decoupling rows on screen: only what is an answer stands in the size of an answer."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QLabel

from slopebeat.analysis.response.decoupling import Verdict
from slopebeat.analysis.response.fit import FitStatus
from slopebeat.model.message import message
from slopebeat.review.outing import Review
from slopebeat.review.present.decoupling import rows_of
from slopebeat.window.outing.decoupling_panel import DecouplingPanel
from slopebeat.window.shell.main_window import MainWindow
from window_acts import review_of


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
