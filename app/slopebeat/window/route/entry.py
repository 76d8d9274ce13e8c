"""What is entered for a plan: the way, the day, the aim, and a loop that may be gone again."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QAbstractSpinBox, QFrame, QSpinBox

from slopebeat.analysis.route.plan import StrategyName
from slopebeat.model.bands import Band
from slopebeat.model.errors import UserError
from slopebeat.model.evidence import RIDE, RUN, WALK
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import GROUND, TEMPERATURE
from slopebeat.model.people import Ground
from slopebeat.model.route import Route
from slopebeat.review.planning.planning import COLDEST_C, HOTTEST_C, LONGEST_OUT_H
from slopebeat.review.words.names import key_name, on_way
from slopebeat.session.route.route import RoutePlanning, Wanted
from slopebeat.session.settings import LOAD_KG
from slopebeat.window.widgets.band_entry import bpm_box, edge_boxes
from slopebeat.window.widgets.boxes import (
    DecimalBox,
    choice_box,
    enter,
    entered,
    entry_box,
    mass_box,
    minutes_box,
    not_edited,
    own_mass_boxes,
)
from slopebeat.window.widgets.parts import button, entries, label, stacked
from slopebeat.window.widgets.wrapping_row import WrappingRow

WAYS = ((Ground.FOOT, WALK), (Ground.FOOT, RUN), (Ground.BIKE, RIDE))
"""Ground and sport of each way to go; one never tells of another."""

WAY_NAMES = (mark("walking"), mark("running"), mark("on a bike"))
PACES = (StrategyName.HOLD, StrategyName.USUAL)
CARD_MARGINS = (12, 10, 12, 10)

STEP_MIN = 5
"""Of a box of minutes, up or down by one key or click [project choice]."""

LEAST_LETTERS = 8
"""Of a choice that are seen at the least; the list that opens shows them all [project choice]."""


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

    def __init__(self, planning: RoutePlanning) -> None:
        super().__init__()
        self.setObjectName("card")
        self._planning = planning
        which, least = tr("Which way of the file is planned on"), LEAST_LETTERS
        self.way = choice_box(tr("Way of the file"), which, (), least)
        apart = tr("Walks, runs and rides each learn from their own outings; one never tells of another.")
        self.ground = choice_box(tr("Sport"), apart, [(tr(each), None) for each in WAY_NAMES], least)
        shown = tr("Which of the two plans the profile and the pocket card show.")
        self.pace = choice_box(tr("Effort"), shown, [(key_name(each), None) for each in PACES], least)
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
        stacked(
            self.way,
            entries((tr("Sport"), self.ground), (tr("Effort"), self.pace)),
            label(tr("Target and band"), "heading"),
            entries((tr("In band"), self.target), (tr("From"), self.from_bpm), (tr("to"), self.to_bpm)),
            entries((tr("Mean heart rate to hold"), self.hold)),
            label(tr("Masses"), "heading"),
            entries((tr("Body"), self.body), (tr("Bike"), self.bike)),
            entries((tr("Load"), self.load), (tr("Set down at"), self.until)),
            label(tr("The day"), "heading"),
            entries((tr("Already out"), self.out), (tr("Air"), self.air)),
            of=self,
            margins=CARD_MARGINS,
            spacing=5,
        )

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
        enter(self.hold, wanted.hold_bpm)
        own = (self.body, wanted.aim.body_mass_kg), (self.bike, wanted.aim.bike_mass_kg)
        for mass, kg in (*own, (self.load, wanted.day.load_kg)):
            mass.use_unit()
            mass.set_kg(kg)
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
        hold, pace = entered(self.hold), PACES[self.pace.currentIndex()]
        return replace(before, aim=aim, day=day, hold_bpm=hold and float(hold), pace=pace)

    def _band(self) -> Band | None:
        lower, upper = entered(self.from_bpm), entered(self.to_bpm)
        if lower is None or upper is None:
            return None
        known = self._planning.wanted.aim.band
        if known is not None and (known.lower_bpm, known.upper_bpm) == (lower, upper):
            return known
        return Band(lower, upper)


class LoopEntry(QFrame):
    """A loop by its two ends, typed; drawn ones are shown here as well."""

    def __init__(self, planning: RoutePlanning) -> None:
        super().__init__()
        self.setObjectName("card")
        self._planning = planning
        tip = tr("Distance along the way. A loop can also be drawn on the profile with the mouse.")
        self.start = PlaceBox(tr("Start of the loop"), tip)
        self.end = PlaceBox(tr("End of the loop"), tip)
        self.snap = button(tr("Move the ends together"), "", tr("To where they lie closest on the ground"))
        self.clear = button(tr("No loop"), "", tr("Plan without extra laps"))
        self.words = label("", "caption", wrap=True)
        heading = label(tr("A loop to go again"), "heading")
        ends, acts = entries((tr("From"), self.start), (tr("to"), self.end)), (self.snap, self.clear)
        parts = (heading, ends, WrappingRow(*acts, line_spacing=5), self.words)
        stacked(*parts, of=self, margins=CARD_MARGINS, spacing=5)
        for box in (self.start, self.end):
            box.valueChanged.connect(self._edited)
        self.snap.clicked.connect(self._snap)
        self.clear.clicked.connect(lambda: planning.set_wanted(replace(planning.wanted, loop_m=None)))
        planning.wanted_changed.connect(self.show_loop)
        self.show_loop()

    def show_loop(self) -> None:
        """Show the loop in the unit in force, and whether it is one on the ground."""
        route, loop = self._planning.route, self._planning.loop
        length = route.length_m if route else 0.0
        ends = (loop.start_m, loop.end_m) if loop else (0.0, 0.0)
        for box, at in zip((self.start, self.end), ends, strict=True):
            box.use_unit(at, length)
        self.snap.setEnabled(loop is not None and loop.closed is not None)
        self.clear.setEnabled(loop is not None)
        self.words.setText(self._said())

    def _said(self) -> str:
        loop = self._planning.loop
        if loop is None:
            return tr("Draw a stretch on the profile, or type its ends: laps to the target are counted.")
        if loop.apart_m is None:
            return tr("This file has no positions: whether the ends meet is not known.")
        if loop.closed:
            return tr("The ends lie {distance} apart.").format(distance=on_way(loop.apart_m))
        text = tr("No loop: the ends lie {distance} apart on the ground; going it again needs a way between.")
        return text.format(distance=on_way(loop.apart_m))

    def _edited(self) -> None:
        if self.end.metres() > self.start.metres():
            self._planning.mark_loop(self.start.metres(), self.end.metres(), snap=False)

    def _snap(self) -> None:
        loop = self._planning.loop
        if loop is not None:
            self._planning.mark_loop(loop.start_m, loop.end_m)
