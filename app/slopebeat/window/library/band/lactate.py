"""Entering a lactate step test: a table of stages, the curve, and what the methods make of it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTableWidget, QTableWidgetItem, QWidget

from slopebeat.analysis.band.lactate import (
    LEAST_STAGES,
    PLAUSIBLE_MMOL_L,
    LactateTest,
    Stage,
    propose_band,
    thresholds,
)
from slopebeat.model.bands import Band
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.measures import figure, shortest_number
from slopebeat.plots.lactate import LactateChart
from slopebeat.review.cautions import LACTATE_CAUTIONS
from slopebeat.review.price.gap import test_of
from slopebeat.review.words.messages import say
from slopebeat.review.words.names import key_name
from slopebeat.window.library.band.methods import FoundBand, MethodPage
from slopebeat.window.widgets.boxes import DecimalBox, choice_box
from slopebeat.window.widgets.parts import holder, label, row, stacked

ROWS = 12
"""Stages that can be typed [project choice]."""

ROOM_PX = 8
"""Beside the columns of the stages [project choice]."""

UNITS = ("W", "km/h")


class LactatePage(MethodPage):
    """Stages as typed; a test once they make one."""

    advice = LACTATE_CAUTIONS[0]

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.unit = choice_box(tr("Unit of the load"), "", [(unit, unit) for unit in UNITS])
        self.rest = DecimalBox()
        self.rest.setRange(0.0, PLAUSIBLE_MMOL_L[1])
        self.rest.setDecimals(1)
        self.rest.setSingleStep(0.1)
        self.rest.setSpecialValueText(tr("not measured"))
        self.rest.setSuffix(" mmol/L")
        self.rest.setAccessibleName(tr("Lactate at rest"))
        self.table = QTableWidget(ROWS, 3)
        self.table.setAccessibleName(tr("Stages of the test"))
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
        self.form.addRow(label(tr("Unit of the load")), self.unit)
        self.form.addRow(label(tr("Lactate at rest")), self.rest)
        seen = holder(stacked((self.chart, 1), self.readings))
        both = holder(row(self.table, (seen, 1), spacing=10))
        both.setMinimumHeight(230)
        self.form.addRow(both)

    def _name_columns(self) -> None:
        names = (
            f"{tr('Load')}\n{self.unit.currentText()}",
            f"{tr('Lactate')}\nmmol/L",
            f"{tr('Heart rate')}\nbpm",
        )
        self.table.setHorizontalHeaderLabels(names)
        # As wide as the words, whatever the text size: the chart beside it takes the rest.
        self.table.resizeColumnsToContents()
        heads = sum(self.table.columnWidth(column) for column in range(3))
        frame = (
            self.table.verticalHeader().sizeHint().width() + self.table.verticalScrollBar().sizeHint().width()
        )
        self.table.setFixedWidth(heads + frame + 2 * self.table.frameWidth() + ROOM_PX)

    def enter(self, stages: tuple[Stage, ...]) -> None:
        """Fill the table, as typing would."""
        self.table.setRowCount(max(ROWS, len(stages)))
        for at, stage in enumerate(stages):
            for column, value in enumerate((stage.load, stage.lactate_mmol_l, stage.hr_bpm)):
                self.table.setItem(at, column, QTableWidgetItem(shortest_number(value)))

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
                text = tr("Stage {number} needs a load, a lactate and a heart rate.")
                raise UserError(text.format(number=at + 1))
            try:
                load, lactate, hr = (float(word.replace(",", ".")) for word in words)
            except ValueError:
                text = tr("Stage {number} holds something that is no number.")
                raise UserError(text.format(number=at + 1)) from None
            found.append(Stage(load, lactate, hr))
        return tuple(found)

    def test(self) -> LactateTest | None:
        """The test, None while there are too few stages."""
        stages = self.stages()
        if len(stages) < LEAST_STAGES:
            return None
        rest = self.rest.value() or None
        return LactateTest(stages, self.unit.currentText(), rest)

    def found(self) -> FoundBand | None:
        test = self.test()
        if test is None:
            return None
        proposal = propose_band(test)
        low, high = proposal.lower_range_bpm, proposal.upper_range_bpm
        edges = tr(
            "The lower edge lies from {low} to {low_end} bpm, the upper from {high} to {high_end}."
        ).format(low=low[0], low_end=low[1], high=high[0], high_end=high[1])
        return FoundBand(proposal.band, f"{edges} {say(proposal.why_a_range)}")

    def fill(self, band: Band) -> bool:
        test = test_of(band.basis)
        if test is None:
            return False
        if self.unit.findText(test.load_unit) < 0:
            self.unit.addItem(test.load_unit)
        self.unit.setCurrentText(test.load_unit)
        self.rest.setValue(test.resting_mmol_l or 0.0)
        self.enter(test.stages)
        self._edited()
        return True

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
                    f"{key_name(each.method)}: {say(each.reason) if each.reason else ''}"
                    if each.hr_bpm is None or each.load is None
                    else tr("{method}: {bpm} bpm at {load} {unit}").format(
                        method=key_name(each.method),
                        bpm=figure(each.hr_bpm),
                        load=shortest_number(float(f"{each.load:.3g}")),
                        unit=test.load_unit,
                    )
                    for each in found
                )
            )
            self.readings.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.changed.emit()
