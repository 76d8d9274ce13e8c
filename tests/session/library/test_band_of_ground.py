"""A note on what was done brings the band of that ground, and undoing it the one before."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from types import SimpleNamespace
from typing import Any

import numpy as np
from PySide6.QtCore import QObject

from helpers.recordings import recording
from slopebeat.model.bands import Band
from slopebeat.model.note_kinds import SPORTS, Author
from slopebeat.model.notes import NoteKind, new_note
from slopebeat.model.people import Athlete, BandPeriod, Ground
from slopebeat.model.recording import Sport
from slopebeat.session.library.band_of_ground import BandOfGround
from slopebeat.session.outing.aim import AimState, BandChoice, Entered
from slopebeat.session.outing.notes import Notes
from slopebeat.session.outing.outing import OpenOuting
from slopebeat.session.steps import Steps
from slopebeat.session.undo import History

WHO = Athlete("a" * 36, "Hut warden")
FOOT, BIKE = Band(112, 131), Band(105, 124)


class AtOnce:
    """Background work done before it returns."""

    def run_in_background(
        self, work: Callable[..., Any], on_done: Callable[[Any], None], on_error: Callable[..., None], *_: Any
    ) -> SimpleNamespace:
        on_done(work(lambda share: None))
        return SimpleNamespace(cancel=lambda: None)


def edges(aim: AimState) -> tuple[int, int] | None:
    band = aim.aim.band
    return None if band is None else (band.lower_bpm, band.upper_bpm)


def desk(kept_as: str) -> tuple[AimState, Notes, History]:
    """A walk on screen, kept as this outing, with a band on foot and one on a bike in force."""
    aim = AimState(Entered(BandChoice(lower_bpm=112, upper_bpm=131)))

    def review(recording: object, aim: object, marks: object, notes: object) -> SimpleNamespace:
        return SimpleNamespace(recording=recording, aim=aim, marks=marks)

    outing = OpenOuting(AtOnce(), aim, Steps(), review)  # type: ignore[arg-type]
    history = History()
    notes = Notes(outing, history)
    periods = tuple(
        BandPeriod(WHO.identity, ground, date(2000, 1, 1), band)
        for ground, band in ((Ground.FOOT, FOOT), (Ground.BIKE, BIKE))
    )
    keeping = SimpleNamespace(kept_as=kept_as, kept_for=WHO.identity)
    opened = SimpleNamespace(athlete=WHO, periods=periods)
    BandOfGround(outing, aim, keeping, opened, outing)  # type: ignore[arg-type]
    assert isinstance(outing, QObject)
    outing.set_recordings((recording(np.arange(120.0), sport=Sport.HIKING),))
    return aim, notes, history


def said(sport: Sport) -> float:
    return SPORTS.index(sport) + 1.0


def test_the_band_of_the_other_ground_is_entered_and_taken_back() -> None:
    aim, notes, history = desk("an outing")
    notes.add(new_note(NoteKind.SPORT, Author.ATHLETE, value=said(Sport.MOUNTAIN_BIKING)))
    assert edges(aim) == (105, 124)
    history.undo()
    assert edges(aim) == (112, 131)
    # Another sport on the same ground leaves the band that stands there.
    notes.add(new_note(NoteKind.SPORT, Author.ATHLETE, value=said(Sport.RUNNING)))
    assert edges(aim) == (112, 131)


def test_an_outing_that_is_not_kept_keeps_the_band_that_was_entered() -> None:
    aim, notes, _ = desk("")
    notes.add(new_note(NoteKind.SPORT, Author.ATHLETE, value=said(Sport.MOUNTAIN_BIKING)))
    assert edges(aim) == (112, 131)
