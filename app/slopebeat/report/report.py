"""The report of a review in every format: what the window and the command call."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from slopebeat.disk.writing import write_whole
from slopebeat.model.notes import Note
from slopebeat.report.html import html
from slopebeat.report.page import fitted_page, pages_of
from slopebeat.report.shapes import Scene
from slopebeat.report.sheet import fits_on_a4, lay_out
from slopebeat.review.outing import Review

WIDE_EM, NARROW_EM = 0.66, 0.36
"""Widths of letters in ems, on the wide side of common fonts [project choice], for HTML: which font a
reader's browser takes is not known here."""

_NARROW = frozenset("fijlrtI1 .,:;|!'()[]-·")


def rough_width(text: str, size: float, bold: bool = False) -> float:
    """About how wide a line is in points, whatever the font."""
    narrow = sum(char in _NARROW for char in text)
    return size * (NARROW_EM * narrow + WIDE_EM * (len(text) - narrow)) * (1.06 if bold else 1.0)


def html_report(review: Review, notes: Iterable[Note] = (), warnings: Sequence[str] = ()) -> str:
    """The report as the text of one HTML file."""
    pages = pages_of(review, notes, warnings)
    return html(fitted_page(pages, lambda page: fits_on_a4(page, rough_width)))


def write_html(review: Review, path: Path, notes: Iterable[Note] = (), warnings: Sequence[str] = ()) -> None:
    """Write the report as an HTML file; UserError with a sentence when that fails."""
    write_whole(path, html_report(review, notes, warnings).encode("utf-8"))


def a4_report(review: Review, notes: Iterable[Note] = (), warnings: Sequence[str] = ()) -> Scene:
    """The report as one A4 page in the fonts of this machine."""
    from slopebeat.report.paint import text_width
    from slopebeat.report.qt import application

    application()
    pages = pages_of(review, notes, warnings)
    return lay_out(fitted_page(pages, lambda page: fits_on_a4(page, text_width)), text_width)[0]


def write_pdf(review: Review, path: Path, notes: Iterable[Note] = (), warnings: Sequence[str] = ()) -> None:
    """Write the report as a PDF of one A4 page; UserError with a sentence when that fails."""
    from slopebeat.report import pdf

    pdf.write_pdf(a4_report(review, notes, warnings), path)
