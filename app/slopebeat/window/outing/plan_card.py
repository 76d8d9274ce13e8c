"""The plan of the outing with its heading and the key of its lines."""

from __future__ import annotations

from PySide6.QtWidgets import QFrame, QSizePolicy, QVBoxLayout, QWidget

from slopebeat.model.language import tr
from slopebeat.plots.outing.plan import PlanView
from slopebeat.session.session import Session
from slopebeat.window.outing.plan_backdrop import PlanBackdropButton
from slopebeat.window.widgets.parts import button, explained_by, label, row
from slopebeat.window.widgets.wrapping_row import WrappingRow


class PlanCard(QFrame):
    """Takes what room is left: a plan of any size is one."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self.plan = PlanView(session)
        explained_by("plan_view", self)
        self.plan.setMinimumSize(120, 150)
        self.plan.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Ignored)
        heading = row(
            label(
                tr("Track"),
                "heading",
                tr("A click on the way moves the cursor there and selects the stretch out of band"),
            ),
            spacing=6,
            stretch_last=True,
        )
        heading.setContentsMargins(11, 8, 11, 0)
        whole = button(
            tr("Whole way"), "flat", tr("Show all of the track again; so does a double click on it")
        )
        whole.clicked.connect(self.plan.show_whole)
        heading.addStretch(1)
        heading.addWidget(PlanBackdropButton(session))
        heading.addWidget(whole)
        layout = QVBoxLayout(self)
        # Above the heading as much as the style leaves.
        layout.setContentsMargins(1, -1, 1, 1)
        layout.setSpacing(2)
        layout.addLayout(heading)
        layout.addWidget(self.plan, 1)
        self.by = explained_by("plan_view", label("", "caption", wrap=True))
        self.by.setContentsMargins(11, 0, 11, 0)
        self.by.hide()
        layout.addWidget(self.by)
        layout.addWidget(_key())
        self._session = session
        session.backdrop.changed.connect(self._say_whose)

    def _say_whose(self) -> None:
        """Whom the map is by, as its file says."""
        attribution = self._session.backdrop.behind.ground.tiles.attribution
        self.by.setText(attribution)
        self.by.setVisible(bool(attribution))


def _key() -> QWidget:
    key = explained_by("at_band", QWidget())
    words = (
        ("above", tr("wide: above")),
        ("inside", tr("thin: in band")),
        ("below", tr("dotted: below")),
    )
    layout = WrappingRow(*(label(text, name) for name, text in words), spacing=10)
    layout.setContentsMargins(11, 0, 11, 6)
    key.setLayout(layout)
    return key
