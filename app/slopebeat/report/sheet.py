"""A sheet of A4 paper that is filled from the top."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from slopebeat.plots.colours import LIGHT
from slopebeat.report.page import ListLine
from slopebeat.report.shapes import Anchor, Path, Picture, Rect, Scene, Shape, Text
from slopebeat.report.tables import ReportFigure, Table
from slopebeat.report.words import no_breaks

A4_PT = (595.28, 841.89)
"""ISO 216 A4, 210 x 297 mm, in points."""

MARGIN_PT = 34.0
INNER_PT = A4_PT[0] - 2 * MARGIN_PT
BETWEEN_PT = 14.0
"""Between two columns of the page."""

LONG_LIST = 4
"""As many notes go in two columns [project choice]."""

BODY, SMALL, HEADER = 7.2, 6.5, 5.8
"""Sizes of text, points [project choice]: what is read at arm's length on paper."""

CELL_INSET = 5.0
"""Room between two columns, points."""

WIDEST = 0.5
"""Share of a table's width that a column of sentences asks for [project choice]."""

ROUNDING = 0.01
"""A word that just fits must not be broken because widths are rounded, points."""

Measure = Callable[[str, float, bool], float]
"""Width in points of a text of a size, bold or not."""


def shifted(shapes: Sequence[Shape], dx: float, dy: float) -> list[Shape]:
    """Shapes shifted to another place."""
    found: list[Shape] = []
    for shape in shapes:
        if isinstance(shape, Path):
            found.append(replace(shape, parts=tuple(part + np.array([dx, dy]) for part in shape.parts)))
        else:
            found.append(replace(shape, x=shape.x + dx, y=shape.y + dy))
    return found


def wrapped(text: str, width: float, size: float, bold: bool, measure: Measure) -> list[str]:
    """Lines no wider than ``width``; a word too long for a line is broken."""
    lines: list[str] = []
    for paragraph in no_breaks(text).split("\n"):
        line = ""
        for word in paragraph.split(" "):
            longer = f"{line} {word}" if line else word
            if measure(longer, size, bold) <= width:
                line = longer
                continue
            if line:
                lines.append(line)
            while measure(word, size, bold) > width and len(word) > 1:
                cut = next(
                    (n for n in range(len(word) - 1, 1, -1) if measure(word[:n], size, bold) <= width), 1
                )
                lines.append(word[:cut])
                word = word[cut:]
            line = word
        lines.append(line)
    return lines


def column_widths(table: Table, width: float, measure: Measure) -> tuple[list[float], float]:
    """Width of each column so that no word of it is broken, and by how much all text must shrink for that.

    Columns share the width by their longest lines, up to ``WIDEST`` of it, but for those with a word too
    long for theirs; the others make room.
    """
    texts = [
        [(column.header, HEADER), *((cell, SMALL) for cell in cells)]
        for column, cells in zip(table.columns, zip(*table.rows, strict=True), strict=True)
    ]
    needs = [CELL_INSET + max(_longest(no_breaks(t).split(), s, measure) for t, s in each) for each in texts]
    lines = [CELL_INSET + max(_longest(t.split("\n"), size, measure) for t, size in each) for each in texts]
    shares = [min(line, WIDEST * width) for line in lines]
    if sum(needs) >= width:
        shrink = width / sum(needs)
        return [need * shrink for need in needs], shrink
    fixed: set[int] = set()
    while True:
        free = width - sum(needs[i] for i in fixed)
        scale = free / sum(share for i, share in enumerate(shares) if i not in fixed)
        spans = [needs[i] if i in fixed else share * scale for i, share in enumerate(shares)]
        lacking = {i for i, span in enumerate(spans) if span < needs[i] - 1e-9}
        if not lacking:
            return spans, 1.0
        fixed |= lacking


def _longest(parts: Sequence[str], size: float, measure: Measure) -> float:
    return max((measure(part, size, False) for part in parts), default=0.0)


