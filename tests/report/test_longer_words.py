"""A language of longer words still fits: nothing leaves its picture, no page grows to two."""

from __future__ import annotations

import gettext
from collections.abc import Iterator
from itertools import pairwise

import pytest

from slopebeat.model.language import use_catalogue
from slopebeat.report.bars import account_bar, cause_bars
from slopebeat.report.outing_chart import outing_chart
from slopebeat.report.paint import text_width
from slopebeat.report.report import a4_report
from slopebeat.report.shapes import Anchor, Scene, Text
from slopebeat.report.sheet import A4_PT, MARGIN_PT
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
    assert review.account is not None
    assert review.causes is not None
    scene = {
        "chart": outing_chart(review),
        "account": account_bar(review.account),
        "causes": cause_bars(review.causes),
    }[which]
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
