"""What each of the recordings at hand is reviewed with: on a bike another band may hold than on foot."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from PySide6.QtCore import QObject, Signal

from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording
from slopebeat.session.outing.aim import AimState, BandChoice, Entered, aim_of
from slopebeat.session.outing.outing import OpenOuting


class PartAims(QObject):
    """Remembers the entries of each recording, and puts those of the chosen one in force.

    A band that is entered holds for what was done alike, on a bike or not, and for recordings without one;
    the rest of what is entered holds for all. It hears of what is chosen before what keeps the load does.
    """

    bike_band_entered = Signal(object)
    """How the band of parts on a bike is found from now on; ``bike_band`` is asked for it."""

    def __init__(
        self, outing: OpenOuting, aim: AimState, bike_band: Callable[[], BandChoice | None], parent: QObject
    ) -> None:
        super().__init__(parent)
        self._outing, self._aim, self._bike_band = outing, aim, bike_band
        self._entries: list[Entered] = []
        self._on_bike: list[bool] = []
        self._shown = -1
        outing.chosen.connect(self._switch)
        aim.entered_changed.connect(self._follow)

    def expect(self, recordings: Sequence[Recording], entries: Sequence[Entered] = ()) -> None:
        """These are shown next, with these entries; without any, the aim in force holds for all.

        The user's own recordings on a bike have the band entered for the bike, where there is one.
        """
        self._on_bike = [each.sport.on_bike for each in recordings]
        self._entries, self._shown = list(entries), -1
        if not entries:
            own, bike = self._aim.entered, None if self._aim.for_now else self._bike_band()
            on_bike = own if bike is None else replace(own, choice=bike)
            self._entries = [on_bike if each else own for each in self._on_bike]

    def aim_of(self, index: int) -> Aim:
        """The aim of a recording at hand; what was carried there is kept elsewhere."""
        known = index < len(self._entries) and index != self._shown
        return aim_of(self._entries[index])[0] if known else self._aim.aim

    @property
    def trying(self) -> bool:
        """Whether what is in force is only tried."""
        return self._aim.trying

    def _switch(self) -> None:
        index = self._outing.index
        if not 0 <= index < len(self._entries):
            self._aim.band_apart = False
            return
        self._shown = index
        known = self._bike_band() is not None
        self._aim.band_apart = self._on_bike[index] and (known or not all(self._on_bike))
        carried, entered = self._aim.entered.rest, self._entries[index]
        rest = replace(entered.rest, load_kg=carried.load_kg, load_until_s=carried.load_until_s)
        entered = replace(entered, rest=rest)
        self._entries[index] = entered
        if entered != self._aim.entered:
            self._aim.show(entered)

    def _follow(self) -> None:
        """What was entered holds for the recordings it is of."""
        at, now = self._shown, self._aim.entered
        if self._aim.trying or not 0 <= at < len(self._entries) or now == self._entries[at]:
            return
        before, self._entries[at] = self._entries[at], now
        for other, entered in enumerate(self._entries):
            if other != at:
                alike = self._on_bike[other] == self._on_bike[at] and entered.choice == before.choice
                # A first band holds for all that have none, and goes with all when it is taken back.
                empty = _without_band(entered) or (entered.choice == before.choice and _without_band(now))
                rest = replace(now.rest, load_kg=entered.rest.load_kg, load_until_s=entered.rest.load_until_s)
                self._entries[other] = Entered(now.choice if alike or empty else entered.choice, rest)
        if now.choice != before.choice and self._aim.band_apart and not self._aim.for_now:
            self.bike_band_entered.emit(now.choice)


def _without_band(entered: Entered) -> bool:
    return aim_of(entered)[0].band is None
