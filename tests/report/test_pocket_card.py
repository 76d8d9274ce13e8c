"""The pocket card: one small page that holds every climb, its times and the cautions."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from helpers.earlier_outings import evidence_before
from slopebeat.analysis.route.plan import RoutePlan, StrategyName
from slopebeat.model.bands import Band
from slopebeat.model.errors import UserError
from slopebeat.model.people import Aim
from slopebeat.model.route import Route
from slopebeat.model.units import hours_minutes
from slopebeat.report.formats import write_as
from slopebeat.report.paint import text_width
from slopebeat.report.pocket_card import A5_PT, A6_PT, MARGIN_PT, card_pdf, pocket_card
from slopebeat.report.shapes import Anchor, Scene, Text
from slopebeat.review.planning.planning import plan_route


@cache
def plan(humps: int = 2) -> RoutePlan:
    """A way over humps of 100 m at up to 16 %, 2 km apart."""
    along = np.arange(0.0, 2000.0 * humps + 1.0, 20.0)
    height = 1500.0 + 50.0 * (1.0 - np.cos(2.0 * np.pi * along / 2000.0))
    route = Route.of_profile(along, height, title="Over the humps")
    return plan_route(route, evidence_before(), Aim(Band(112, 131)))


def words(scene: Scene) -> str:
    return " ".join(shape.text for shape in scene.shapes if isinstance(shape, Text)).replace("\u00a0", " ")


def test_the_card_is_a6_and_says_what_the_plan_says() -> None:
    made = plan()
    scene = pocket_card(made)
    assert (scene.width, scene.height) == A6_PT
    said = words(scene)
    assert "Band 112 to 131 bpm" in said
    assert made.hold.hold_bpm is not None
    assert f"hold {made.hold.hold_bpm:.0f} bpm in the mean" in said
    assert len(made.climbs) == 2
    for climb in made.climbs:
        assert climb.hold_speed_mps is not None
        assert f"{3.6 * climb.hold_speed_mps.middle:.1f}" in said
        assert hours_minutes(climb.held.reach_s.middle) in said
    for caution in ("Turn back at", "Weather", "daylight", "local people", "seek care"):
        assert caution in said


def test_gone_as_usual_has_its_own_times() -> None:
    made = plan()
    said = words(pocket_card(made, StrategyName.USUAL))
    assert "going as usual" in said
    assert hours_minutes(made.climbs[1].usual.reach_s.middle) in said


@pytest.mark.parametrize("climbs", [2, 9, 15])
def test_nothing_lies_outside_the_margins(climbs: int) -> None:
    made = plan(9 if climbs > 2 else 2)
    # Fifteen are nine and the last six once more: planning the way over them took three seconds.
    shown = (*made.climbs, *made.climbs[-6:])[:climbs]
    scene = pocket_card(replace(made, climbs=shown, title="W" * 200))
    assert (scene.width, scene.height) in (A6_PT, A5_PT)
    for shape in scene.shapes:
        if isinstance(shape, Text):
            wide = text_width(shape.text, shape.size, shape.bold)
            left = shape.x - {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}[shape.anchor] * wide
            assert left >= MARGIN_PT - 1.0
            assert left + wide <= scene.width - MARGIN_PT + 1.0
            assert shape.y <= scene.height - MARGIN_PT + 1.0


def test_cells_of_a_row_do_not_run_into_each_other() -> None:
    rows: dict[float, list[tuple[float, float]]] = {}
    for shape in pocket_card(plan(9)).shapes:
        if isinstance(shape, Text) and shape.anchor is not Anchor.MIDDLE:
            wide = text_width(shape.text, shape.size, shape.bold)
            left = shape.x - (wide if shape.anchor is Anchor.END else 0.0)
            rows.setdefault(round(shape.y, 1), []).append((left, left + wide))
    for spans in rows.values():
        spans.sort()
        assert all(first[1] < second[0] for first, second in pairwise(spans))


def test_of_more_climbs_than_fit_the_largest_stay_and_the_rest_is_told() -> None:
    made = plan()
    small = [replace(made.climbs[0], gain_m=31.0 + i) for i in range(60)]
    crowded = replace(made, climbs=(*small, replace(made.climbs[0], gain_m=777.0)))
    scene = pocket_card(crowded)
    said = words(scene)
    assert (scene.width, scene.height) == A5_PT
    assert "61: 777 m" in said
    told = re.search(r"(\d+) smaller climbs are not on this card", said)
    assert told is not None
    assert int(told[1]) + len(re.findall(r"\d+: \d+ m, ", said)) == 61


def test_the_file_is_one_page_of_a6(tmp_path: Path) -> None:
    write_as({".pdf": lambda: card_pdf(plan())}, tmp_path / "card.pdf")
    data = (tmp_path / "card.pdf").read_bytes()
    assert data.startswith(b"%PDF")
    assert len(re.findall(rb"/Type\s*/Page\b", data)) == 1
    box = re.search(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", data)
    assert box is not None
    # ISO 216: A6 is 105 mm by 148 mm.
    assert [float(x) / 72.0 * 25.4 for x in box.groups()] == pytest.approx([105.0, 148.0], abs=1.0)
    with pytest.raises(UserError, match="could not be written"):
        write_as({".pdf": lambda: card_pdf(plan())}, tmp_path / "missing" / "card.pdf")
