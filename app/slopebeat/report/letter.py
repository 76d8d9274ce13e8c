"""The letter to an athlete on one page, in every format: PDF, HTML and plain text."""

from __future__ import annotations

from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.units import duration
from slopebeat.plots.colours import LIGHT
from slopebeat.report.formats import Formats, formats
from slopebeat.report.html import document, drawn_scene, foot_part, table_part, tag
from slopebeat.report.price_chart import price_chart
from slopebeat.report.shapes import Scene
from slopebeat.report.sheet import INNER_PT, Measure, Sheet
from slopebeat.report.story import library_foot
from slopebeat.report.tables import Table, table_lines, table_of
from slopebeat.review.present.figure import On
from slopebeat.review.present.price import PRICE_FIGURES
from slopebeat.review.price.athlete import Letter, letter_lines
from slopebeat.review.price.grounds import Price

SIZES = (9.6, 9.0, 8.4, 7.8, 7.2, 6.6, 6.0, 5.4)
"""Sizes of the text, points: the largest that fits on the page is taken [project choice]."""

TITLE = 15.0


def letter_formats(letter: Letter) -> Formats:
    """The letter in every format."""
    return formats(
        lambda measure: [letter_scene(letter, measure)],
        lambda: letter_html(letter),
        lambda: letter_text(letter),
    )


def letter_scene(letter: Letter, measure: Measure) -> Scene:
    """The letter on A4: the text as large as it fits; UserError where it is too long for one page."""
    for size in SIZES:
        sheet = _laid_out(letter, measure, size)
        if sheet.fits:
            return sheet.on_a4(letter.title, letter.facts)
    raise UserError(tr("The letter is too long for one page; shorten its text."))


def letter_html(letter: Letter) -> str:
    """The letter as the text of one HTML file."""
    parts = [
        tag("h1", letter.title),
        tag("p", letter.facts, "muted"),
        *(f"<p>&nbsp;</p>{tag('p', line, 'detail')}" for line in letter_lines(letter.text)),
    ]
    if letter.price.rows:
        parts += [table_part(price_table(letter.price)), drawn_scene(price_chart(letter.price))]
    return document(letter.title, [*parts, *foot_part(letter.cautions, library_foot())])


def letter_text(letter: Letter) -> str:
    """The letter as plain text, as it goes into a message."""
    lines = [letter.title, letter.facts, ""]
    for line in letter_lines(letter.text):
        lines += [line, ""]
    if letter.price.rows:
        lines += [*table_lines(price_table(letter.price)), ""]
    return "\n".join([*lines, *letter.cautions, library_foot(), ""])


def price_table(price: Price) -> Table:
    """The table of the letter."""
    title = tr("Time on the clock for {target} in band").format(target=duration(price.target_s))
    return table_of(title, PRICE_FIGURES, price.rows, On.REPORT)


def _laid_out(letter: Letter, measure: Measure, size: float) -> Sheet:
    sheet = Sheet(measure)
    sheet.text(letter.title, TITLE, True)
    sheet.text(letter.facts, 8.0, colour=LIGHT.muted)
    sheet.gap(8.0)
    for line in letter_lines(letter.text):
        sheet.text(line, size)
        sheet.gap(0.7 * size)
    if letter.price.rows:
        sheet.table(price_table(letter.price))
        sheet.gap(10.0)
        sheet.scene(price_chart(letter.price, INNER_PT))
    sheet.gap(6.0)
    sheet.foot(letter.cautions, library_foot(), 6.5)
    return sheet
