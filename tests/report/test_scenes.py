"""What the pictures show, read back from their shapes."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers.recordings import recording
from slopebeat.analysis.account.causes import Cause
from slopebeat.model.numerics import round_step
from slopebeat.model.people import Aim
from slopebeat.plots.colours import LIGHT
from slopebeat.report.bars import account_bar, cause_bars
from slopebeat.report.frame import Frame, ticks
from slopebeat.report.outing_chart import (
    ground_chart,
    ground_range,
    heart_range,
    outing_chart,
    speed_chart,
    speed_range,
)
from slopebeat.report.shapes import Hatch, Path, Rect, Scene, Text, hatch
from slopebeat.report.way_chart import way_chart
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.words.causes import side_of
from slopebeat.review.words.names import key_name

lengths = st.floats(0.1, 400.0)


@given(lengths, lengths, lengths, lengths, st.sampled_from([Hatch.RISING, Hatch.FALLING, Hatch.CROSSED]))
def test_hatch_lines_stay_in_their_box_and_lean_as_they_should(
    x: float, y: float, width: float, height: float, kind: Hatch
) -> None:
    for path in hatch(Rect(x, y, width, height), kind, "#000000"):
        for (x1, y1), (x2, y2) in path.parts:
            assert x - 1e-6 <= min(x1, x2) <= max(x1, x2) <= x + width + 1e-6
            assert y - 1e-6 <= min(y1, y2) <= max(y1, y2) <= y + height + 1e-6
            assert abs(x2 - x1) == pytest.approx(abs(y2 - y1), abs=1e-6)
            if kind is not Hatch.CROSSED and abs(x2 - x1) > 1e-6:
                # y points down: a rising line goes up to the right.
                assert ((y2 - y1) * (x2 - x1) < 0) == (kind is Hatch.RISING)


def test_no_hatch_and_no_box_draw_nothing() -> None:
    assert hatch(Rect(0, 0, 10, 10), Hatch.NONE, "#000000") == ()
    assert hatch(Rect(0, 0, 0, 10), Hatch.RISING, "#000000") == ()


def filled(scene: Scene, colour: str, least_height: float = 0.0) -> list[Rect]:
    return [s for s in scene.shapes if isinstance(s, Rect) and s.fill == colour and s.height >= least_height]


def texts(scene: Scene) -> list[str]:
    return [shape.text for shape in scene.shapes if isinstance(shape, Text)]


def test_the_account_bar_is_as_long_as_the_seconds_it_stands_for(review: Review) -> None:
    account = review.account
    assert account is not None
    scene = account_bar(account, width=1000.0)
    for colour, seconds in (
        (LIGHT.in_band, account.in_band_s),
        (LIGHT.above_fill, account.above_s),
        (LIGHT.below_fill, account.below_s),
        (LIGHT.idle, account.pause_s),
    ):
        swatch = 8.0
        drawn = sum(rect.width for rect in filled(scene, colour)) - swatch
        assert drawn == pytest.approx(1000.0 * seconds / account.span_s, abs=0.01)
    assert {"In band", "Above", "Below", "Pause"} <= set(texts(scene))


def test_cause_bars_are_in_proportion_and_look_like_their_side(review: Review) -> None:
    causes = review.causes
    assert causes is not None
    scene = cause_bars(causes)
    total = sum(causes.seconds.values())
    taken = {key_name(cause) for cause, seconds in causes.seconds.items() if seconds > 0.01 * total}
    assert taken <= set(texts(scene))
    above = sum(r.width for r in filled(scene, LIGHT.above_fill))
    below = sum(r.width for r in filled(scene, LIGHT.below_fill))
    ratio = sum(s for c, s in causes.seconds.items() if side_of(c).name == "ABOVE") / sum(
        s for c, s in causes.seconds.items() if side_of(c).name == "BELOW"
    )
    assert above / below == pytest.approx(ratio, rel=0.02)
    assert side_of(Cause.SENSOR_DOUBT).name == "NO_HEART_RATE"


def test_the_heart_line_shows_every_extreme_of_the_recording(review: Review) -> None:
    scene = outing_chart(review)
    low, high = heart_range(review)
    band_box = next(iter(filled(scene, LIGHT.band_fill)))
    band = review.aim.band
    assert band is not None
    scale = band_box.height / (band.upper_bpm - band.lower_bpm)
    lines = [s for s in scene.shapes if isinstance(s, Path) and s.stroke in (LIGHT.above, LIGHT.below)]
    ys = np.concatenate([part[:, 1] for path in lines for part in path.parts])
    bpm = band.upper_bpm - (ys - band_box.y) / scale
    assert bpm.max() == pytest.approx(np.nanmax(review.track.hr_bpm))
    assert bpm.min() == pytest.approx(np.nanmin(review.track.hr_bpm))
    assert low < bpm.min() < bpm.max() < high


def test_lines_break_at_the_pause_and_the_pause_is_shaded(review: Review) -> None:
    scene = outing_chart(review)
    shaded = filled(scene, LIGHT.idle)
    assert len(shaded) == 3, "one in each chart"
    left, right = shaded[0].x, shaded[0].x + shaded[0].width
    for path in (
        s for s in scene.shapes if isinstance(s, Path) and s.stroke == LIGHT.in_band and not s.dashed
    ):
        for part in path.parts:
            crosses = part[:, 0].min() < left + 0.1 and part[:, 0].max() > right - 0.1
            assert not crosses


def test_every_side_and_edge_of_the_band_is_named(review: Review) -> None:
    assert {"above", "131", "112", "below"} <= set(texts(outing_chart(review)))


def test_climbs_are_numbered_over_their_middle_where_numbers_have_room() -> None:
    """Twelve climbs of 40 m, all numbered on a wide picture; on a narrow one no number touches another."""
    t = np.arange(12 * 900.0)
    made = review_recording(
        recording(t, elevation=lambda s: 500.0 + 40.0 * np.abs(np.sin(np.pi * s / 900.0))), Aim()
    )
    assert len(made.climbs) == 12
    for width in (600.0, 150.0, 40.0):
        frame = Frame(0.0, 0.0, width, 60.0, (0.0, t[-1]), ground_range(made))
        labels = [s for s in ground_chart(frame, made) if isinstance(s, Text) and s.bold and s.text.isdigit()]
        middles = [float(frame.x((c.start_s + c.end_s) / 2)) for c in made.climbs]
        for label in labels:
            assert label.x == pytest.approx(middles[int(label.text) - 1])
        # A digit in half the height of its letters, 7 points, is about 4 wide.
        ends = [(s.x - 2.0 * len(s.text), s.x + 2.0 * len(s.text)) for s in labels]
        assert all(left[1] <= right[0] + 1e-6 for left, right in pairwise(ends))
        if width == 600.0:
            assert [label.text for label in labels] == [str(n) for n in range(1, 13)]
        assert labels[0].text == "1"


def test_over_the_ground_room_is_left_for_the_numbers() -> None:
    """Of 100 m of ground 22 % above and 4 % below; flat ground is shown within 40 m."""
    t = np.arange(3600.0)
    hilly = review_recording(recording(t, elevation=lambda s: 500.0 + 50.0 * (1 - np.cos(s / 300.0))), Aim())
    low, high = np.nanmin(hilly.track.elevation_m), np.nanmax(hilly.track.elevation_m)
    assert high - low == pytest.approx(100.0, abs=1.0)
    assert ground_range(hilly) == pytest.approx((low - 4.0, high + 22.0), abs=0.3)
    flat = review_recording(recording(t, elevation=500.0), Aim())
    assert ground_range(flat) == pytest.approx((480.0 - 1.6, 520.0 + 8.8), abs=0.1)


def test_a_review_without_a_band_has_a_chart_without_one(without_band: Review) -> None:
    scene = outing_chart(without_band)
    assert not filled(scene, LIGHT.band_fill)
    assert "above" not in texts(scene)
    assert any(isinstance(s, Path) and s.stroke == LIGHT.in_band for s in scene.shapes)


def test_without_elevation_the_chart_says_so(review: Review) -> None:
    one = review.recording
    flat = replace(one, samples=one.samples.replaced(elevation_m=np.full(len(one.samples), np.nan)))
    blind = review_recording(flat, review.aim)
    assert "no elevation recorded" in texts(outing_chart(blind))
    assert ground_range(blind)[1] > ground_range(blind)[0]


@given(st.floats(1e-3, 1e6), st.integers(2, 12))
def test_axis_steps_are_round_and_few(span: float, most: int) -> None:
    step = round_step(span / most)
    assert span / step <= most * (1 + 1e-9)
    mantissa = step / 10 ** np.floor(np.log10(step * (1 + 1e-12)))
    assert min(abs(mantissa - m) for m in (1, 2, 5, 10)) < 1e-6
    assert len(ticks(0.0, span, step)) <= most + 1


def test_a_frame_puts_its_ranges_on_its_edges() -> None:
    frame = Frame(10.0, 20.0, 100.0, 50.0, (0.0, 60.0), (100.0, 150.0))
    assert (float(frame.x(0)), float(frame.x(60))) == (10.0, 110.0)
    assert (float(frame.y(100)), float(frame.y(150))) == (70.0, 20.0)
    assert frame.span(-5.0, 30.0, None).width == 50.0


INKS = (LIGHT.above, LIGHT.below, LIGHT.in_band)


def placed(review: Review) -> Review:
    """The same with positions: 3 km north, then 1 km east, on a sphere of the earth's mean radius."""
    one, n = review.recording, len(review.recording.samples)
    north = np.minimum(np.linspace(0.0, 4000.0, n), 3000.0)
    east = np.maximum(np.linspace(0.0, 4000.0, n), 3000.0) - 3000.0
    # IUGG mean radius 6371.0088 km: Moritz, Geodetic Reference System 1980, J. Geodesy 74 (2000) 128-133.
    degree_m = np.pi / 180.0 * 6_371_008.8
    lat, lon = 46.0 + north / degree_m, 8.0 + east / (degree_m * np.cos(np.radians(46.0)))
    moved = replace(one, samples=one.samples.replaced(lat_deg=lat, lon_deg=lon))
    return review_recording(moved, review.aim)


