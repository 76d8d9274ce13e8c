"""Shown quantities against NIST Special Publication 811 (2008), appendix B.8, and round trips."""

from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slopebeat.model import measures
from slopebeat.model.measures import (
    GROUND,
    HEIGHT,
    MASS,
    SPEED,
    TEMPERATURE,
    VERTICAL_SPEED,
    Measure,
    System,
    figure,
)

ALL = (GROUND, HEIGHT, MASS, SPEED, TEMPERATURE, VERTICAL_SPEED)


@pytest.fixture(autouse=True)
def _as_before() -> Iterator[None]:
    yield
    measures.use_system(System.METRIC)
    measures.use_decimal_sign(".")


@pytest.mark.parametrize(
    ("measure", "one_shown_in_si"),
    # NIST SP 811, appendix B.8: foot, mile, mile per hour, pound (avoirdupois), foot per hour.
    [
        (HEIGHT, 3.048e-01),
        (GROUND, 1.609344e03),
        (SPEED, 4.4704e-01),
        (MASS, 4.535924e-01),
        (VERTICAL_SPEED, 8.466667e-05),
    ],
)
def test_imperial_factors_are_those_published(measure: Measure, one_shown_in_si: float) -> None:
    measures.use_system(System.IMPERIAL)
    assert measure.si(1.0) == pytest.approx(one_shown_in_si, rel=1e-6)


def test_temperature_by_the_definition_of_the_fahrenheit_scale() -> None:
    measures.use_system(System.IMPERIAL)
    assert TEMPERATURE.text(100.0) == "212 °F"
    assert TEMPERATURE.text(-40.0) == "−40 °F"


@given(st.sampled_from(ALL), st.sampled_from(list(System)), st.floats(-1e6, 1e6))
def test_what_is_shown_can_be_typed_back(measure: Measure, system: System, si: float) -> None:
    measures.use_system(system)
    assert measure.si(measure.shown(si)) == pytest.approx(si, rel=1e-9, abs=1e-6)


def test_metric_texts() -> None:
    assert HEIGHT.text(812.4) == "812 m"
    assert GROUND.text(12_340.0) == "12.34 km"
    assert SPEED.text(1.0) == "3.6 km/h"
    assert VERTICAL_SPEED.text(0.0861) == "310 m/h"
    assert MASS.text(None) == "–"


def test_a_comma_where_the_place_writes_one() -> None:
    measures.use_decimal_sign(",")
    assert SPEED.text(1.0) == "3,6 km/h"
    assert figure(-0.04, 1) == "0,0"
    assert figure(-1.25, 2) == "−1,25"
    with pytest.raises(ValueError, match="decimal sign"):
        measures.use_decimal_sign(";")
