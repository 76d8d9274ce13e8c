"""The library of a coach with six athletes, made for a few days here and for two years by hand."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import numpy as np
from generator.coach import FIRST_MONDAY, WEEKS, charges
from make_coach_library import make

from slopebeat.library.store import Library
from slopebeat.review.week.board import read_board


def test_six_athletes_over_two_years_have_what_a_coach_keeps_of_them() -> None:
    six = charges()
    assert len({each.person.role for each in six}) == len({each.person.seed for each in six}) == 6
    assert WEEKS == 104
    for each in six:
        days = [entry.from_day for entry in each.asked]
        assert days == sorted(days)
        assert days[0] == FIRST_MONDAY
        assert {spell.kind for spell in each.spells} == {"ILLNESS", "BLOCK", "CAMP"}
        assert all(spell.first_day <= spell.last_day for spell in each.spells)


def test_a_library_of_one_week_opens_and_its_board_holds_the_truth(tmp_path: Path) -> None:
    few = [each for each in charges(1) if each.person.role in ("lift hand", "ranger")]
    make(tmp_path / "coach.sqlite3", few, workers=1)
    with Library.open(tmp_path / "coach.sqlite3") as library:
        board = read_board(library, FIRST_MONDAY, FIRST_MONDAY + timedelta(days=7))
        assert [row.athlete.name for row in board.rows] == ["Lift hand", "Ranger"]
        for row in board.rows:
            (charge,) = [each for each in few if each.person.role.capitalize() == row.athlete.name]
            truth = [outing.truth()["seconds"] for outing in charge.outings()]
            in_band = sum(each["in_band"] for each in truth)  # type: ignore[index]
            assert row.week.outings == len(truth) > 0
            # Recorded every ten seconds with noise of a beat or two: within a tenth and three minutes.
            assert np.isclose(row.week.in_band_s, in_band, rtol=0.1, atol=180.0)
            assert row.week.iso == "2024-W27"
            assert row.week.prescription is not None
            assert "CAMP" in [phase.kind.name for phase in row.row.phases]