def test_the_way_keeps_its_shape_and_its_scale_is_true(review: Review) -> None:
    box = Rect(0.0, 0.0, 140.0, 200.0)
    shapes = way_chart(box, placed(review))
    lines = [s for s in shapes if isinstance(s, Path) and not s.fill and (s.stroke in INKS or s.dashed)]
    points = np.vstack([part for line in lines for part in line.parts])
    wide, high = np.ptp(points, axis=0)
    assert high / wide == pytest.approx(3.0, rel=0.02)
    assert points.min() >= 0.0
    assert points[:, 0].max() <= 140.0
    assert points[:, 1].max() <= 200.0
    (words,) = (s.text for s in shapes if isinstance(s, Text) and s.text.endswith(" km"))
    bar = next(s for s in shapes if isinstance(s, Path) and s.stroke == LIGHT.muted and s.width == 0.6)
    shown_m = np.ptp(bar.parts[0][:, 0]) / high * 3000.0
    assert shown_m == pytest.approx(1000.0 * float(words.split()[0]), rel=0.02)
    # North is up: what comes first lies lower on the paper, where y points down.
    start = next(s for s in shapes if isinstance(s, Path) and s.fill == LIGHT.panel)
    assert start.parts[0][:, 1].mean() == pytest.approx(points[:, 1].max(), abs=2.0)


def test_a_way_is_drawn_where_there_are_positions(review: Review) -> None:
    assert "Plan of the way" in texts(outing_chart(placed(review)))
    assert "Plan of the way" not in texts(outing_chart(review))


def test_the_speed_is_drawn_to_its_axis(review: Review) -> None:
    frame = Frame(0.0, 0.0, 500.0, 60.0, (0.0, review.recording.span_s), speed_range(review))
    lines = [s for s in speed_chart(frame, review) if isinstance(s, Path) and s.stroke == LIGHT.in_band]
    ys = np.concatenate([part[:, 1] for line in lines for part in line.parts])
    low, high = frame.y_range
    fastest = high - (ys.min() - frame.top) / frame.height * (high - low)
    assert fastest == pytest.approx(3.6 * np.nanmax(review.track.speed_mps), rel=1e-6)
