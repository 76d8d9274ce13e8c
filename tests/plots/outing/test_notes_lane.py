"""Lanes of notes, signs that differ by shape, and hover words that stay words."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtGui import QColor

from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.plots.outing.notes_lane import lanes_of
from slopebeat.plots.outing.notes_on_charts import hover_text
from slopebeat.plots.outing.notes_signs import SIGNS, sign_pixmap

Stretches = list[tuple[float, float]]

stretches = st.lists(
    st.tuples(st.floats(0, 100), st.floats(0.5, 40)).map(lambda pair: (pair[0], pair[0] + pair[1])),
    max_size=30,
).map(sorted)


@given(stretches)
def test_with_lanes_enough_no_two_stretches_lie_on_each_other(found: Stretches) -> None:
    lanes = lanes_of(found, most=max(len(found), 1))
    for i, (start, end) in enumerate(found):
        for j in range(i):
            if lanes[i] == lanes[j]:
                assert found[j][1] <= start or end <= found[j][0]


@given(stretches)
def test_no_more_lanes_are_taken_than_stretches_lie_side_by_side(found: Stretches) -> None:
    """Greedy in order of starts needs as many lanes as the deepest pile (interval graphs are perfect)."""
    lanes = lanes_of(found, most=max(len(found), 1))
    deepest = max((sum(s <= start < e for s, e in found) for start, _ in found), default=0)
    assert max(lanes, default=-1) + 1 == deepest


@given(stretches, st.integers(1, 4))
def test_lanes_never_exceed_the_most_there_is_room_for(found: Stretches, most: int) -> None:
    assert all(0 <= lane < most for lane in lanes_of(found, most))


def test_each_kind_has_a_sign_of_its_own_shape(qapp: object) -> None:
    pictures = {}
    for kind in NoteKind:
        image = sign_pixmap(kind, "#000000").toImage()
        inked = {
            (x, y)
            for x in range(image.width())
            for y in range(image.height())
            if QColor(image.pixelColor(x, y)).alpha() > 127
        }
        assert inked
        pictures[kind] = inked
    assert set(SIGNS) == set(NoteKind)
    kinds = list(NoteKind)
    for i, one in enumerate(kinds):
        for other in kinds[:i]:
            union = pictures[one] | pictures[other]
            assert len(pictures[one] ^ pictures[other]) > 0.25 * len(union), (one, other)


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.shown = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        assert not attrs

    def handle_data(self, data: str) -> None:
        self.shown += data


@pytest.mark.parametrize(
    "text",
    ["<b>bold</b>", "<img src='file:///etc/passwd'>", "</qt><a href='x'>y</a>", "a & b < c", "&lt;i&gt;"],
)
def test_hover_text_shows_the_words_as_they_were_written(text: str) -> None:
    reader = Tags()
    reader.feed(hover_text([new_note(NoteKind.REMARK, Author.COACH, text, start_s=60.0)]))
    reader.close()
    assert set(reader.tags) <= {"qt", "br", "hr"}
    assert text in reader.shown
    assert "0:01:00" in reader.shown
    assert "coach" in reader.shown
