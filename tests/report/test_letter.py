"""The letter to an athlete: every format says the same, on one page, whatever a coach types."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from helpers.outings import an_outing
from helpers.pasts import past
from slopebeat.model.bands import Band
from slopebeat.model.errors import UserError
from slopebeat.model.people import Athlete, BandPeriod, Ground, Prescription
from slopebeat.report.formats import write_as
from slopebeat.report.letter import letter_formats, letter_html, letter_scene, letter_text
from slopebeat.report.paint import application, text_width
from slopebeat.report.shapes import Text
from slopebeat.report.sheet import A4_PT
from slopebeat.review.price.athlete import Letter, WeekSoFar, letter_of, plan_week, suggested_text

DAY = date(2026, 7, 31)
ATHLETE = Athlete("a", "Hut warden", sessions_per_week=3, minutes_per_week=135)
THREE = Prescription("a", date(2026, 1, 1), 135.0, 3)
PERIODS = (BandPeriod("a", Ground.BIKE, date(2026, 1, 1), Band(112, 132)),)


@pytest.fixture(scope="module")
def letter() -> Letter:
    application()
    one = an_outing(0.0, 140.0, np.random.default_rng(1))
    pasts = [past(122.0, 7.0 + 7.0 * (i % 2), i, variation=0.3 + 0.4 * (i % 2)) for i in range(12)]
    taught = [replace(one, kind="ride", sport="cycling", past=p, start_utc=p.start_utc) for p in pasts]
    week = plan_week(taught, PERIODS, 54 * 60.0, THREE, DAY)
    so_far = WeekSoFar(81 * 60.0, 135 * 60.0, 54 * 60.0)
    return letter_of(ATHLETE, DAY, suggested_text(THREE, so_far, week, week.price), week.price)


def words_of(letter: Letter) -> str:
    return " ".join(s.text for s in letter_scene(letter, text_width).shapes if isinstance(s, Text))


def test_all_formats_say_the_same_text_table_and_cautions(letter: Letter) -> None:
    drawn = words_of(letter).replace("\u00a0", " ")
    marked = html.unescape(re.sub(r"<[^>]+>", " ", letter_html(letter))).replace("\u00a0", " ")
    plain = letter_text(letter)
    for said in (
        "For Hut warden",
        "This week so far: 1 h 21 min in band of 2 h 15 min. 54 min missing: about",
        "Next week: 2 h 15 min in band in 3 sessions of 45 min.",
        "Riding 112-132 bpm",
        "On uneven ground the same minutes take longer",
        "stop and go",
        "not medical advice",
    ):
        for text in (drawn, marked, plain):
            assert said in re.sub(r"\s+", " ", text), said


def test_everything_lies_on_one_page_and_a_long_text_makes_it_smaller(letter: Letter) -> None:
    long = replace(letter, text=letter.text + "\n\n" + "Up the hut path and back by the road. " * 130)
    for each in (letter, long):
        scene = letter_scene(each, text_width)
        assert (scene.width, scene.height) == A4_PT
        assert all(shape.y < A4_PT[1] for shape in scene.shapes if isinstance(shape, Text))
    short, small = (letter_scene(each, text_width).shapes for each in (letter, long))
    sizes = [
        [s.size for s in shapes if isinstance(s, Text) and "This week" in s.text] for shapes in (short, small)
    ]
    assert sizes[1] < sizes[0]


def test_a_text_no_page_holds_is_refused_in_a_sentence(letter: Letter, tmp_path: Path) -> None:
    endless = replace(letter, text="Up the hut path and back by the road. " * 600)
    with pytest.raises(UserError, match="too long for one page"):
        write_as(letter_formats(endless), tmp_path / "letter.pdf")
    assert not list(tmp_path.iterdir())


def test_what_a_coach_types_cannot_open_a_tag(letter: Letter) -> None:
    hostile = replace(letter, text="<script>alert(1)</script> & <b>more</b>")
    assert "<script>" not in letter_html(hostile)
    assert "&lt;script&gt;" in letter_html(hostile)


def test_files_are_what_their_names_end_in_and_another_ending_is_refused(
    letter: Letter, tmp_path: Path
) -> None:
    for ending, head in ((".pdf", b"%PDF"), (".html", b"<!DOCTYPE html>"), (".txt", b"For Hut warden")):
        write_as(letter_formats(letter), tmp_path / f"letter{ending}")
        assert (tmp_path / f"letter{ending}").read_bytes().startswith(head)
    with pytest.raises(UserError, match=r"\.pdf or \.html or \.txt"):
        write_as(letter_formats(letter), tmp_path / "letter.doc")


def test_a_sport_off_the_band_is_told_once_and_an_empty_week_in_minutes() -> None:
    one = an_outing(0.0, 140.0, np.random.default_rng(1))
    pasts = [past(165.0, 9.0, i) for i in range(6)]
    taught = [replace(one, kind="ride", sport="cycling", past=p, start_utc=p.start_utc) for p in pasts]
    so_far = WeekSoFar(0.0, 135 * 60.0, 135 * 60.0)
    week = plan_week(taught, PERIODS, 135 * 60.0, THREE, DAY)
    text = suggested_text(THREE, so_far, week, week.price)
    assert text.count("no length helps, go slower") == 1
    assert text.startswith("This week so far: 0 min in band of 2 h 15 min. 2 h 15 min missing")
    nothing = plan_week(taught, PERIODS, 0.0, THREE, DAY)
    assert suggested_text(THREE, so_far, nothing, nothing.price).count("no length helps") == 1
