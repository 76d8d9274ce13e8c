"""The report of a day in parts: the whole on a page of its own, and after it a page of each part."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from slopebeat import __version__
from slopebeat.disk.writing import write_whole
from slopebeat.model.language import tr
from slopebeat.plots.colours import LIGHT
from slopebeat.report.bars import parts_bar
from slopebeat.report.day_chart import drift_chart
from slopebeat.report.html import document, foot_part, page_parts, picture_part, table_part, tag
from slopebeat.report.page import fitted_page, pages_of
from slopebeat.report.report import a4_report, rough_width
from slopebeat.report.shapes import Rect, Scene
from slopebeat.report.sheet import A4_PT, BODY, Measure, Sheet, fits_on_a4
from slopebeat.report.tables import ReportColumn, Table
from slopebeat.review.cautions import cautions
from slopebeat.review.day.day import Day
from slopebeat.review.day.rows import PART_FIGURES, day_parts_of, part_rows
from slopebeat.review.day.words import day_answer, day_span, day_sums, day_title, drift_sentences
from slopebeat.review.present.figure import On, shown_on


def write_day_html(day: Day, path: Path, warnings: Sequence[str] = ()) -> None:
    """Write the report as one HTML file; UserError with a sentence when that fails."""
    write_whole(path, day_html(day, warnings).encode("utf-8"))


def write_day_pdf(day: Day, path: Path, warnings: Sequence[str] = ()) -> None:
    """Write the report as a PDF of one page and one more for each part; UserError when that fails."""
    from slopebeat.report import pictures
    from slopebeat.report.paint import application, text_width

    application()
    pages = [a4_report(part, notes) for part, notes in zip(day.parts, day.notes, strict=True)]
    write_whole(path, pictures.pdf(day_scene(day, text_width, warnings), *pages))


def day_html(day: Day, warnings: Sequence[str] = ()) -> str:
    """The report as the text of one HTML file."""
    headline, *detail = day_answer(day)
    bar = parts_bar(day_parts_of(day)) if day.account is not None else None
    parts = [
        tag("h1", day_title(day)),
        tag("p", day_span(day), "muted"),
        tag("p", headline, "answer"),
        tag("p", " ".join(detail), "detail"),
        *([] if bar is None else [tag("h2", _account_title(day)), picture_part(bar)]),
        table_part(part_table(day)),
        tag("h2", tr("Drift over the day")),
        *(tag("p", each) for each in drift_sentences(day.drift)),
        *([picture_part(drift_chart(day))] if day.drift.points.hours.size else []),
        *(tag("p", each, "small") for each in warnings),
        *foot_part(cautions(), _foot()),
    ]
    for number, (part, notes) in enumerate(zip(day.parts, day.notes, strict=True), 1):
        page = fitted_page(pages_of(part, notes), lambda made: fits_on_a4(made, rough_width))
        parts += [tag("h2", _part_title(number, day)), *page_parts(page)]
    return document(day_title(day), parts)


def day_scene(day: Day, measure: Measure, warnings: Sequence[str] = ()) -> Scene:
    """The whole of the day on A4."""
    headline, *detail = day_answer(day)
    sheet = Sheet(measure)
    muted = sheet.colours.muted
    sheet.shapes.append(Rect(0, 0, *A4_PT, LIGHT.panel))
    sheet.text(day_title(day), 12.0, True)
    sheet.text(day_span(day), BODY, colour=muted)
    sheet.gap(6.0)
    sheet.text(headline, 13.0, True)
    sheet.text(" ".join(detail), 8.0)
    if day.account is not None:
        sheet.heading(_account_title(day))
        sheet.scene(parts_bar(day_parts_of(day)))
    sheet.table(part_table(day))
    sheet.heading(tr("Drift over the day"))
    for sentence in drift_sentences(day.drift):
        sheet.text(sentence)
    if day.drift.points.hours.size:
        sheet.gap(6.0)
        sheet.scene(drift_chart(day))
    for warning in warnings:
        sheet.text(warning, 6.5)
    sheet.gap(8.0)
    sheet.text(" ".join(cautions()), 6.0, colour=muted)
    sheet.text(_foot(), 6.0, colour=muted)
    return Scene(*A4_PT, tuple(sheet.shapes), day_title(day), headline)


def part_table(day: Day) -> Table:
    """The parts of the day."""
    shown = shown_on(On.REPORT, PART_FIGURES)
    rows = tuple(tuple(each.text_of(i, row) for each in shown) for i, row in enumerate(part_rows(day)))
    columns = tuple(ReportColumn(each.header, not each.kind.words) for each in shown)
    return Table(tr("Parts"), columns, rows)


def _account_title(day: Day) -> str:
    return tr("Where the time went: {sums}").format(sums=day_sums(day))


def _part_title(number: int, day: Day) -> str:
    return tr("Part {n} of {all}").format(n=number, all=len(day.parts))


def _foot() -> str:
    return tr("Slopebeat {version}, from the recordings of one day.").format(version=__version__)
