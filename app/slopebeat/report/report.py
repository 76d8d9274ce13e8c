"""The report and the picture of a review in every format: what the window and the command call."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from slopebeat.model.language import tr
from slopebeat.model.notes import Note
from slopebeat.model.recording import local_day, title_of
from slopebeat.plots.colours import LIGHT
from slopebeat.report.formats import Formats, formats
from slopebeat.report.html import html
from slopebeat.report.outing_chart import outing_chart
from slopebeat.report.page import ListLine, Page, fitted_page, head_of, pages_of
from slopebeat.report.shapes import Rect, Scene
from slopebeat.report.sheet import A4_PT, BETWEEN_PT, BODY, INNER_PT, MARGIN_PT, SMALL, Measure, Sheet
from slopebeat.report.words import file_name
from slopebeat.review.outing import Review
from slopebeat.review.present.head import sport_words

WIDE_EM, NARROW_EM = 0.66, 0.36
"""Widths of letters in ems, on the wide side of common fonts [project choice], for HTML: which font a
reader's browser takes is not known here."""

LONGEST_TITLE = 50
"""Letters of a title in the name of a file; date and sport stand beside it [project choice]."""

_NARROW = frozenset("fijlrtI1 .,:;|!'()[]-·")


def rough_width(text: str, size: float, bold: bool = False) -> float:
    """About how wide a line is in points, whatever the font."""
    narrow = sum(char in _NARROW for char in text)
    return size * (NARROW_EM * narrow + WIDE_EM * (len(text) - narrow)) * (1.06 if bold else 1.0)


def suggested_name(review: Review, suffix: str) -> str:
    """A name for a file made of an outing: its local day, its title and what was done."""
    recording = review.recording
    day = local_day(recording.start_utc, recording.utc_offset_s)
    sport = sport_words(review).partition("(")[0]
    return file_name(f"{day} {title_of(recording)[:LONGEST_TITLE]} {sport}", suffix)


def outing_picture(review: Review, measure: Measure = rough_width) -> Scene:
    """The charts under title, date, band and the answer: a picture that can be read by itself."""
    head = head_of(review)
    sheet = Sheet(measure)
    sheet.text(head.title, 12.0, True)
    sheet.text(head.facts, BODY, colour=LIGHT.muted)
    sheet.text(head.aim, BODY, colour=LIGHT.muted)
    sheet.gap(4.0)
    sheet.text(head.headline, 11.0, True)
    sheet.text(head.detail, BODY)
    sheet.gap(8.0)
    chart = outing_chart(review)
    sheet.scene(chart)
    height = sheet.y + MARGIN_PT / 2
    ground = Rect(0, 0, A4_PT[0], height, LIGHT.panel)
    shapes = (ground, *sheet.shapes)
    return Scene(A4_PT[0], height, shapes, head.title, f"{head.headline} {chart.description}")


def page_on_a4(
    review: Review, notes: Iterable[Note] = (), warnings: Sequence[str] = (), measure: Measure = rough_width
) -> Page:
    """The fullest page of the review that fits on A4."""
    return fitted_page(pages_of(review, notes, warnings), lambda page: fits_on_a4(page, measure))


def html_report(review: Review, notes: Iterable[Note] = (), warnings: Sequence[str] = ()) -> str:
    """The report as the text of one HTML file."""
    return html(page_on_a4(review, notes, warnings))


def report_formats(review: Review, notes: Iterable[Note] = (), warnings: Sequence[str] = ()) -> Formats:
    """The report in every format."""
    told = review, tuple(notes), warnings
    return formats(
        lambda measure: [lay_out(page_on_a4(*told, measure), measure)[0]], lambda: html_report(*told)
    )


def picture_formats(review: Review) -> Formats:
    """The picture in every format; SVG is not laid out in the fonts of this machine."""
    from slopebeat.report.paint import text_width
    from slopebeat.report.pictures import png
    from slopebeat.report.svg import svg

    return {
        ".png": lambda: png(outing_picture(review, text_width)),
        ".svg": lambda: svg(outing_picture(review)),
    }


def a4_report(review: Review, notes: Iterable[Note] = (), warnings: Sequence[str] = ()) -> Scene:
    """The report as one A4 page in the fonts of this machine."""
    from slopebeat.report.paint import application, text_width

    application()
    return lay_out(page_on_a4(review, notes, warnings, text_width), text_width)[0]


def lay_out(page: Page, measure: Measure) -> tuple[Scene, float]:
    """The page on A4, and the height its content takes with the margins, in points."""
    sheet = Sheet(measure)
    _top(sheet, page)
    _pictures(sheet, page)
    sheet.table(page.decoupling)
    _stretches(sheet, page)
    _remarks(sheet, page)
    sheet.gap(4.0)
    sheet.foot(page.cautions, page.foot)
    return sheet.on_a4(page.title, page.headline), sheet.y + MARGIN_PT


def fits_on_a4(page: Page, measure: Measure) -> bool:
    """Whether nothing of the page reaches into the lower margin."""
    return lay_out(page, measure)[1] <= A4_PT[1]


def _top(sheet: Sheet, page: Page) -> None:
    sheet.text(page.title, 12.0, True)
    sheet.text(page.facts, BODY, colour=LIGHT.muted)
    sheet.text(page.aim, BODY, colour=LIGHT.muted)
    sheet.gap(6.0)
    sheet.text(page.headline, 13.0, True)
    sheet.text(page.detail, 8.0)
    sheet.text(page.why, BODY, colour=LIGHT.muted)
    sheet.gap(6.0)
    sheet.figures(page.figures)


def _pictures(sheet: Sheet, page: Page) -> None:
    for picture in page.pictures:
        sheet.picture(picture)
    if page.next_climbs:
        sheet.gap(5.0)
        sheet.lines([ListLine(tr("Climbs next time"), page.next_climbs)])


def _stretches(sheet: Sheet, page: Page) -> None:
    top, width = sheet.y, (INNER_PT - BETWEEN_PT) / 2
    sheet.table(page.climbs, width=INNER_PT if page.episodes is None else width)
    if page.episodes is not None:
        lowest, sheet.y = sheet.y, top
        sheet.table(page.episodes, x=MARGIN_PT + width + BETWEEN_PT, width=width)
        sheet.y = max(sheet.y, lowest)


def _remarks(sheet: Sheet, page: Page) -> None:
    if page.notes or page.notes_left_out:
        sheet.heading(tr("Notes"))
        sheet.columns(page.notes)
        sheet.text(page.notes_left_out, 6.0, colour=LIGHT.muted)
    if page.doubts:
        sheet.heading(tr("What to know about this recording"))
        for doubt in page.doubts:
            sheet.text(doubt, SMALL)
