"""What is drawn behind the plan: own outings of a library, hills and tiles of the user's files."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np
from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QImage

from slopebeat.model.language import trn
from slopebeat.model.track import Array
from slopebeat.review.ground.backdrop import NOTHING, Backdrop, box_around, read_backdrop
from slopebeat.session.background import Background, Latest, Progress

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.library.ways import KeptLine
    from slopebeat.model.recording import Recording
    from slopebeat.model.way import Box
    from slopebeat.session.library.library import LibrarySession
    from slopebeat.session.outing.autosave import AutoSave
    from slopebeat.session.outing.outing import OpenOuting
    from slopebeat.session.settings import BackdropChoice, Settings


MOST_TRAILS, MOST_TRAIL_POINTS = 60, 6_000
"""How many outings lie behind a plan, the latest ones, and of how many points together [project choice]: the
hundreds of two years are a grey net that hides the paper, and hold the window up each time it is painted."""


@dataclass(frozen=True, eq=False)
class Trails:
    """Where ``outings`` went, one after the other in degrees (n,); NaN where a line breaks."""

    outings: int
    lat_deg: Array
    lon_deg: Array


NO_TRAILS = Trails(0, np.zeros(0), np.zeros(0))


@dataclass(frozen=True, eq=False)
class Behind:
    """All that was read for one recording; ``tiles`` are the pictures with the degrees they lie between."""

    trails: Trails = NO_TRAILS
    ground: Backdrop = NOTHING
    tiles: tuple[tuple[Box, QImage], ...] = ()
    problems: tuple[str, ...] = ()


class PlanBackdrop(QObject):
    """Reads in the background at each other recording and choice; ``failed`` tells a sentence."""

    changed = Signal()
    failed = Signal(str)

    def __init__(
        self,
        background: Background,
        outing: OpenOuting,
        keeping: AutoSave,
        library: LibrarySession,
        settings: Settings,
    ) -> None:
        super().__init__()
        self._latest = Latest(background)
        self._outing, self._keeping, self._library, self._settings = outing, keeping, library, settings
        self._read_for: tuple[object, ...] = ()
        self.behind = Behind()
        self._asked = False
        outing.reviewed.connect(self._reviewed)
        self._reviewed()

    @property
    def choice(self) -> BackdropChoice:
        return self._settings.content.preferences.backdrop

    def choose(self, **changes: Any) -> None:
        """Change fields of the choice: whether trails are shown, and the files of hills and map or none."""
        preferences = self._settings.content.preferences
        self._settings.keep(preferences=replace(preferences, backdrop=replace(self.choice, **changes)))
        self._asked = True
        self.update()

    def _reviewed(self) -> None:
        review = self._outing.review
        if review is not None and self._key(review.recording) != self._read_for:
            self.update()

    def _whose(self) -> tuple[Library, str, str] | None:
        """The library and the athlete whose outings lie behind the plan, and which of them is on screen."""
        kept = self._keeping.kept_in
        if kept is not None:
            return kept[0], self._keeping.kept_for, kept[1]
        opened = self._library.opened
        if opened.library is None or opened.athlete is None or opened.is_demo:
            return None
        return opened.library, opened.athlete.identity, ""

    def _key(self, recording: Recording) -> tuple[object, ...]:
        """Positions stay the same object whatever else is put right in a recording.

        They are kept in the key: another outing's could come to lie where they lay.
        """
        return recording.samples, self.choice, self._whose()

    def update(self) -> None:
        """Read anew; what was being read is dropped."""
        self._latest.drop()
        review = self._outing.review
        if review is None:
            return
        self._read_for = self._key(review.recording)
        samples, choice, whose = review.recording.samples, self.choice, self._whose()
        box = box_around(samples["lat_deg"], samples["lon_deg"])
        if box is None:
            self._take(Behind())
            return

        def read(progress: Progress) -> Behind:
            trails = NO_TRAILS
            if choice.trails and whose is not None:
                library, athlete, shown = whose
                lines = library.ways.lines(athlete, box)
                trails = _trails([line for line in lines if line.outing != shown])
            ground = read_backdrop(choice.elevation, choice.tiles, box, progress)
            pictures = _decoded(ground, progress)
            lost = len(ground.tiles.tiles) - len(pictures)
            text = trn("{n} tile of the map is damaged.", "{n} tiles of the map are damaged.", lost)
            problems = (*ground.problems, *([text.format(n=lost)] if lost else []))
            return Behind(trails, ground, pictures, problems)

        self._latest.start(read, self._take)

    def _take(self, behind: Behind) -> None:
        self.behind = behind
        self.changed.emit()
        # Of a file that was just chosen; elsewhere than at its own ground it may well hold nothing.
        if behind.problems and self._asked:
            self.failed.emit(" ".join(behind.problems))
        self._asked = False


def _trails(lines: Sequence[KeptLine]) -> Trails:
    """The latest of the lines, which come earliest first, by every so many of their points."""
    latest = lines[-MOST_TRAILS:]
    every = max(1, -(-sum(len(line.points) for line in latest) // MOST_TRAIL_POINTS))
    if not latest:
        return NO_TRAILS
    lat, lon = [], []
    for points in (line.points for line in latest):
        # A break where nothing is known between two pieces, and one at the end.
        kept = slice(None, None, every)
        breaks = np.append(np.flatnonzero(np.diff(points.piece[kept])) + 1, points.piece[kept].size)
        lat.append(np.insert(points.lat_deg[kept].astype(float), breaks, np.nan))
        lon.append(np.insert(points.lon_deg[kept].astype(float), breaks, np.nan))
    return Trails(len(latest), np.concatenate(lat), np.concatenate(lon))


def _decoded(ground: Backdrop, progress: Progress) -> tuple[tuple[Box, QImage], ...]:
    """The tiles as pictures, without those that are none."""
    found = []
    for tile in ground.tiles.tiles:
        progress(1.0)
        picture = QImage.fromData(tile.data)
        if not picture.isNull():
            found.append((tile.box, picture))
    return tuple(found)