@dataclass
class Sheet:
    """Paper being filled from the top; ``y`` is where the next thing goes."""

    measure: Measure
    y: float = MARGIN_PT
    shapes: list[Shape] = field(default_factory=list)

    @property
    def fits(self) -> bool:
        """Whether nothing reaches into the lower margin of A4."""
        return self.y + MARGIN_PT <= A4_PT[1]

    def on_a4(self, title: str, description: str) -> Scene:
        """What was put down so far, on white A4."""
        return Scene(*A4_PT, (Rect(0, 0, *A4_PT, LIGHT.panel), *self.shapes), title, description)

    def text(
        self,
        text: str,
        size: float = BODY,
        bold: bool = False,
        colour: str = LIGHT.ink,
        x: float = MARGIN_PT,
        width: float = INNER_PT,
    ) -> None:
        """A paragraph, wrapped; nothing for an empty one."""
        if not text:
            return
        for line in wrapped(text, width, size, bold, self.measure):
            self.y += size * 1.22
            self.shapes.append(Text(x, self.y - size * 0.22, line, size, colour, bold=bold))

    def gap(self, height: float) -> None:
        self.y += height

    def heading(self, title: str, x: float = MARGIN_PT, width: float = INNER_PT) -> None:
        """A section's title over a thin line."""
        self.gap(6.0)
        self.text(title, 7.5, True, x=x, width=width)
        line = np.array([[x, self.y + 1.0], [x + width, self.y + 1.0]])
        self.shapes.append(Path((line,), LIGHT.line, 0.6))
        self.gap(3.0)

    def scene(self, scene: Scene) -> None:
        self.shapes += shifted(scene.shapes, MARGIN_PT, self.y)
        self.y += scene.height

    def picture(self, picture: Picture) -> None:
        """A picture under its heading, or under a gap where it has none."""
        if picture.title:
            self.heading(picture.title)
        else:
            self.gap(6.0)
        self.scene(picture.scene)

    def table(self, table: Table, x: float = MARGIN_PT, width: float = INNER_PT) -> None:
        """Headers and rows; cells wrap in their columns."""
        self.heading(table.title, x, width)
        if table.rows:
            spans, shrink = column_widths(table, width, self.measure)
            headers = [column.header for column in table.columns]
            self._row(headers, table, x, spans, LIGHT.muted, HEADER * shrink, foot=True)
            for row in table.rows:
                self._row(row, table, x, spans, LIGHT.ink, SMALL * shrink, foot=False)
        if table.foot:
            self.gap(1.0)
            self.text(table.foot, 6.0, colour=LIGHT.muted, x=x, width=width)

    def _row(
        self,
        cells: Sequence[str],
        table: Table,
        x: float,
        spans: Sequence[float],
        ink: str,
        size: float,
        foot: bool,
    ) -> None:
        """One row; with ``foot`` short cells stand on its lower edge, as headers do."""
        step = size * 1.25
        columns = [
            wrapped(cell, span - CELL_INSET + ROUNDING, size, False, self.measure)
            for cell, span in zip(cells, spans, strict=True)
        ]
        deepest = max(len(lines) for lines in columns)
        for lines, column, span in zip(columns, table.columns, spans, strict=True):
            place, anchor = (x + span - CELL_INSET, Anchor.END) if column.right else (x, Anchor.START)
            skipped = deepest - len(lines) if foot else 0
            for i, line in enumerate(lines, start=skipped):
                baseline = self.y + size + i * step
                self.shapes.append(Text(place, baseline, line, size, ink, anchor))
            x += span
        self.y += deepest * step + 1.2

    def figures(self, figures: Sequence[ReportFigure]) -> None:
        """Figures side by side, each with its name above and its interval below."""
        top, step = self.y, INNER_PT / max(len(figures), 1)
        lowest = top
        for i, figure in enumerate(figures):
            x, width = MARGIN_PT + i * step, step - 8.0
            self.y = top
            self.text(figure.name, 6.0, colour=LIGHT.muted, x=x, width=width)
            self.text(figure.value, 10.0, True, x=x, width=width)
            self.text(figure.beside or " ", 6.0, colour=LIGHT.muted, x=x, width=width)
            lowest = max(lowest, self.y)
        self.y = lowest

    def lines(
        self, lines: Sequence[ListLine], size: float = BODY, x: float = MARGIN_PT, width: float = INNER_PT
    ) -> None:
        """A list: what stands before each line in bold, the text running on after it."""
        for line in lines:
            lead = f"{line.lead}:" if line.text else line.lead
            indent = min(self.measure(lead, size, True) + 4.0, width)
            top = self.y
            self.text(lead, size, True, x=x, width=indent)
            first = wrapped(line.text, width - indent, size, False, self.measure)[0]
            if indent < width / 2:
                self.y = top
                self.text(first, size, x=x + indent, width=width - indent + ROUNDING)
            else:
                first = ""
            self.text(no_breaks(line.text)[len(first) :].lstrip(" "), size, x=x, width=width)

    def foot(self, cautions: Sequence[str], foot: str, size: float = 6.0) -> None:
        """Cautions, and where it comes from."""
        for words in (" ".join(cautions), foot):
            self.text(words, size, colour=LIGHT.muted)

    def columns(self, lines: Sequence[ListLine]) -> None:
        """A list; a long one in two columns of smaller letters, down the first and then the second."""
        if len(lines) < LONG_LIST:
            self.lines(lines)
            return
        top, half, width = self.y, (len(lines) + 1) // 2, (INNER_PT - BETWEEN_PT) / 2
        self.lines(lines[:half], SMALL, width=width)
        lowest, self.y = self.y, top
        self.lines(lines[half:], SMALL, MARGIN_PT + width + BETWEEN_PT, width)
        self.y = max(self.y, lowest)
