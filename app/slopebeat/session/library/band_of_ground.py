"""The band of an outing on screen follows what was done: on foot and on a bike others are in force."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QObject

from slopebeat.model.bands import BandMethod
from slopebeat.model.notes import sport_from_notes
from slopebeat.model.people import Ground, band_in_force
from slopebeat.model.recording import local_day
from slopebeat.session.library.opened import OpenLibrary
from slopebeat.session.outing.aim import AimState, BandChoice
from slopebeat.session.outing.autosave import AutoSave
from slopebeat.session.outing.outing import OpenOuting


class BandOfGround(QObject):
    """Enters the band in force of the other ground once a note on the sport, or undo, changes it.

    Only for an outing that is kept for the athlete looked at: for others no band is in force.
    """

    def __init__(
        self, outing: OpenOuting, aim: AimState, keeping: AutoSave, opened: OpenLibrary, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._outing, self._aim, self._keeping, self._opened = outing, aim, keeping, opened
        self._known: tuple[str, Ground] | None = None
        outing.chosen.connect(self._start)
        outing.notes_changed.connect(self._follow)

    def _now(self) -> tuple[str, Ground] | None:
        """The outing and its ground; None where it is not kept for the athlete looked at."""
        athlete, kept_as = self._opened.athlete, self._keeping.kept_as
        if not kept_as or athlete is None or self._keeping.kept_for != athlete.identity:
            return None
        sport = sport_from_notes(self._outing.notes) or self._outing.recordings[self._outing.index].sport
        return kept_as, Ground.BIKE if sport.on_bike else Ground.FOOT

    def _start(self) -> None:
        self._known = self._now()

    def _follow(self) -> None:
        before, now = self._known, self._now()
        self._known = now
        if before is None or now is None or before[0] != now[0] or before[1] is now[1]:
            return
        recording = self._outing.recordings[self._outing.index]
        day = local_day(recording.start_utc, recording.utc_offset_s)
        band = band_in_force(self._opened.periods, now[1], day)
        choice = BandChoice()
        if band is not None:
            choice = BandChoice(BandMethod.MANUAL, band.lower_bpm, band.upper_bpm)
        self._aim.enter(replace(self._aim.entered, choice=choice))
