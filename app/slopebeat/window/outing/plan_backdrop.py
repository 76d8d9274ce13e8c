"""What lies behind the plan: a menu of own outings, of hills and of a map, each from the user's own files."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QMenu, QPushButton, QWidget

from slopebeat.model.language import tr
from slopebeat.session.session import Session

ELEVATIONS = "(*.hgt *.HGT *.tif *.tiff *.TIF *.TIFF)"
TILES = "(*.mbtiles *.MBTILES)"


class GroundFileDialog:
    """Choosing a file of elevations or of tiles."""

    @staticmethod
    def ask(parent: QWidget, title: str, kinds: str, folder: Path | None) -> Path | None:
        """The chosen file; None when it was cancelled."""
        start = "" if folder is None else str(folder)
        name, _ = QFileDialog.getOpenFileName(parent, title, start, f"{kinds};;{tr('All files')} (*)")
        return Path(name) if name else None


class PlanBackdropButton(QPushButton):
    """A button that opens the menu; what is chosen is kept for every outing."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(tr("Background"), parent)
        self.setObjectName("flat")
        self.setToolTip(
            tr("Own outings, hills and a map from your own files behind the track; no network is used")
        )
        self.setAccessibleName(tr("What lies behind the track"))
        self._backdrop = session.backdrop
        menu = QMenu(self)
        menu.setToolTipsVisible(True)
        menu.aboutToShow.connect(self.fill)
        self.setMenu(menu)
        self.fill()

    def fill(self) -> None:
        """The choices as they stand."""
        menu, choice = self.menu(), self._backdrop.choice
        menu.clear()
        trails = menu.addAction(tr("Own outings as trails"))
        trails.setCheckable(True)
        trails.setChecked(choice.trails)
        trails.toggled.connect(self._backdrop.show_trails)
        hills, tiles = self._backdrop.show_elevation, self._backdrop.show_tiles
        for asked, shown, path, kinds, take in (
            (tr("Hills from an elevation file…"), tr("Hills of {name}"), choice.elevation, ELEVATIONS, hills),
            (tr("Map from an MBTiles file…"), tr("Map of {name}"), choice.tiles, TILES, tiles),
        ):
            if path is not None:
                there = menu.addAction(shown.format(name=path.name))
                there.setToolTip(str(path))
                there.setCheckable(True)
                there.setChecked(True)
                there.triggered.connect(lambda _checked=False, take=take: take(None))
            ask = menu.addAction(asked)
            ask.triggered.connect(self._asking(asked, kinds, path, take))

    def _asking(
        self, title: str, kinds: str, path: Path | None, take: Callable[[Path | None], None]
    ) -> Callable[[], None]:
        def ask() -> None:
            folder = None if path is None else path.parent
            chosen = GroundFileDialog.ask(self, title.rstrip("…"), f"{tr('Files')} {kinds}", folder)
            if chosen is not None:
                take(chosen)

        return ask
