"""Tables read back by other readers, and texts that would act in a spreadsheet."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers.recordings import recording
from slopebeat.model import measures
from slopebeat.model.bands import Band
from slopebeat.model.errors import UserError
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.people import Aim
from slopebeat.review.export import (
    climbs_csv,
    csv_text,
    episodes_csv,
    notes_csv,
    samples_csv,
    splits_csv,
    summary_text,
    table_text,
    write_csv_folder,
)
from slopebeat.review.outing import review_recording

T = np.arange(3600.0)
REVIEW = review_recording(
    recording(
        T,
        hr=lambda t: np.where(t > 1800, 145.0, 120.0) + t % 2,
        elevation=lambda t: 500.0 + 0.1 * t,
    ),
    Aim(Band(112, 131)),
)

texts = st.one_of(
    st.text(max_size=20),
    st.sampled_from(["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", " =1", "＝1", '"=1', "a,b\n=c"]),
)


@given(st.lists(st.lists(texts, min_size=2, max_size=2), max_size=5))
def test_no_text_cell_starts_like_a_formula_and_every_cell_comes_back(rows: list[list[str]]) -> None:
    back = list(csv.reader(io.StringIO(csv_text(["a", "b"], rows), newline="")))[1:]
    assert len(back) == len(rows)
    for cells, originals in zip(back, rows, strict=True):
        for cell, original in zip(cells, originals, strict=True):
            assert not cell.lstrip(" ").startswith(tuple("=+-@\t\r\n＝＋－＠"))
            kept = original.replace("\x00", " ")
            assert cell in (kept, f"'{kept}")


@given(st.floats(allow_nan=False, allow_infinity=False, width=32))
def test_numbers_stay_numbers(value: float) -> None:
    table = pd.read_csv(io.StringIO(csv_text(["value"], [[value], [float("nan")], [None], [1]])))
    assert pd.api.types.is_numeric_dtype(table["value"])
    assert table["value"][0] == pytest.approx(value, rel=1e-9, abs=1e-300)


def test_samples_come_back_through_another_reader() -> None:
    table = pd.read_csv(io.StringIO(samples_csv(REVIEW)))
    assert len(table) == T.size
    assert np.array_equal(table["time (s)"], T)
    assert np.array_equal(table["heart rate (bpm)"], REVIEW.recording.samples["hr_bpm"])
    assert table["recorded (s)"].sum() == pytest.approx(T[-1])
    assert REVIEW.account is not None
    inside = table.loc[table["band state"] == "in band", "recorded (s)"].sum()
    assert inside == pytest.approx(REVIEW.account.in_band_s)
    assert table["latitude (deg)"].isna().all()


def test_climbs_and_episodes_come_back_in_the_units_of_their_headers() -> None:
    climbs = pd.read_csv(io.StringIO(climbs_csv(REVIEW)))
    assert len(climbs) == len(REVIEW.climbs) >= 1
    assert climbs["gain (m)"][0] == pytest.approx(REVIEW.climbs[0].gain_m)
    assert climbs["mean grade (%)"][0] == pytest.approx(100 * climbs["gain (m)"][0] / climbs["length (m)"][0])
    episodes = pd.read_csv(io.StringIO(episodes_csv(REVIEW)))
    assert episodes["side"].tolist() == [episode.direction.value for episode in REVIEW.episodes]
    assert episodes["climb number"][0] == 1


def test_episodes_name_the_climb_they_lie_on_by_its_number() -> None:
    """Three climbs of 100 m, the heart rate over the band on the second and third only."""
    feet = (600.0, 2400.0, 4200.0)
    t = np.arange(6000.0)
    ground = 500.0 + sum(np.interp(t, [foot, foot + 900.0, foot + 1500.0], [0, 100, 0]) for foot in feet)
    over = sum(
        np.interp(t, [foot, foot + 300.0, foot + 900.0, foot + 1200.0], [0, 1, 1, 0]) for foot in feet[1:]
    )
    made = recording(t, hr=lambda _: 120.0 + 25.0 * over + t % 3, elevation=lambda _: ground)
    review = review_recording(made, Aim(Band(112, 131)))
    climbs = pd.read_csv(io.StringIO(climbs_csv(review))).set_index("number")
    episodes = pd.read_csv(io.StringIO(episodes_csv(review)))
    assert climbs.index.tolist() == [1, 2, 3]
    assert climbs["foot (s)"].tolist() == pytest.approx(feet, abs=40.0)
    assert episodes["climb number"].tolist() == [2, 3]


def test_notes_come_back_and_those_taken_back_do_not() -> None:
    note = new_note(NoteKind.EFFORT, Author.ATHLETE, '=HYPERLINK("x"),\nsecond line', value=3.0, start_s=60.0)
    gone = new_note(NoteKind.REMARK, Author.COACH, "gone")
    table = pd.read_csv(io.StringIO(notes_csv([note, gone.taken_back(gone.created_utc)])))
    assert table["value"].tolist() == [3.0]
    assert table["text"][0] == "'" + note.text


def test_a_folder_is_made_and_files_are_whole(tmp_path: Path) -> None:
    files = write_csv_folder(REVIEW, tmp_path / "new" / "folder")
    assert sorted(path.name for path in (tmp_path / "new" / "folder").iterdir()) == sorted(
        path.name for path in files
    )
    assert pd.read_csv(files[0]).columns[0] == "time (s)"
    (tmp_path / "file").write_text("")
    with pytest.raises(UserError, match="could not be written"):
        write_csv_folder(REVIEW, tmp_path / "file")


def test_the_clipboard_gets_words_and_tables_that_do_not_act() -> None:
    text = summary_text(REVIEW)
    assert "in band" in text
    assert "not medical advice" in text
    table = table_text(["a", "b"], [["−4.2", "=1+1"], ["5 %", "two\nlines"]])
    assert table == "a\tb\n-4.2\t'=1+1\n5 %\ttwo lines"


def test_splits_are_one_table_metric_whatever_is_on_screen() -> None:
    before = measures.system()
    measures.use_system(measures.System.IMPERIAL)
    try:
        table = pd.read_csv(io.StringIO(splits_csv(REVIEW)))
    finally:
        measures.use_system(before)
    steps = table[table["cut by"] == "ascent"]
    # 0.1 m a second for an hour: 360 m up are three steps of 100 m, each 1000 s long, and 60 m.
    assert steps["number"].tolist() == [1, 2, 3, 4]
    assert steps["recorded (s)"].tolist()[:3] == pytest.approx([1000.0] * 3, abs=40.0)
    assert steps["in band (%)"].tolist()[0] == pytest.approx(100.0)
    assert steps["in band (%)"].tolist()[2] == pytest.approx(0.0)
