"""State that only pages need: made with the first page that asks for it, and loaded with that page."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

if TYPE_CHECKING:
    from slopebeat.session.background import Background
    from slopebeat.session.ground.backdrop import PlanBackdrop
    from slopebeat.session.ground.places import GroundPlaces, OutingGround
    from slopebeat.session.library.joins import Joins
    from slopebeat.session.library.library import LibrarySession
    from slopebeat.session.outing.aim import AimState
    from slopebeat.session.outing.autosave import AutoSave
    from slopebeat.session.outing.day import OpenDay
    from slopebeat.session.outing.notes import Notes
    from slopebeat.session.outing.outing import OpenOuting
    from slopebeat.session.outing.part_aims import PartAims
    from slopebeat.session.outing.piece_selection import PieceSelection
    from slopebeat.session.outing.view_state import Selection
    from slopebeat.session.route.route import RoutePlanning
    from slopebeat.session.settings import Settings
    from slopebeat.session.undo import History


class PageStates(QObject):
    """Goes by what the session holds from the start."""

    settings: Settings
    background: Background
    aim: AimState
    outing: OpenOuting
    part_aims: PartAims
    keeping: AutoSave
    history: History
    notes: Notes
    selection: Selection
    library: LibrarySession

    @cached_property
    def day(self) -> OpenDay:
        from slopebeat.session.outing.day import OpenDay

        return OpenDay(self.background, self.outing, self.part_aims, self.keeping, self.joins)

    @cached_property
    def joins(self) -> Joins:
        from slopebeat.session.library.joins import Joins

        return Joins(self.settings, self.keeping, self.library.opened, self.history)

    @cached_property
    def piece_selection(self) -> PieceSelection:
        from slopebeat.session.outing.piece_selection import PieceSelection

        return PieceSelection(self.outing, self.selection, self)

    @cached_property
    def backdrop(self) -> PlanBackdrop:
        from slopebeat.session.ground.backdrop import PlanBackdrop

        made = PlanBackdrop(self.background, self.outing, self.keeping, self.library, self.settings)
        made.failed.connect(self.notes.failed)
        return made

    @cached_property
    def ground(self) -> GroundPlaces:
        from slopebeat.session.ground.places import GroundPlaces

        return GroundPlaces(self.library, self)

    @cached_property
    def outing_ground(self) -> OutingGround:
        from slopebeat.session.ground.places import OutingGround

        return OutingGround(self.outing, self.keeping, self.library, self)

    @cached_property
    def route(self) -> RoutePlanning:
        """The route being planned."""
        from slopebeat.session.route.route import RoutePlanning

        return RoutePlanning(self.library, self.aim, self)
