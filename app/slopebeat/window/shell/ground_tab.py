"""Ground gone before beside the months: a tab that the library's own room knows nothing of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from slopebeat.model.language import tr

if TYPE_CHECKING:
    from slopebeat.session.session import Session
    from slopebeat.window.library.page import LibraryPage


def add_ground_tab(session: Session, page: LibraryPage) -> None:
    """Give the library's page the tab, after the months."""
    from slopebeat.window.ground.page import GroundPage

    made = GroundPage(session)
    made.open_wanted.connect(session.library.open_outing)
    page.tabs.insertTab(page.tabs.indexOf(page.months) + 1, made, tr("Same ground"))
