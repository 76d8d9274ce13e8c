"""Months add up to weeks, series and verdicts that follow from the outings put in."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from helpers.outings import an_outing
from helpers.summaries import asked, outing
from slopebeat.analysis.months.choice import Choice, Terrain
from slopebeat.model import measures
from slopebeat.model.evidence import OutingSummary
from slopebeat.model.people import Athlete, Ground
from slopebeat.review.months.changes import DECOUPLING, LEVEL, SPEED, YIELD, LeftOut, left_out_of
from slopebeat.review.months.months import ChosenEvidence, review_months, weeks_sentence
from slopebeat.review.months.values import months_values

START = datetime(2026, 1, 5, 8, tzinfo=UTC)


def outings(count: int = 24, **figures: object) -> list[OutingSummary]:
    """One hike a week; decoupling 9 -> 0, mid-band speed 1.3 -> 1.6 m/s, with some scatter."""
    rng = np.random.default_rng(1)
    share = np.linspace(0.0, 1.0, count)
    rows = []
    for i in range(count):
        fair = 9.0 * (1.0 - share[i]) + rng.normal(0.0, 1.0)
        values = {
            "start_utc": START + timedelta(weeks=i),
            "terrain_fair_percent": fair,
            "terrain_fair_low": fair - 2.0,
            "terrain_fair_high": fair + 2.0,
            "mid_band_speed_mps": 1.3 + 0.3 * share[i] + rng.normal(0.0, 0.02),
            "yield_share": 0.5 + rng.normal(0.0, 0.1),
        }
        rows.append(outing(**(values | figures)))
    return rows


def test_series_hold_the_figures_of_the_outings_in_order_of_time() -> None:
    found = review_months(reversed(outings()), asked(120, 2))
    fair = found.find(DECOUPLING, Ground.FOOT)
    assert fair is not None
    assert np.array_equal(fair.week, np.arange(24.0))
    assert [found.outings[i].terrain_fair_percent for i in fair.outing] == fair.value.tolist()
    assert np.allclose(fair.high - fair.low, 4.0)
    assert fair.change is None
    assert found.changes == ()


def test_what_outings_teach_says_what_changed_and_names_what_is_left_out() -> None:
    rows = outings(20)
    rng = np.random.default_rng(2)
    taught = [an_outing(i, 150.0 - i, rng, start_utc=row.start_utc) for i, row in enumerate(rows)]
    teaching = {
        id(row): ChosenEvidence(each, chosen=i != 4)
        for i, (row, each) in enumerate(zip(rows, taught, strict=True))
    }
    found = review_months(rows, teaching=teaching)
    level = found.find(LEVEL, Ground.FOOT)
    assert level is not None
    assert level.value.size == 19
    assert level.line is not None
    assert level.line[1][0] > level.line[1][1] + 10.0
    assert any("lower than at the start" in text and "would show" in text for text in found.sentences)
    (group,) = found.changes
    by_hand = LeftOut(", 2026-02-02", "left out by hand", index=4, by_hand=True)
    assert left_out_of(group, found.outings)[0] == by_hand
    values = months_values(Athlete("a", "Hut warden"), found)
    lasting = values["changes"][0]
    assert (lasting["figure"], lasting["question"], lasting["outings"]) == ("level", "lasting", 19)
    assert lasting["low"] < lasting["change"] < lasting["high"] < 0.0 < lasting["detectable"]
    assert lasting["left_out"][0]["reason"] == "left out by hand"


def test_the_parts_of_a_day_are_one_observation_of_a_change() -> None:
    """A day recorded in two says no more of the heart than in one: not one figure of the change may move."""
    rows = outings(20)
    rng = np.random.default_rng(2)
    taught = [an_outing(i, 150.0 - i, rng, start_utc=row.start_utc) for i, row in enumerate(rows)]
    teaching = {id(row): ChosenEvidence(each) for row, each in zip(rows, taught, strict=True)}
    alone = review_months(rows, teaching=teaching)
    parts = [replace(row, day=f"{i}") for i, row in enumerate(rows)]
    short = [replace(row, start_utc=row.start_utc + timedelta(hours=3)) for row in parts]
    in_parts = {id(row): ChosenEvidence(each) for row, each in zip(parts, taught, strict=True)}
    in_parts |= {
        id(row): ChosenEvidence(replace(each, trusted_s=0.5 * each.trusted_s))
        for row, each in zip(short, taught, strict=True)
    }
    found = review_months([*parts, *short], teaching=in_parts)
    pairs = zip(alone.changes[0].changes, found.changes[0].changes, strict=True)
    assert all((a.outings, a.change, a.low, a.high) == (b.outings, b.change, b.low, b.high) for a, b in pairs)
    assert (found.count, len(found.outings)) == (20, 40)


def test_three_files_of_another_year_make_neither_pages_nor_a_change() -> None:
    old = [outing(start_utc=START - timedelta(weeks=216 - i)) for i in range(3)]
    found = review_months(old + outings(6), asked(60, 1))
    assert len(found.weeks) == 9
    assert [week.break_weeks for week in found.weeks] == [0, 0, 0, 213, 0, 0, 0, 0, 0]


def test_share_in_band_is_kept_apart_by_terrain() -> None:
    rows = outings(8) + outings(6, steep_share=0.9) + outings(2, steep_share=None)
    found = review_months(rows)
    assert found.find(YIELD, Ground.FOOT) is None
    counts = {t: found.find(YIELD, Ground.FOOT, t) for t in Terrain}
    assert counts[Terrain.GENTLE] is None
    assert {t: s.value.size for t, s in counts.items() if s is not None} == {
        Terrain.MIXED: 8,
        Terrain.STEEP: 6,
    }


def test_foot_and_bike_are_never_put_in_one_series() -> None:
    rows = outings(6) + outings(7, on_bike=True, sport="mountain biking", mid_band_speed_mps=5.0)
    found = review_months(rows)
    sizes = {s.ground: s.value.size for s in found.series if s.figure.name == DECOUPLING.name}
    assert sizes == {Ground.FOOT: 6, Ground.BIKE: 7}
    only = review_months(rows, choice=Choice(ground=Ground.BIKE))
    assert len(only.outings) == 7
    assert {s.ground for s in only.series} == {Ground.BIKE}


def test_speed_at_another_band_is_another_figure_and_that_is_said() -> None:
    old = [
        o for o in outings(10, band_lower_bpm=105, band_upper_bpm=125) if o.start_utc < START + timedelta(35)
    ]
    new = [o for o in outings(10) if o.start_utc >= START + timedelta(35)]
    speed = review_months(old + new).find(SPEED, Ground.FOOT)
    assert speed is not None
    assert speed.value.size == 5
    assert speed.left_out == ("5 outings with another band left out; the latest is 112-131 bpm.",)
    fair = review_months(old + new).find(DECOUPLING, Ground.FOOT)
    assert fair is not None
    assert fair.value.size == 10


def test_figures_that_say_nothing_enter_no_trend_and_are_counted() -> None:
    rows = outings(8)
    rows[3] = outing(start_utc=rows[3].start_utc, terrain_fair_low=-20.0, terrain_fair_high=30.0)
    rows[5] = outing(start_utc=rows[5].start_utc, terrain_fair_percent=None)
    fair = review_months(rows).find(DECOUPLING, Ground.FOOT)
    assert fair is not None
    assert fair.value.size == 6
    assert fair.left_out[0].startswith("1 outing left out")


def test_weeks_are_summed_up_in_a_sentence() -> None:
    assert weeks_sentence(()) == "No outing has been chosen."
    rows = [outing(), outing(start_utc=START + timedelta(days=15), in_band_s=1800.0)]
    found = review_months(rows, asked(45, 1), until=date(2026, 1, 26))
    assert weeks_sentence(found.weeks) == (
        "1 of 3 weeks met the prescription; an average week held 30 minutes in band in 0.7 sessions."
    )
    assert weeks_sentence(review_months(rows).weeks).startswith("In 3 weeks an average")


@pytest.mark.parametrize("count", [0, 1, 4])
def test_few_outings_have_weeks_but_no_verdict(count: int) -> None:
    found = review_months(outings(count), asked(120, 2))
    assert len(found.weeks) == count
    assert len(found.sentences) == 1
    assert {s.change for s in found.series} <= {None}


def test_outings_without_any_figure_still_count_as_outings() -> None:
    bare = dict.fromkeys(
        ("in_band_s", "yield_share", "terrain_fair_percent", "mid_band_speed_mps", "band_lower_bpm")
    )
    found = review_months([outing(**bare)], asked(60, 2))
    assert found.series == ()
    assert found.weeks[0].unbanded == 1


def test_speed_is_told_in_the_units_in_force() -> None:
    # NIST Special Publication 811, appendix B.8: one mile per hour is 0.44704 m/s.
    assert SPEED.amount(0.44704) == "1.61 km/h"
    measures.use_system(measures.System.IMPERIAL)
    assert SPEED.amount(0.44704) == "1.00 mph"
