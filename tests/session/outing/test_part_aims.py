"""Each part of a day keeps its own band; what is entered on one holds for those done alike."""

from __future__ import annotations

from dataclasses import replace
from typing import cast

import numpy as np
import pytest
from PySide6.QtCore import QObject, Signal

from helpers.recordings import recording
from slopebeat.model.recording import Recording, Sport
from slopebeat.session.outing.aim import AimState, BandChoice, Entered
from slopebeat.session.outing.outing import OpenOuting
from slopebeat.session.outing.part_aims import PartAims
from slopebeat.session.settings import Settings


class Outing(QObject):
    """The recordings at hand, of which nothing is reviewed."""

    chosen = Signal()
    recordings: tuple[Recording, ...] = ()
    index = 0


class Desk(QObject):
    """The aim, the recordings at hand and what each is reviewed with."""

    def __init__(self, *sports: Sport, lower: int | None = 112) -> None:
        super().__init__()
        self.settings = Settings()
        choice = BandChoice(lower_bpm=lower, upper_bpm=None if lower is None else 131)
        self.aim = AimState(Entered(choice), self)
        self.outing = Outing(self)
        self.outing.recordings = tuple(_of(sport) for sport in sports)
        outing = cast(OpenOuting, self.outing)
        self.parts = PartAims(outing, self.aim, lambda: self.settings.content.bike_band, self)
        self.parts.bike_band_entered.connect(lambda choice: self.settings.keep(bike_band=choice))
        self.parts.expect(self.outing.recordings)
        self.outing.chosen.emit()

    def look_at(self, index: int) -> str:
        self.outing.index = index
        self.outing.chosen.emit()
        return str(self.aim.aim.band)

    def enter(self, lower: int, upper: int) -> None:
        self.aim.enter(replace(self.aim.entered, choice=BandChoice(lower_bpm=lower, upper_bpm=upper)))


def _of(sport: Sport) -> Recording:
    return replace(recording(np.arange(10.0)), sport=sport)


@pytest.fixture
def desk(qapp: object) -> Desk:
    return Desk(Sport.RUNNING, Sport.CYCLING, Sport.HIKING)


def test_a_band_entered_on_the_bike_leaves_the_others_and_the_users_own(desk: Desk) -> None:
    assert desk.look_at(1) == "112-131 bpm"
    desk.enter(105, 125)
    assert [str(desk.parts.aim_of(i).band) for i in range(3)] == ["112-131 bpm", "105-125 bpm", "112-131 bpm"]
    assert desk.look_at(2) == "112-131 bpm"
    assert desk.aim.own.choice.lower_bpm == 112
    again = Desk(Sport.CYCLING, Sport.RUNNING)
    assert [str(again.parts.aim_of(i).band) for i in range(2)] == ["105-125 bpm", "112-131 bpm"]


def test_what_was_done_alike_shares_a_band(desk: Desk) -> None:
    desk.enter(115, 135)
    assert [str(desk.parts.aim_of(i).band) for i in range(3)] == ["115-135 bpm", "112-131 bpm", "115-135 bpm"]


def test_target_and_masses_hold_for_all_parts(desk: Desk) -> None:
    entered = desk.aim.entered
    desk.aim.enter(replace(entered, rest=replace(entered.rest, target_s=3600.0, load_kg=9.0)))
    assert [desk.parts.aim_of(i).target_s for i in range(3)] == [3600.0] * 3
    assert desk.parts.aim_of(2).load_kg == 0.0  # What was carried is another part's own.


def test_the_first_band_holds_for_all_and_goes_with_all(qapp: object) -> None:
    desk = Desk(Sport.RUNNING, Sport.CYCLING, lower=None)
    empty = desk.aim.entered
    desk.enter(112, 131)
    assert desk.look_at(1) == "112-131 bpm"
    desk.look_at(0)
    desk.aim.enter(empty)
    assert desk.look_at(1) == "None"


def test_a_ride_by_itself_has_the_users_own_band(qapp: object) -> None:
    desk = Desk(Sport.CYCLING)
    desk.enter(100, 120)
    assert desk.aim.own.choice.lower_bpm == 100
    assert desk.settings.content.bike_band is None
