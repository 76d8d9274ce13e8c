"""The report is one A4 page whatever is in it, and says what the review says."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from helpers.recordings import recording
from slopebeat.analysis.response.fit import FitStatus
from slopebeat.model.bands import Band
from slopebeat.model.errors import UserError
from slopebeat.model.notes import Author, Note, NoteKind, new_note
from slopebeat.model.people import Aim
from slopebeat.model.recording import Sport
from slopebeat.report.formats import write_as
from slopebeat.report.html import html
from slopebeat.report.page import LADDER, pages_of
from slopebeat.report.paint import text_width
from slopebeat.report.pictures import png
from slopebeat.report.report import (
    a4_report,
    fits_on_a4,
    html_report,
    lay_out,
    outing_picture,
    report_formats,
    rough_width,
    suggested_name,
)
from slopebeat.report.shapes import Scene, Text
from slopebeat.report.sheet import A4_PT, MARGIN_PT, Measure, wrapped
from slopebeat.report.svg import svg
from slopebeat.report.words import markup
from slopebeat.review.answer import answer, why
from slopebeat.review.cautions import CAUTIONS
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.present.held import held_sentence

T = np.arange(30_000.0)
NOTES: list[Note] = [
    new_note(NoteKind.REMARK, Author.COACH, "A long remark on everything. " * 40, start_s=60.0 * i)
    for i in range(40)
]
WARNINGS = tuple("A long sentence of warning that goes on and on. " * 10 for _ in range(20))


@pytest.fixture(scope="module")
def busy() -> Review:
    """Eight hours with a climb every half an hour and hundreds of episodes."""
    made = recording(
        T,
        hr=lambda t: 120.0 + 25.0 * np.sin(t / 60.0) + t / 3000.0,
        elevation=lambda t: 900.0 + 60.0 * np.sin(t / 250.0),
    )
    return review_recording(made, Aim(Band(112, 131), load_kg=20.0, load_until_s=9000.0))


@pytest.fixture(scope="module")
def crowded(busy: Review) -> Review:
    """The same, with the longest names there can be."""
    named = replace(busy.recording, title="W" * 300, device="W" * 90, file_name="W" * 99)
    return replace(busy, recording=named)


@pytest.fixture(scope="module")
def crowded_page(qapp: QApplication, crowded: Review) -> Scene:
    """The page of it, laid out once."""
    return a4_report(crowded, NOTES, WARNINGS)


def words(scene: Scene) -> str:
    return " ".join(shape.text for shape in scene.shapes if isinstance(shape, Text)).replace("\u00a0", " ")


@pytest.mark.parametrize("measure", [text_width, rough_width])
def test_the_fullest_review_still_fits_on_one_page(measure: Measure, crowded: Review) -> None:
    pages = pages_of(crowded, NOTES, WARNINGS)
    assert not fits_on_a4(pages(LADDER[0]), measure)
    assert fits_on_a4(pages(LADDER[-1]), measure)


def test_nothing_on_the_page_lies_outside_its_margins(crowded_page: Scene) -> None:
    for shape in crowded_page.shapes:
        if isinstance(shape, Text):
            assert MARGIN_PT - 1 <= shape.y <= A4_PT[1] - MARGIN_PT + 1
            if shape.anchor.value == "start":
                width = text_width(shape.text, shape.size, shape.bold)
                assert shape.x + width <= A4_PT[0] - MARGIN_PT + 6, shape.text


def test_what_does_not_fit_is_counted(crowded_page: Scene) -> None:
    text = words(crowded_page)
    assert re.search(r"\d+ more notes are not shown", text)
    assert re.search(r"\d+ smaller episodes not shown", text)
    assert re.search(r"\d+ more remarks are not shown", text)


@pytest.mark.parametrize("at", range(len(LADDER)))
def test_no_note_is_dropped_or_cut_without_a_word(at: int, crowded: Review) -> None:
    page = pages_of(crowded, NOTES, WARNINGS)(LADDER[at])
    shown, longest = min(LADDER[at].notes, len(NOTES)), LADDER[at].longest
    dropped, cut = len(NOTES) - shown, shown if len(NOTES[0].text.strip()) > longest else 0
    assert ("more note" in page.notes_left_out) == (dropped > 0)
    assert not dropped or page.notes_left_out.startswith(f"{dropped} more note")
    assert sum(line.text.endswith("…") for line in page.notes) == cut
    assert not cut or re.search(rf"\b{cut} notes? (is|are) cut short", page.notes_left_out)
    assert ("CSV" in page.notes_left_out) == bool(dropped or cut)


def test_where_no_note_has_room_their_number_is_still_said(crowded: Review) -> None:
    none = replace(LADDER[-1], notes=0)
    page = pages_of(crowded, NOTES, WARNINGS)(none)
    assert page.notes == ()
    assert "40 more notes are not shown" in words(lay_out(page, text_width)[0])
    assert "40 more notes are not shown" in html(page)


def test_the_page_and_the_file_say_what_the_review_says(review: Review) -> None:
    note = new_note(NoteKind.REMARK, Author.COACH, "Hold back on the first climb")
    page = words(a4_report(review, [note], ("Said from outside.",)))
    file = html_report(review, [note], ("Said from outside.",)).replace("\u00a0", " ")
    expected = [answer(review).partition(". ")[0], note.text, "Said from outside.", CAUTIONS[0]]
    for text in (*expected, "Decoupling", "terrain-fair", "Climbs", "Out of band", "climb too fast"):
        assert text in page, text
        assert text in file, text
    assert why(review) in file


def test_a_row_that_is_undecided_gives_no_figure_at_the_top_but_its_interval(review: Review) -> None:
    fair = replace(review.terrain_fair, status=FitStatus.UNDECIDED, percent=2.7, interval_percent=(-3.1, 8.5))
    found = a4_report(replace(review, terrain_fair=fair))
    large = [shape.text for shape in found.shapes if isinstance(shape, Text) and shape.size > 9.0]
    assert "undecided" in large
    assert not any("2.7" in text for text in large)
    assert "95 %: −3.1 to 8.5" in words(found)


def test_without_a_band_the_report_asks_for_one(without_band: Review) -> None:
    text = words(a4_report(without_band))
    assert "Set a band to see what counted." in text
    assert "Out of band" not in text
    assert "Set a band to see what counted." in html_report(without_band)


def test_a_recording_without_heart_rate_gets_a_report() -> None:
    deaf = review_recording(recording(np.arange(1800.0), hr=float("nan")), Aim(Band(112, 131)))
    assert "Without heart rate" in words(a4_report(deaf))
    assert "Not known without heart rate." in html_report(deaf)


@pytest.mark.parametrize("length", [1, 2, 3])
def test_the_shortest_recordings_get_a_report(length: int, tmp_path: Path) -> None:
    short = review_recording(recording(np.arange(float(length))), Aim(Band(112, 131)))
    write_as(report_formats(short), tmp_path / "short.pdf")
    assert "<svg" in html_report(short)


def test_the_pdf_is_one_a4_page_of_text_and_lines(review: Review, tmp_path: Path) -> None:
    path = tmp_path / "report.pdf"
    write_as(report_formats(review), path)
    data = path.read_bytes()
    assert data.startswith(b"%PDF-")
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", data)) == 1
    box = re.search(rb"/MediaBox \[([\d. ]+)\]", data)
    assert box is not None
    assert [float(n) for n in box[1].split()] == pytest.approx([0, 0, *A4_PT], abs=1.5)
    assert b"/Subtype /Image" not in data
    assert b"/FontFile" in data, "letters stay letters"


def test_pictures_are_written_in_both_formats(review: Review, tmp_path: Path) -> None:
    scene = a4_report(review)
    (tmp_path / "page.png").write_bytes(png(scene, dpi=100.0))
    made = QImage(str(tmp_path / "page.png"))
    assert (made.width(), made.height()) == (round(A4_PT[0] / 0.72), round(A4_PT[1] / 0.72))
    assert ElementTree.fromstring(svg(scene)).tag.endswith("svg")


def test_a_place_that_cannot_be_written_is_a_sentence(review: Review, tmp_path: Path) -> None:
    for ending in (".pdf", ".html"):
        with pytest.raises(UserError, match=r"could not be written.*\.$"):
            write_as(report_formats(review), tmp_path / "none" / "report", ending)
        with pytest.raises(UserError, match="folder"):
            write_as(report_formats(review), tmp_path, ending)
    assert list(tmp_path.iterdir()) == []


def test_lines_are_wrapped_and_long_words_broken(busy: Review) -> None:
    def measure(text: str, size: float, bold: bool) -> float:
        return float(len(text))

    assert wrapped("one two three", 7.0, 1.0, False, measure) == ["one two", "three"]
    assert wrapped("abcdefghij k", 4.0, 1.0, False, measure) == ["abcd", "efgh", "ij k"]
    assert wrapped("a\nb", 4.0, 1.0, False, measure) == ["a", "b"]
    assert lay_out(pages_of(busy)(LADDER[-1]), rough_width)[1] > 0


def test_all_notes_stand_on_the_page_whole_while_there_is_room(review: Review) -> None:
    said = [f"Remark {i} in whole words to its very end{i}." for i in range(12)]
    notes = [new_note(NoteKind.REMARK, Author.COACH, text, start_s=60.0 * i) for i, text in enumerate(said)]
    found = words(a4_report(review, notes))
    assert all(f"end{i}." in found for i in range(12))
    assert "not shown" not in found.partition("Notes")[2].partition("What to know")[0]


def test_the_page_says_how_to_go_the_climbs_next_time(review: Review, without_band: Review) -> None:
    assert held_sentence(review)[:40] in words(a4_report(review))
    assert markup(held_sentence(review)) in html_report(review)
    assert "Climbs next time" not in words(a4_report(without_band))


def test_a_picture_can_be_read_by_itself(review: Review) -> None:
    found = words(outing_picture(review))
    for text in (review.recording.start_text, "112-131", answer(review).partition(". ")[0], "Speed, km/h"):
        assert text in found


def test_names_of_files_are_made_of_day_title_and_sport(review: Review) -> None:
    named = replace(review.recording, title="Über den Grat / zurück: 2. Teil", sport=Sport.HIKING)
    told = suggested_name(replace(review, recording=named), ".pdf")
    assert told == f"{named.start_utc:%Y-%m-%d}_Über_den_Grat_zurück_2_Teil_hiking.pdf"
    assert len(suggested_name(replace(review, recording=replace(named, title="x" * 300)), ".svg")) < 90
