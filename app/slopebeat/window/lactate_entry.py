"""Entering a lactate step test: a table of stages, the curve, and what the methods make of it."""

from __future__ import annotations

from dataclasses import asdict

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QComboBox,
    QDoubleSpinBox,
    QHBoxLayout,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from slopebeat.analysis.lactate import (
    CAUTIONS,
    LEAST_STAGES,
    PLAUSIBLE_MMOL_L,
    LactateTest,
    Stage,
    propose_band,
    thresholds,
)
from slopebeat.model.errors import UserError
from slopebeat.plots.lactate_chart import LactateChart
from slopebeat.window.library_band_methods import Found, MethodPage
from slopebeat.window.parts import label

ROWS = 12
"""Stages that can be typed [project choice]."""

UNITS = ("W", "km/h")


class LactatePage(MethodPage):
    """Stages as typed; a test once they make one."""

    advice = " ".join(CAUTIONS[:1])

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.unit = QComboBox()
        self.unit.addItems(UNITS)
        self.unit.setAccessibleName("Unit of the load")
        self.rest = QDoubleSpinBox()
        self.rest.setRange(0.0, PLAUSIBLE_MMOL_L[1])
        self.rest.setDecimals(1)
        self.rest.setSingleStep(0.1)
        self.rest.setSpecialValueText("not measured")
        self.rest.setSuffix(" mmol/L")
        self.rest.setAccessibleName("Lactate at rest")
        self.table = QTableWidget(ROWS, 3)
        self.table.setAccessibleName("Stages of the test")
        self.table.setMinimumWidth(250)
        self.table.verticalHeader().setDefaultSectionSize(24)
        self.chart = LactateChart()
        self.readings = label("", "", wrap=True)
        self._lay_out()
        self._name_columns()
        self.chart.clear_test()
        self.table.itemChanged.connect(self._edited)
        self.unit.activated.connect(self._edited)
        self.rest.valueChanged.connect(self._edited)

    def _lay_out(self) -> None:
        self.form.addRow(label("Unit of the load"), self.unit)
        self.form.addRow(label("Lactate at rest"), self.rest)
        seen = QWidget()
        column = QVBoxLayout(seen)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.chart, 1)
        column.addWidget(self.readings)
        both = QWidget()
        across = QHBoxLayout(both)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(10)
        across.addWidget(self.table)
        across.addWidget(seen, 1)
        both.setMinimumHeight(230)
        self.form.addRow(both)

    def _name_columns(self) -> None:
        names = (f"Load\n{self.unit.currentText()}", "Lactate\nmmol/L", "Heart rate\nbpm")
        self.table.setHorizontalHeaderLabels(names)
        for column in range(3):
            self.table.setColumnWidth(column, 72)

    def enter(self, stages: tuple[Stage, ...]) -> None:
        """Fill the table, as typing would."""
        for at, stage in enumerate(stages):
            for column, value in enumerate((stage.load, stage.lactate_mmol_l, stage.hr_bpm)):
                self.table.setItem(at, column, QTableWidgetItem(f"{value:g}"))

    def stages(self) -> tuple[Stage, ...]:
        """The stages typed so far; rows left empty count for nothing.

        Raises
        ------
        UserError
            When a row is half filled or holds something that is no number.
        """
        found = []
        for at in range(self.table.rowCount()):
            items = (self.table.item(at, column) for column in range(3))
            words = [item.text().strip() if item is not None else "" for item in items]
            if not any(words):
                continue
            if not all(words):
                raise UserError(f"Stage {at + 1} needs a load, a lactate and a heart rate.")
            try:
                load, lactate, hr = (float(word.replace(",", ".")) for word in words)
            except ValueError:
                raise UserError(f"Stage {at + 1} holds something that is no number.") from None
            found.append(Stage(load, lactate, hr))
        return tuple(found)

    def test(self) -> LactateTest | None:
        """The test, None while there are too few stages."""
        stages = self.stages()
        if len(stages) < LEAST_STAGES:
            return None
        rest = self.rest.value() or None
        return LactateTest(stages, self.unit.currentText(), rest)

    def found(self) -> Found | None:
        test = self.test()
        if test is None:
            return None
        proposal = propose_band(test)
        details = {
            "stages": [asdict(stage) for stage in test.stages],
            "load_unit": test.load_unit,
            "resting_mmol_l": test.resting_mmol_l,
        }
        low, high = proposal.lower_range_bpm, proposal.upper_range_bpm
        doubts = (
            f"The lower edge lies from {low[0]} to {low[1]} bpm, the upper from {high[0]} to {high[1]}. "
            f"{proposal.why_a_range}"
        )
        return Found(proposal.band, f"Lactate step test. {proposal.how}", details, doubts)

    def _edited(self) -> None:
        self._name_columns()
        try:
            test = self.test()
        except UserError:
            # The dialog says it, as it does for every method.
            test = None
        if test is None:
            self.chart.clear_test()
            self.readings.clear()
        else:
            found = thresholds(test)
            self.chart.show_test(test, found)
            self.readings.setText(
                "\n".join(
                    f"{each.method}: {each.reason}"
                    if each.hr_bpm is None
                    else f"{each.method}: {each.hr_bpm:.0f} bpm at {each.load:.3g} {test.load_unit}"
                    for each in found
                )
            )
            self.readings.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.changed.emit()
