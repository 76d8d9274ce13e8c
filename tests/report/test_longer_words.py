"""A language of longer words still fits: nothing leaves its picture, no page grows to two."""

from __future__ import annotations

import gettext
from collections.abc import Iterator
from itertools import pairwise

import pytest

from helpers.report_pictures import picture
from slopebeat.model.language import use_catalogue, use_language
from slopebeat.report.paint import text_width
from slopebeat.report.report import a4_report
from slopebeat.report.shapes import Anchor, Scene, Text
from slopebeat.report.sheet import A4_PT, CELL_INSET, MARGIN_PT, SMALL, column_widths
from slopebeat.report.tables import ReportColumn, Table, climb_table, decoupling_table, episode_table
from slopebeat.report.words import no_breaks
from slopebeat.review.outing import Review

LONGER = 0.4
"""German takes up to a third more letters than English (common practice, no source); a little more here."""


class _Longer(gettext.NullTranslations):
    def gettext(self, message: str) -> str:
        return message + " " + "mehr " * max(1, round(LONGER * len(message) / 5))

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)


@pytest.fixture(autouse=True)
def _longer_words() -> Iterator[None]:
    use_catalogue(_Longer())
    yield
    use_catalogue(gettext.NullTranslations())


def spans(scene: Scene) -> list[tuple[float, float, float, str]]:
    """Height, left and right end of each line of text."""
    found = []
    for shape in scene.shapes:
        if isinstance(shape, Text):
            width = text_width(shape.text.rstrip(), shape.size, shape.bold)
            left = shape.x - {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}[shape.anchor] * width
            found.append((shape.y, left, left + width, shape.text))
    return found


@pytest.mark.parametrize("which", ["chart", "account", "causes"])
def test_no_text_leaves_its_picture_or_runs_into_the_next(which: str, review: Review) -> None:
    scene = picture(which, review)
    lines = sorted(spans(scene))
    for _, left, right, text in lines:
        assert left >= -1.0, text
        assert right <= scene.width + 1.0, text
    for (y, _, end, text), (next_y, begin, _, other) in pairwise(lines):
        if y == next_y:
            assert end <= begin + 1.0, (text, other)


def test_the_report_stays_one_page(review: Review) -> None:
    scene = a4_report(review)
    lowest = max(shape.y for shape in scene.shapes if isinstance(shape, Text))
    assert lowest <= A4_PT[1] - MARGIN_PT + 2.0
    for _, _, right, text in spans(scene):
        assert right <= A4_PT[0], text


@pytest.mark.parametrize("code", ["en", "de"])
def test_no_word_of_a_table_is_broken(code: str, review: Review) -> None:
    use_language(code)
    shown = {
        word for shape in a4_report(review).shapes if isinstance(shape, Text) for word in shape.text.split()
    }
    for table in (climb_table(review, 3), episode_table(review, 6), decoupling_table(review)):
        for cell in (*(column.header for column in table.columns), *(c for row in table.rows for c in row)):
            assert set(no_breaks(cell).split()) <= shown, cell
    use_language("en")


def test_columns_with_room_give_it_to_those_without() -> None:
    def measure(text: str, size: float, bold: bool) -> float:
        return size * len(text)

    table = Table(
        "", (ReportColumn("a"), ReportColumn("b"), ReportColumn("c")), (("x" * 10, "y y y", "z z z z"),)
    )
    widths, shrink = column_widths(table, 120.0, measure)
    assert shrink == 1.0
    assert sum(widths) == pytest.approx(120.0)
    assert widths[0] == pytest.approx(10 * SMALL + CELL_INSET)
    # What is left over goes by the longest lines, of 5 and of 7 letters.
    assert widths[2] / widths[1] == pytest.approx((7 * SMALL + CELL_INSET) / (5 * SMALL + CELL_INSET))
    narrow, shrink = column_widths(table, 50.0, measure)
    assert sum(narrow) == pytest.approx(50.0)
    assert shrink < 1.0
