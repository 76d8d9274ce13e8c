"""Units, language, look and text size, on a page of their own."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QCheckBox, QGridLayout, QSpinBox, QWidget

from slopebeat.model.language import LANGUAGES, mark, tr
from slopebeat.model.measures import GROUND, HEIGHT, MASS, SPEED
from slopebeat.session.display import Display
from slopebeat.session.settings import BY_SYSTEM, TEXT_PERCENT, Appearance, Units
from slopebeat.window.widgets.boxes import choice_box
from slopebeat.window.widgets.parts import ENTRY_PX, button, card, in_the_middle, label, row

AS_SYSTEM = mark("As the system is set")

UNITS = (
    (Units.SYSTEM, AS_SYSTEM),
    (Units.METRIC, mark("Metric")),
    (Units.IMPERIAL, mark("Imperial")),
)
LOOKS = ((Appearance.SYSTEM, AS_SYSTEM), (Appearance.LIGHT, mark("Light")), (Appearance.DARK, mark("Dark")))

LANGUAGE_NOTE = mark("The language changes at the next start, the rest at once.")

STEP_PERCENT = 10


class PreferencesPage(QWidget):
    """Every choice is taken and kept as it is made; ``back`` is the button to go back."""

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("page")
        self._display = display
        self.units = choice_box(tr("Units"), "", [(tr(words), unit) for unit, words in UNITS])
        # Each language is named in itself, for whoever cannot read the one in force.
        languages = [(name, code) for code, name in LANGUAGES.items()]
        self.language = choice_box(tr("Language"), "", [(tr(AS_SYSTEM), BY_SYSTEM), *languages])
        self.look = choice_box(tr("Look"), "", [(tr(words), look) for look, words in LOOKS])
        self.pace = QCheckBox(tr("Pace"))
        self.text = QSpinBox()
        self.text.setMinimumHeight(ENTRY_PX)
        self.text.setRange(*TEXT_PERCENT)
        self.text.setSingleStep(STEP_PERCENT)
        self.text.setSuffix(" %")
        self.text.setKeyboardTracking(False)
        self.now = label("", "caption")
        self.back = button(tr("Done"), "primary", tr("Go back to where you were"))
        self._fill()
        self._lay_out()
        self._show()
        for box in (self.units, self.language, self.look):
            box.activated.connect(self._choose)
        self.pace.clicked.connect(self._choose)
        self.text.valueChanged.connect(self._choose)
        display.changed.connect(self._show)

    def _fill(self) -> None:
        chosen = self._display.preferences
        for box, value in (
            (self.units, chosen.units),
            (self.language, chosen.language),
            (self.look, chosen.look),
        ):
            box.setCurrentIndex(box.findData(value))
        self.pace.setChecked(chosen.pace)
        self.text.setValue(chosen.text_percent)

    def _lay_out(self) -> None:
        frame, inside = card(28, 14)
        frame.setMinimumWidth(560)
        inside.addWidget(label(tr("Preferences"), "answer"))
        grid = QGridLayout()
        grid.setHorizontalSpacing(16)
        grid.setVerticalSpacing(10)
        grid.setColumnStretch(2, 1)
        rows: tuple[tuple[str, QWidget, QWidget], ...] = (
            (tr("Units"), self.units, self.now),
            (tr("On foot"), self.pace, label(tr("Time per kilometre or mile; on a bike speed"), "caption")),
            (tr("Language"), self.language, label(tr(LANGUAGE_NOTE), "caption", wrap=True)),
            (tr("Look"), self.look, label(tr("Colours of window and charts"), "caption")),
            (tr("Text size"), self.text, label(tr("Also of the words in charts"), "caption")),
        )
        for at, (name, box, note) in enumerate(rows):
            box.setAccessibleName(name)
            box.setMinimumWidth(190)
            words = label(name)
            words.setBuddy(box)
            for column, widget in enumerate((words, box, note)):
                grid.addWidget(widget, at, column)
        inside.addLayout(grid)
        files = tr("Files that are written for other programs stay metric with a decimal point.")
        inside.addWidget(label(files, "caption", wrap=True))
        inside.addLayout(row(self.back))
        in_the_middle(frame, self)

    def _show(self) -> None:
        signs = ", ".join((GROUND.unit, HEIGHT.unit, SPEED.unit, MASS.unit))
        self.now.setText(tr("Now: {units}").format(units=signs))

    def _choose(self) -> None:
        self._display.choose(
            replace(
                self._display.preferences,
                units=Units(self.units.currentData()),
                language=str(self.language.currentData()),
                look=Appearance(self.look.currentData()),
                text_percent=self.text.value(),
                pace=self.pace.isChecked(),
            )
        )
