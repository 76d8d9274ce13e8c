"""A report of any length: sections, tables and pictures one below the other, as PDF, HTML or plain text."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from operator import methodcaller

from slopebeat import __version__
from slopebeat.model.language import tr
from slopebeat.plots.colours import LIGHT
from slopebeat.report.formats import Formats, formats
from slopebeat.report.html import document, foot_part, picture_parts, table_part, tag
from slopebeat.report.shapes import Anchor, Picture, Scene, Text
from slopebeat.report.sheet import A4_PT, BODY, MARGIN_PT, SMALL, Measure, Sheet
from slopebeat.report.tables import Table, table_lines

TITLE = 13.0
NUMBER_PT = 18.0
"""Of the number of a page over the edge of the paper."""


@dataclass(frozen=True)
class Section:
    """Sentences under a heading; without one they go on from what stands before."""

    title: str
    sentences: tuple[str, ...]


Part = Section | Picture | Table


def library_foot() -> str:
    """Where what is told of a library comes from."""
    return tr("Slopebeat {version}, from the outings in the library.").format(version=__version__)


@dataclass(frozen=True, eq=False)
class Story:
    """What a report says, in the order it is read.

    ``facts`` stand under the title, ``answer`` and its ``detail`` large under these; ``foot`` says what it is
    made from.
    """

    title: str
    facts: str
    parts: tuple[Part, ...]
    cautions: tuple[str, ...]
    answer: str = ""
    detail: str = ""
    foot: str = field(default_factory=library_foot)


def story_formats(story: Callable[[], Story]) -> Formats:
    """The report in every format; ``story`` is called when one is made."""
    return formats(
        lambda measure: story_pages(story(), measure),
        lambda: story_html(story()),
        lambda: story_text(story()),
    )


def story_html(story: Story, after: Sequence[str] = ()) -> str:
    """The report as the text of one HTML file; ``after`` it may stand more."""
    parts = [tag("h1", story.title), tag("p", story.facts, "muted")]
    parts += [tag("p", story.answer, "answer"), tag("p", story.detail, "detail")]
    for part in story.parts:
        if isinstance(part, Table):
            parts.append(table_part(part))
        elif isinstance(part, Picture):
            parts += picture_parts(part)
        else:
            parts += [tag("h2", part.title), *(tag("p", each) for each in part.sentences)]
    return document(story.title, [*parts, *foot_part(story.cautions, story.foot), *after])


def story_text(story: Story) -> str:
    """The report as plain text; pictures are said by their description."""
    lines = [story.title, story.facts, "", *(each for each in (story.answer, story.detail) if each)]
    for part in story.parts:
        if isinstance(part, Table):
            lines += table_lines(part)
        else:
            said = (part.scene.description,) if isinstance(part, Picture) else part.sentences
            lines += [*([part.title] if part.title else []), *(each for each in said if each)]
        lines.append("")
    return "\n".join([*lines, *story.cautions, story.foot, ""])


def story_pages(story: Story, measure: Measure) -> tuple[Scene, ...]:
    """The report on sheets of A4: what does not fit on one goes on with the next."""
    paper = _Paper(measure)
    paper.put(lambda sheet: sheet.text(story.title, TITLE, True))
    paper.put(lambda sheet: sheet.text(story.facts, BODY, colour=LIGHT.muted))
    if story.answer:
        paper.put(partial(_answer, story))
    for part in story.parts:
        if isinstance(part, Table):
            paper.put_table(part)
        elif isinstance(part, Picture):
            paper.put(methodcaller("picture", part))
        else:
            paper.put_section(part)
    paper.put(partial(_foot, story))
    return paper.scenes(story.title, story.facts)


def _answer(story: Story, sheet: Sheet) -> None:
    sheet.gap(6.0)
    sheet.text(story.answer, TITLE, True)
    sheet.text(story.detail, 8.0)


def _foot(story: Story, sheet: Sheet) -> None:
    sheet.gap(6.0)
    sheet.foot(story.cautions, story.foot)


class _Paper:
    """Sheets being filled one after the other."""

    def __init__(self, measure: Measure) -> None:
        self._measure = measure
        self._sheets = [Sheet(measure)]

    def put(self, draw: Callable[[Sheet], None]) -> None:
        """Draw where there is room: on the sheet at hand, else on another."""
        if not self._drawn(draw):
            self._sheets.append(Sheet(self._measure))
            # What fits on no sheet runs over the edge of its own.
            draw(self._sheets[-1])

    def _drawn(self, draw: Callable[[Sheet], None]) -> bool:
        """Draw on the sheet at hand if it fits there; whether it did."""
        sheet = self._sheets[-1]
        tried = Sheet(self._measure, y=sheet.y)
        draw(tried)
        if tried.fits:
            sheet.shapes += tried.shapes
            sheet.y = tried.y
        return tried.fits

    def put_section(self, part: Section) -> None:
        """Sentence by sentence; the heading stays with the first."""
        first, *rest = part.sentences or ("",)

        def begin(sheet: Sheet) -> None:
            if part.title:
                sheet.heading(part.title)
            sheet.text(first, BODY)

        self.put(begin)
        for sentence in rest:
            self.put(methodcaller("text", sentence, BODY))

    def put_table(self, table: Table) -> None:
        """As many rows as fit on the sheet, the rest under the same headers on the next."""
        rest = table.rows
        while True:
            count = self._rows_that_fit(table, rest)
            whole = count == len(rest)
            part = replace(table, rows=rest[:count], foot=table.foot if whole else "")
            if count or whole:
                self.put(methodcaller("table", part))
            if whole:
                return
            rest = rest[count:]
            self._sheets.append(Sheet(self._measure))

    def _rows_that_fit(self, table: Table, rows: Sequence[tuple[str, ...]]) -> int:
        """None on a sheet that is full; on an empty one at least one."""
        low, high = 0, len(rows)
        while low < high:
            middle = (low + high + 1) // 2
            tried = Sheet(self._measure, y=self._sheets[-1].y)
            tried.table(replace(table, rows=tuple(rows[:middle])))
            low, high = (middle, high) if tried.fits else (low, middle - 1)
        return max(low, 1) if rows and not self._sheets[-1].shapes else low

    def scenes(self, title: str, description: str) -> tuple[Scene, ...]:
        count = len(self._sheets)
        for number, sheet in enumerate(self._sheets, 1):
            words = tr("Page {n} of {all}").format(n=number, all=count)
            place = (A4_PT[0] - MARGIN_PT, A4_PT[1] - NUMBER_PT)
            if count > 1:
                sheet.shapes.append(Text(*place, words, SMALL, LIGHT.muted, Anchor.END))
        return tuple(sheet.on_a4(title, description) for sheet in self._sheets)
