"""What is entered for a plan: the way, the day, the aim, and a loop that may be gone again."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QAbstractSpinBox, QComboBox, QFrame, QSpinBox, QVBoxLayout, QWidget

from slopebeat.analysis.route.plan import StrategyName
from slopebeat.model.bands import Band
from slopebeat.model.errors import UserError
from slopebeat.model.evidence import RIDE, RUN, WALK
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import GROUND, TEMPERATURE
from slopebeat.model.people import Ground
from slopebeat.model.route import Route
from slopebeat.review.planning.planning import COLDEST_C, HOTTEST_C, LONGEST_OUT_H
from slopebeat.review.words.names import key_name
from slopebeat.session.route.route import RoutePlanning, Wanted
from slopebeat.session.settings import LOAD_KG
from slopebeat.window.widgets.band_entry import UNSET, bpm_box, edge_boxes
from slopebeat.window.widgets.number_box import (
    DecimalBox,
    entry_box,
    mass_box,
    minutes_box,
    not_edited,
    own_mass_boxes,
)
from slopebeat.window.widgets.parts import entries, label

WAYS = ((Ground.FOOT, WALK), (Ground.FOOT, RUN), (Ground.BIKE, RIDE))
"""Ground and sport of each way to go; one never tells of another."""

WAY_NAMES = (mark("walking"), mark("running"), mark("on a bike"))
PACES = (StrategyName.HOLD, StrategyName.USUAL)

STEP_MIN = 5
"""Of a box of minutes, up or down by one key or click [project choice]."""

LEAST_LETTERS = 8
"""Of a choice that are seen at the least; the list that opens shows them all [project choice]."""


def _choice(name: str, tip: str, words: tuple[str, ...]) -> QComboBox:
    box = QComboBox()
    box.setAccessibleName(name)
    box.setToolTip(tip)
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setMinimumContentsLength(LEAST_LETTERS)
    box.addItems(words)
    return box


class DegreeBox(QSpinBox):
    """An air temperature in the unit in force; one under the least value means it is not known."""

    def __init__(self) -> None:
        super().__init__()
        self.setSpecialValueText(tr("not known"))
        entry_box(
            self, tr("Air temperature"), tr("Warm air raises the heart rate; not known is taken as mild.")
        )
        self.use_unit(None)

    def celsius(self) -> float | None:
        return None if self.value() == self.minimum() else TEMPERATURE.si(self.value())

    def use_unit(self, celsius: float | None) -> None:
        """Show a temperature in the unit in force."""
        with not_edited(self):
            self.setSuffix(f" {TEMPERATURE.unit}")
            self.setRange(round(TEMPERATURE.shown(COLDEST_C)) - 1, round(TEMPERATURE.shown(HOTTEST_C)))
            self.setValue(self.minimum() if celsius is None else round(TEMPERATURE.shown(celsius)))


class PlaceBox(DecimalBox):
    """A place along the way in the unit in force."""

    def __init__(self, name: str, tip: str, special: str = "") -> None:
        super().__init__()
        entry_box(self, name, tip)
        self.setSpecialValueText(special)
        self.setDecimals(2)
        self.setSingleStep(0.1)

    def metres(self) -> float:
        return GROUND.si(self.value())

    def use_unit(self, metres: float, length_m: float) -> None:
        """Show a place on a way of this length in the unit in force."""
        with not_edited(self):
            self.setSuffix(f" {GROUND.unit}")
            self.setRange(0.0, GROUND.shown(length_m) + 0.005)
            self.setValue(GROUND.shown(metres))


class RouteEntry(QFrame):
    """Shows what is wanted of a plan and passes edits on."""

    def __init__(self, planning: RoutePlanning, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self._planning = planning
        self.way = _choice(tr("Way of the file"), tr("Which way of the file is planned on"), ())
        self.ground = _choice(
            tr("Sport"),
            tr("Walks, runs and rides each learn from their own outings; one never tells of another."),
            tuple(tr(each) for each in WAY_NAMES),
        )
        self.pace = _choice(
            tr("Effort"),
            tr("Which of the two plans the profile and the pocket card show."),
            tuple(key_name(each) for each in PACES),
        )
        self.target = minutes_box(
            tr("Target minutes in band"), tr("Minutes in band prescribed."), (0, 600), step=STEP_MIN
        )
        self.hold = bpm_box(
            tr("Heart rate to hold"),
            tr("Mean heart rate the second plan holds; not set is the middle of the band."),
        )
        self.hold.setSpecialValueText(tr("middle of the band"))
        self.from_bpm, self.to_bpm = edge_boxes()
        self._make_day()
        self._lay_out()
        self._connect()
        self.show_wanted()

    def _make_day(self) -> None:
        """The entries of what is carried, and of the day."""
        self.body, self.bike = own_mass_boxes()
        self.load = mass_box(
            tr("Load carried"), LOAD_KG, tr("Pack and clothing. It is counted like body mass, too little.")
        )
        self.until = PlaceBox(
            tr("Load set down at"), tr("Where along the way the load is set down."), tr("never")
        )
        self.air = DegreeBox()
        self.out = minutes_box(
            tr("Already out today"),
            tr("Minutes on the way before the start. The heart has drifted that long, and tiredness counts."),
            (0, round(60 * LONGEST_OUT_H)),
            tr("fresh"),
            STEP_MIN,
        )

    def _lay_out(self) -> None:
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 10, 12, 10)
        layout.setSpacing(5)
        layout.addWidget(self.way)
        layout.addLayout(entries((tr("Sport"), self.ground), (tr("Effort"), self.pace)))
        layout.addWidget(label(tr("Target and band"), "heading"))
        layout.addLayout(
            entries((tr("In band"), self.target), (tr("From"), self.from_bpm), (tr("to"), self.to_bpm))
        )
        layout.addLayout(entries((tr("Mean heart rate to hold"), self.hold)))
        layout.addWidget(label(tr("Masses"), "heading"))
        layout.addLayout(entries((tr("Body"), self.body), (tr("Bike"), self.bike)))
        layout.addLayout(entries((tr("Load"), self.load), (tr("Set down at"), self.until)))
        layout.addWidget(label(tr("The day"), "heading"))
        layout.addLayout(entries((tr("Already out"), self.out), (tr("Air"), self.air)))

    def _connect(self) -> None:
        planning = self._planning
        planning.wanted_changed.connect(self.show_wanted)
        planning.route_changed.connect(self._show_ways)
        self.way.activated.connect(planning.choose_way)
        for choice in (self.ground, self.pace):
            choice.activated.connect(self._edited)
        for box in self._boxes():
            box.valueChanged.connect(self._edited)  # type: ignore[attr-defined]

    def _boxes(self) -> tuple[QAbstractSpinBox, ...]:
        masses = (self.body, self.bike, self.load)
        return (self.target, self.from_bpm, self.to_bpm, self.hold, *masses, self.until, self.air, self.out)

    def show_wanted(self) -> None:
        """Show the entries in the units in force without calling them an edit."""
        wanted, route = self._planning.wanted, self._planning.route
        with not_edited(*self._boxes()):
            self._fill(wanted, route)
        self.bike.setEnabled(wanted.ground is Ground.BIKE)
        self.until.setEnabled(wanted.day.load_kg > 0.0)

    def _fill(self, wanted: Wanted, route: Route | None) -> None:
        self.ground.setCurrentIndex(WAYS.index((wanted.ground, wanted.sport)))
        self.pace.setCurrentIndex(PACES.index(wanted.pace))
        self.target.setValue(round(wanted.aim.target_s / 60.0))
        band = wanted.aim.band
        if band is not None:
            self.from_bpm.setValue(band.lower_bpm)
            self.to_bpm.setValue(band.upper_bpm)
        self.hold.setValue(UNSET if wanted.hold_bpm is None else round(wanted.hold_bpm))
        for mass, kg in ((self.body, wanted.aim.body_mass_kg), (self.bike, wanted.aim.bike_mass_kg)):
            mass.use_unit()
            mass.set_kg(kg)
        self.load.use_unit()
        self.load.set_kg(wanted.day.load_kg)
        self.until.use_unit(wanted.day.load_until_m or 0.0, route.length_m if route else 0.0)
        self.air.use_unit(wanted.day.temperature_c)
        self.out.setValue(round(60.0 * wanted.day.hours_out))

    def _show_ways(self) -> None:
        self.way.clear()
        for number, route in enumerate(self._planning.routes, start=1):
            name = route.title or tr("Way {number}").format(number=number)
            self.way.addItem(f"{name}, {GROUND.text(route.length_m, 1)}")
        self.way.setCurrentIndex(self._planning.index)
        self.way.setEnabled(len(self._planning.routes) > 1)

    def _edited(self) -> None:
        before = self._planning.wanted
        ground, sport = WAYS[self.ground.currentIndex()]
        if (ground, sport) != (before.ground, before.sport):
            self._planning.set_wanted(replace(before, ground=ground, sport=sport))
            return
        try:
            band = self._band()
        except UserError as problem:
            self._planning.failed.emit(str(problem))
            return
        self._planning.set_wanted(self._wanted(before, band))

    def _wanted(self, before: Wanted, band: Band | None) -> Wanted:
        aim = replace(
            before.aim,
            band=band,
            target_s=60.0 * max(self.target.value(), 1),
            body_mass_kg=self.body.kg(),
            bike_mass_kg=self.bike.kg(),
        )
        load, until = self.load.kg(), self.until.metres()
        day = replace(
            before.day,
            load_kg=load,
            load_until_m=until if load > 0.0 and until > 0.0 else None,
            hours_out=self.out.value() / 60.0,
            temperature_c=self.air.celsius(),
        )
        hold = None if self.hold.value() == UNSET else float(self.hold.value())
        return replace(before, aim=aim, day=day, hold_bpm=hold, pace=PACES[self.pace.currentIndex()])

    def _band(self) -> Band | None:
        lower, upper = self.from_bpm.value(), self.to_bpm.value()
        if UNSET in (lower, upper):
            return None
        known = self._planning.wanted.aim.band
        if known is not None and (known.lower_bpm, known.upper_bpm) == (lower, upper):
            return known
        return Band(lower, upper)
