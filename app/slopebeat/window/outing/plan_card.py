"""The plan of the outing with its heading and the key of its lines, and a menu of what lies behind it."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtWidgets import QFrame, QMenu, QPushButton, QSizePolicy, QWidget

from slopebeat.model.language import tr
from slopebeat.plots.outing.plan import PlanView
from slopebeat.session.session import Session
from slopebeat.window.widgets.page_file import FileDialog
from slopebeat.window.widgets.parts import REST, button, explained_by, holder, label, row, show_words, stacked
from slopebeat.window.widgets.wrapping_row import WrappingRow

ELEVATIONS = "(*.hgt *.HGT *.tif *.tiff *.TIF *.TIFF)"
TILES = "(*.mbtiles *.MBTILES)"


class PlanBackdropButton(QPushButton):
    """A button that opens the menu; what is chosen is kept for every outing."""

    def __init__(self, session: Session) -> None:
        super().__init__(tr("Background"))
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
        trails.toggled.connect(lambda shown: self._backdrop.choose(trails=shown))
        for field, asked, shown, kinds in (
            ("elevation", tr("Hills from an elevation file…"), tr("Hills of {name}"), ELEVATIONS),
            ("tiles", tr("Map from an MBTiles file…"), tr("Map of {name}"), TILES),
        ):
            path: Path | None = getattr(choice, field)
            if path is not None:
                there = menu.addAction(shown.format(name=path.name))
                there.setToolTip(str(path))
                there.setCheckable(True)
                there.setChecked(True)
                there.triggered.connect(partial(self._take, field, None))
            ask = menu.addAction(asked)
            ask.triggered.connect(partial(self._ask, field, asked, kinds, path))

    def _ask(self, field: str, title: str, kinds: str, path: Path | None, _checked: bool = False) -> None:
        files = f"{tr('Files')} {kinds};;{tr('All files')} (*)"
        folder = "" if path is None else str(path.parent)
        chosen = FileDialog.ask_to_open(self, title.rstrip("…"), files, folder)
        if chosen is not None:
            self._take(field, chosen)

    def _take(self, field: str, path: Path | None, _checked: bool = False) -> None:
        self._backdrop.choose(**{field: path})


class PlanCard(QFrame):
    """Takes what room is left: a plan of any size is one."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.setObjectName("card")
        self.plan = PlanView(session)
        explained_by("plan_view", self)
        self.plan.setMinimumSize(120, 150)
        self.plan.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Ignored)
        tip = tr("A click on the way moves the cursor there and selects the stretch out of band")
        whole = button(
            tr("Whole way"), "flat", tr("Show all of the track again; so does a double click on it")
        )
        whole.clicked.connect(self.plan.show_whole)
        title, behind = label(tr("Track"), "heading", tip), PlanBackdropButton(session)
        heading = row(title, REST, behind, whole, margins=(11, 8, 11, 0), spacing=6)
        self.by = explained_by("plan_view", label("", "caption", wrap=True))
        self.by.setContentsMargins(11, 0, 11, 0)
        self.by.hide()
        # Above the heading as much as the style leaves.
        parts = (heading, (self.plan, 1), self.by, _key())
        stacked(*parts, of=self, margins=(1, -1, 1, 1), spacing=2)
        self._session = session
        session.backdrop.changed.connect(self._say_whose)

    def _say_whose(self) -> None:
        """Whom the map is by, as its file says."""
        show_words(self.by, self._session.backdrop.behind.ground.tiles.attribution)


def _key() -> QWidget:
    words = (
        ("above", tr("wide: above")),
        ("inside", tr("thin: in band")),
        ("below", tr("dotted: below")),
    )
    layout = WrappingRow(*(label(text, name) for name, text in words), spacing=10)
    layout.setContentsMargins(11, 0, 11, 6)
    return explained_by("at_band", holder(layout))
