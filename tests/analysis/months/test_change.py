"""What is called a change of level or drift over months, and what is not."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from helpers.outings import FIRST_DAY, an_outing
from slopebeat.analysis.months.change import (
    ChangeQuestion,
    ChangeVerdict,
    FigureChange,
    GroupChanges,
    Why,
    changes_of,
)
from slopebeat.analysis.months.choice import Candidate
from slopebeat.analysis.months.trend import DECOUPLING_NOISE_POINTS
from slopebeat.analysis.response.teaching import NotTeaching
from slopebeat.model.evidence import MODELLED, POWER, RIDE, OutingEvidence


def months(levels: np.ndarray, weeks: np.ndarray, seed: int = 0, **figures: object) -> list[OutingEvidence]:
    rng = np.random.default_rng(seed)
    days = rng.normal(0.0, 3.0, levels.size)
    return [an_outing(w, level + d, rng, **figures) for w, level, d in zip(weeks, levels, days, strict=True)]


def group(outings: list[OutingEvidence], left_out: tuple[int, ...] = ()) -> GroupChanges:
    (found,) = changes_of([Candidate(i, i not in left_out, each) for i, each in enumerate(outings)])
    return found


def change(
    found: GroupChanges, figure: str = "level", question: ChangeQuestion = ChangeQuestion.LASTING
) -> FigureChange:
    return next(c for c in found.changes if (c.figure, c.question) == (figure, question))


WEEKS = np.arange(60) * 0.5


def test_a_lasting_change_is_called_and_its_interval_holds_it() -> None:
    found = group(months(140.0 - 14.0 * WEEKS / WEEKS[-1], WEEKS))
    for question in ChangeQuestion:
        told = change(found, question=question)
        assert told.verdict is ChangeVerdict.LOWER
        assert told.holds
    lasting = change(found)
    assert lasting.low is not None
    assert lasting.high is not None
    assert lasting.low < -14.0 < lasting.high
    assert change(found, "drift").verdict is ChangeVerdict.NOT_TOLD
    assert found.line is not None
    assert found.line[0] - found.line[1] == pytest.approx(-lasting.change, abs=1e-6)  # type: ignore[operator]


def test_where_nothing_changes_no_change_is_told_and_it_is_said_what_would_show() -> None:
    lasting = change(group(months(np.full(60, 140.0), WEEKS)))
    assert lasting.verdict is ChangeVerdict.NOT_TOLD
    assert lasting.detectable is not None
    assert lasting.low is not None
    assert lasting.high is not None
    assert 2.0 < lasting.detectable < 15.0
    # 1.96 + 0.84: normal quantiles of a test of 5 % with a power of 80 %.
    assert lasting.detectable == pytest.approx(2.8 * (lasting.high - lasting.low) / 3.92, rel=0.1)


@pytest.mark.parametrize(
    ("count", "weeks", "why"), [(5, 20.0, Why.TOO_FEW), (8, 4.0, Why.TOO_SHORT), (3, 0.0, Why.TOO_FEW)]
)
def test_of_a_few_outings_or_weeks_nothing_is_said(count: int, weeks: float, why: Why) -> None:
    found = group(months(np.linspace(140.0, 110.0, count), np.linspace(0.0, weeks, count)))
    assert {c.verdict for c in found.changes} == {ChangeVerdict.NOTHING}
    assert {c.why for c in found.changes} == {why}
    assert all(c.change is None for c in found.changes)


def test_old_outings_before_a_long_break_do_not_enter() -> None:
    old = months(np.full(3, 170.0), np.array([0.0, 0.5, 1.0]))
    late = months(np.full(30, 140.0), 216.0 + WEEKS[:30])
    found = group(old + late)
    assert found.left_out[:3] == tuple((i, Why.BEFORE_BREAK) for i in range(3))
    assert change(found).weeks < 20.0
    assert abs(change(found).change or 0.0) < 8.0


def test_a_change_that_hangs_on_a_doubtful_outing_is_not_called() -> None:
    rng = np.random.default_rng(1)
    good = months(np.full(20, 140.0), np.arange(20.0), seed=5)
    bad = [an_outing(20.0 + i, 126.0 - i, rng, coverage=0.6) for i in range(10)]
    found = group(good + bad)
    lasting = change(found)
    assert lasting.high is not None
    assert lasting.high < 0.0
    assert not lasting.holds
    assert lasting.verdict is ChangeVerdict.NOT_TOLD
    assert set(found.doubtful) >= set(range(20, 30))


def test_outings_that_cannot_enter_are_named_with_the_reason() -> None:
    outings = months(np.full(20, 140.0), np.arange(20.0))
    outings[2] = replace(outings[2], fit=None)
    outings[3] = replace(outings[3], coverage=0.3)
    outings[4] = replace(outings[4], trusted_s=1500.0)
    fit = outings[5].fit
    assert fit is not None
    outings[5] = replace(outings[5], fit=replace(fit, residual_bpm=25.0))
    found = group(outings, left_out=(6,))
    assert dict(found.left_out) == {
        2: Why.NO_FIT,
        3: NotTeaching.LITTLE_HEART_RATE,
        4: NotTeaching.TOO_SHORT,
        5: Why.STRAYS,
        6: NotTeaching.LEFT_OUT,
    }
    assert change(found).outings == 15


def test_a_power_meter_half_way_is_named_and_does_not_pass_for_a_change() -> None:
    meter = WEEKS > 15.0
    rides = months(140.0 + 9.0 * meter, WEEKS)
    rides = [
        replace(r, kind=RIDE, on_bike=True, work_source=POWER if m else MODELLED)
        for r, m in zip(rides, meter, strict=True)
    ]
    found = group(rides)
    assert change(found).verdict is ChangeVerdict.NOT_TOLD
    (named,) = found.named
    assert (named.what, named.before, named.after) == ("work_source", MODELLED, POWER)
    assert rides[named.first].start_utc > FIRST_DAY + timedelta(weeks=15)


def test_kinds_are_judged_apart() -> None:
    walks = [replace(o, kind="walk") for o in months(np.full(8, 120.0), np.arange(8.0))]
    found = changes_of(
        [Candidate(i, True, o) for i, o in enumerate(walks + months(np.full(20, 150.0), np.arange(20.0)))]
    )
    assert [each.group for each in found] == ["run", "walk"]
    assert found[0].value[:, 0].mean() == pytest.approx(150.0, abs=3.0)
    assert changes_of([Candidate(0, True, replace(walks[0], kind="skiing"))]) == ()


def test_the_noise_of_decoupling_is_what_day_to_day_heart_rate_makes() -> None:
    # Lamberts 2004 (J Strength Cond Res 18:641): 1.1-1.4 % from day to day; the smallest change of one person
    # that is not chance is 1.96 sqrt 2 of it (Hopkins 2000, Sports Med 30:1-15).
    least, detectable = (1.96 * np.sqrt(2.0) * each for each in (1.1, 1.4))
    assert least == pytest.approx(3.0, abs=0.06)
    assert detectable <= DECOUPLING_NOISE_POINTS < detectable + 0.15
