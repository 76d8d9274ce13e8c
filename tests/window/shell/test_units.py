"""Imperial units on screen: tables, entries and axes; and numbers typed with either decimal sign."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtGui import QValidator
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.window_acts import review_of, wait_drawn
from slopebeat.model import language, measures
from slopebeat.model.measures import System
from slopebeat.plots.chart import RunAxis, left_axis
from slopebeat.plots.outing.lines import round_length
from slopebeat.session.display import decimal_sign_in_force, language_in_force, system_in_force
from slopebeat.session.settings import Preferences, Units
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.boxes import DecimalBox, MassBox
from slopebeat.window.widgets.table import RowsTable

FOOT_M, MILE_M, POUND_KG = 0.3048, 1609.344, 0.45359237
"""Exact by definition: NIST Special Publication 811 (2008), appendix B.8."""


def cells(table: RowsTable, header: str) -> list[str]:
    model = table.model()
    names = [
        model.headerData(at, Qt.Orientation.Horizontal).replace("\n", " ")
        for at in range(model.columnCount())
    ]
    return [model.index(row, names.index(header)).data() for row in range(model.rowCount())]


def test_the_climbs_are_in_feet_and_miles_at_once(ride: MainWindow, qtbot: QtBot) -> None:
    climbs = review_of(ride).climbs
    assert cells(ride.page.climbs, "Gain m") == [f"{climb.gain_m:.0f}" for climb in climbs]
    ride.session.display.choose(Preferences(units=Units.IMPERIAL))
    wait_drawn(ride.session, qtbot)
    assert [float(text) for text in cells(ride.page.climbs, "Gain ft")] == pytest.approx(
        [climb.gain_m / FOOT_M for climb in climbs], abs=0.5
    )
    assert [float(text) for text in cells(ride.page.climbs, "Length mi")] == pytest.approx(
        [climb.length_m / MILE_M for climb in climbs], abs=0.005
    )
    assert [float(text) for text in cells(ride.page.climbs, "Vertical ft/h")] == pytest.approx(
        [not_none(climb.vertical_speed_m_per_h) / FOOT_M for climb in climbs], abs=25.0
    )


def test_back_in_metric_everything_reads_as_before(ride: MainWindow, qtbot: QtBot) -> None:
    before = (
        cells(ride.page.climbs, "Gain m"),
        ride.page.answer.facts.text(),
        ride.page.aim.body.text(),
    )
    ride.session.display.choose(Preferences(units=Units.IMPERIAL))
    wait_drawn(ride.session, qtbot)
    assert "ft up" in ride.page.answer.facts.text()
    ride.session.display.choose(Preferences(units=Units.METRIC))
    wait_drawn(ride.session, qtbot)
    assert before == (
        cells(ride.page.climbs, "Gain m"),
        ride.page.answer.facts.text(),
        ride.page.aim.body.text(),
    )


def test_a_mass_is_typed_in_pounds_and_kept_in_kilograms(ride: MainWindow, qtbot: QtBot) -> None:
    known = ride.session.aim.entered.rest.body_mass_kg
    ride.session.display.choose(Preferences(units=Units.IMPERIAL))
    wait_drawn(ride.session, qtbot)
    body = ride.page.aim.body
    assert body.value() == pytest.approx(known / POUND_KG, abs=0.5)
    assert body.suffix() == " lb"
    assert ride.session.aim.entered.rest.body_mass_kg == known
    body.setValue(181)
    assert ride.session.aim.entered.rest.body_mass_kg == pytest.approx(181 * POUND_KG)


def test_changing_units_to_and_fro_moves_no_mass(qtbot: QtBot) -> None:
    box = MassBox(25.0, 250.0)
    qtbot.addWidget(box)
    box.set_kg(72.3)
    for system in (System.IMPERIAL, System.METRIC, System.IMPERIAL):
        measures.use_system(system)
        box.use_unit()
        assert box.kg() == 72.3


@pytest.mark.parametrize("sign", [".", ","])
@pytest.mark.parametrize("typed", ["72,5", "72.5"])
def test_a_comma_is_never_taken_for_a_thousands_sign(qtbot: QtBot, sign: str, typed: str) -> None:
    measures.use_decimal_sign(sign)
    box = DecimalBox()
    qtbot.addWidget(box)
    box.setRange(0.0, 1000.0)
    box.setDecimals(1)
    box.lineEdit().selectAll()
    qtbot.keyClicks(box.lineEdit(), typed)
    qtbot.keyClick(box.lineEdit(), Qt.Key.Key_Return)
    assert box.value() == 72.5
    assert box.text() == f"72{sign}5"


@pytest.mark.parametrize("typed", ["7x", "1e3", "7.5.1", "١"])
def test_what_is_no_number_cannot_be_typed(qtbot: QtBot, typed: str) -> None:
    box = DecimalBox()
    qtbot.addWidget(box)
    assert box.validate(typed, len(typed))[0] is QValidator.State.Invalid


def test_ticks_are_round_in_the_unit_shown(qtbot: QtBot) -> None:
    measures.use_system(System.IMPERIAL)
    run, height = RunAxis(), left_axis()
    run.set_along_distance(True)
    height.show_unit(measures.HEIGHT)
    for axis, unit_m, ends_m in ((run, MILE_M, (0.0, 11_000.0)), (height, FOOT_M, (1170.0, 1530.0))):
        ((spacing, at_m), *_) = axis.tickValues(*ends_m, 500.0)
        assert len(at_m) >= 2
        for each in at_m:
            assert each / spacing == pytest.approx(round(each / spacing), abs=1e-6)
        assert float(f"{spacing / unit_m:.6e}".split("e")[0]) in (1.0, 2.0, 5.0)


@pytest.mark.parametrize(
    ("room_m", "system", "length_m", "words"),
    [
        (1300.0, System.METRIC, 1000.0, "1 km"),
        (700.0, System.METRIC, 500.0, "500 m"),
        (7000.0, System.IMPERIAL, 2 * MILE_M, "2 mi"),
        (700.0, System.IMPERIAL, 2000 * FOOT_M, "2000 ft"),
    ],
)
def test_the_scale_bar_is_round_in_the_unit_shown(
    room_m: float, system: System, length_m: float, words: str
) -> None:
    measures.use_system(system)
    found_m, said = round_length(room_m)
    assert found_m == pytest.approx(length_m)
    assert said == words


@pytest.mark.parametrize(
    ("locale", "system", "sign", "code"),
    [
        ("en_US", System.IMPERIAL, ".", "en"),
        ("en_GB", System.METRIC, ".", "en"),
        ("de_AT", System.METRIC, ",", "de"),
        ("de_CH", System.METRIC, ".", "de"),
        ("fr_FR", System.METRIC, ",", "en"),
    ],
)
def test_what_the_system_asks_for(locale: str, system: System, sign: str, code: str) -> None:
    """Decimal signs and measures as the Unicode CLDR has them for these places."""
    place = QLocale(locale)
    assert system_in_force(Units.SYSTEM, place) is system
    assert decimal_sign_in_force("system", place) == sign
    assert language_in_force("system", place) == code


def test_a_choice_goes_before_the_system() -> None:
    place = QLocale("de_DE")
    assert system_in_force(Units.IMPERIAL, place) is System.IMPERIAL
    assert language_in_force("en", place) == "en"
    assert decimal_sign_in_force("en", place) == "."
    assert language.language() == "en"
