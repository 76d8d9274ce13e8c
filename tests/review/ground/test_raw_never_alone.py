"""Raw heart rate at a place stands nowhere without how fast it was gone and what it was at equal speed."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from slopebeat.review.present import ground, shared_ground
from slopebeat.review.present.figure import Figure, On, shown_on
from slopebeat.review.present.ground import PASS_FIGURES
from slopebeat.review.present.shared_ground import SHARED_FIGURES

COMPANY = {
    "pass.hr": ("pass.speed", "pass.vertical", "pass.equal", "pass.not_compared"),
    "shared.earlier_hr": ("shared.earlier_moving", "shared.difference"),
    "shared.later_hr": ("shared.later_moving", "shared.difference"),
}
"""What every raw heart rate has beside it."""


@pytest.mark.parametrize("surface", [On.WINDOW, On.REPORT, On.TERMINAL])
@pytest.mark.parametrize("figures", [PASS_FIGURES, SHARED_FIGURES])
def test_every_surface_that_shows_it_shows_the_rest(surface: On, figures: Sequence[Figure]) -> None:
    shown = [each.key for each in shown_on(surface, figures)]
    for raw in set(shown) & set(COMPANY):
        assert set(COMPANY[raw]) <= set(shown)


def test_json_has_the_rest_beside_it() -> None:
    named = {each.key: each.json for each in PASS_FIGURES if each.json}
    assert "pass.hr" in named
    assert set(COMPANY["pass.hr"]) <= set(named)


def test_no_other_figure_of_places_reads_it() -> None:
    """Whoever adds another figure of the raw heart rate must say what stands beside it."""
    figures = [
        figure
        for module in (ground, shared_ground)
        for each in vars(module).values()
        if isinstance(each, tuple)
        for figure in each
        if isinstance(figure, Figure)
    ]
    names = {each.key: each.get.__code__.co_names for each in figures if each.get is not None}
    assert {key for key, read in names.items() if "hr_bpm" in read} == set(COMPANY)
