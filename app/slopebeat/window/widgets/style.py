"""The look of the window: one palette and one sheet made from the colours the charts use."""

from __future__ import annotations

import re

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QGuiApplication,
    QIcon,
    QPainter,
    QPainterPath,
    QPalette,
    QPen,
    QPixmap,
    QPolygonF,
)
from PySide6.QtWidgets import QApplication

from slopebeat.plots.colours import DARK, LIGHT, Colours
from slopebeat.plots.theme import theme
from slopebeat.session.settings import Appearance

SLOPE = ((0, 52), (18, 44), (34, 26), (46, 18), (64, 34), (64, 64), (0, 64))
BEAT = ((6, 34), (20, 34), (25, 40), (32, 12), (39, 46), (44, 30), (58, 30))


def paint_app_sign(side_px: int) -> QPixmap:
    """The sign as a square picture."""
    picture = QPixmap(side_px, side_px)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(side_px / 64, side_px / 64)
    frame = QPainterPath()
    frame.addRoundedRect(QRectF(0, 0, 64, 64), 13, 13)
    painter.setClipPath(frame)
    painter.fillPath(frame, QColor(LIGHT.accent))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(LIGHT.climb_fill))
    painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in SLOPE]))
    pen = QPen(QColor(LIGHT.above_fill), 4.5)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.drawPolyline(QPolygonF([QPointF(x, y) for x, y in BEAT]))
    painter.end()
    return picture


def app_icon() -> QIcon:
    icon = QIcon()
    for side in (16, 24, 32, 48, 64, 128, 256):
        icon.addPixmap(paint_app_sign(side))
    return icon


SHEET = """
QMainWindow, QDialog, QWidget#page {{ background: {window}; }}
QWidget {{ color: {ink}; }}
QToolTip {{ background: {panel}; color: {ink}; border: 1px solid {line}; padding: 4px; }}
QMenuBar {{ background: {window}; border-bottom: 1px solid {line}; padding: 1px 6px; }}
QMenuBar::item {{ padding: 4px 9px; background: transparent; }}
QMenuBar::item:selected, QMenu::item:selected {{ background: {selected}; color: {ink}; }}
QMenu {{ background: {panel}; border: 1px solid {line}; padding: 4px; }}
QMenu::item {{ padding: 5px 22px; }}
QMenu::item:disabled {{ color: {doubt}; }}
QMenu::separator {{ height: 1px; background: {line}; margin: 4px 6px; }}
QFrame#card {{ background: {panel}; border: 1px solid {line}; border-radius: 6px; }}
QFrame#notice {{ background: {warn_fill}; border: 1px solid {line}; border-radius: 6px; }}
QLabel#answer {{ font-size: 16pt; font-weight: 600; color: {ink}; }}
QLabel#close_answer {{ font-size: 13pt; font-weight: 600; color: {ink}; }}
QLabel#detail {{ font-size: 10.5pt; color: {ink}; }}
QLabel#heading {{ font-size: 9pt; font-weight: 600; color: {muted}; }}
QLabel#muted, QLabel#caption {{ color: {muted}; font-size: 8.5pt; }}
QLabel#figure {{ font-size: 11pt; font-weight: 600; }}
QLabel#fine_figure {{ font-size: 9pt; font-weight: 600; }}
QLabel#above {{ color: {above}; font-size: 8.5pt; font-weight: 600; }}
QLabel#below {{ color: {below}; font-size: 8.5pt; font-weight: 600; }}
QLabel#inside {{ color: {in_band}; font-size: 8.5pt; font-weight: 600; }}
QLabel#problem {{ color: {above}; font-size: 8.5pt; }}
QLabel#title {{ font-size: 24pt; font-weight: 600; }}
QPushButton, QToolButton {{ background: {panel}; border: 1px solid {line}; border-radius: 4px;
    padding: 4px 11px; }}
QPushButton:hover, QToolButton:hover {{ background: {selected}; }}
QPushButton:focus, QToolButton:focus {{ border-color: {accent}; }}
QPushButton:disabled, QToolButton:disabled {{ color: {doubt}; }}
QPushButton#primary {{ background: {accent}; color: {accent_ink}; border-color: {accent}; }}
QPushButton#primary:hover {{ background: {muted}; }}
QPushButton#segment {{ border-radius: 0; padding: 4px 12px; }}
QPushButton#segment:checked {{ background: {accent}; color: {accent_ink}; border-color: {accent}; }}
QPushButton#flat {{ border: none; background: transparent; color: {accent}; text-decoration: underline;
    padding: 1px 2px; text-align: left; }}
QTabWidget::pane {{ border: 1px solid {line}; border-radius: 6px; background: {panel}; top: -1px; }}
QTabBar QToolButton {{ padding: 0; }}
QTabBar::tab {{ background: transparent; border: none; padding: 6px 11px; color: {muted};
    border-bottom: 2px solid transparent; }}
QTabBar::tab:selected {{ color: {ink}; border-bottom: 2px solid {accent}; font-weight: 600; }}
QTabBar::tab:hover {{ color: {ink}; }}
QTableView {{ background: {panel}; alternate-background-color: {panel}; border: none;
    gridline-color: {grid}; selection-background-color: {selected}; selection-color: {ink}; }}
QTableView::item {{ padding: 2px 4px; border-bottom: 1px solid {grid}; }}
QComboBox QAbstractItemView {{ background: {panel}; color: {ink}; border: 1px solid {line};
    selection-background-color: {selected}; selection-color: {ink}; }}
QHeaderView {{ background: {panel}; }}
QHeaderView::section {{ background: {panel}; color: {muted}; border: none; font-size: 8.5pt;
    border-bottom: 1px solid {line}; padding: 9px 4px 2px 4px; }}
QHeaderView::up-arrow, QHeaderView::down-arrow {{ subcontrol-origin: border; subcontrol-position: top center;
    top: 1px; width: 7px; height: 7px; }}
QScrollArea, QScrollArea > QWidget > QWidget {{ background: transparent; border: none; }}
QAbstractScrollArea::corner {{ background: transparent; border: none; }}
QProgressBar {{ background: {grid}; border: none; border-radius: 3px; max-height: 6px; }}
QProgressBar::chunk {{ background: {accent}; border-radius: 3px; }}
QScrollBar:vertical {{ background: transparent; width: 10px; margin: 0; }}
QScrollBar:horizontal {{ background: transparent; height: 10px; margin: 0; }}
QScrollBar::handle {{ background: {line}; border-radius: 4px; min-height: 24px; min-width: 24px; }}
QScrollBar::handle:hover {{ background: {doubt}; }}
QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
"""


def palette(colours: Colours) -> QPalette:
    """The same colours for what the sheet does not reach."""
    roles = {
        QPalette.ColorRole.Window: colours.window,
        QPalette.ColorRole.Base: colours.panel,
        QPalette.ColorRole.AlternateBase: colours.window,
        QPalette.ColorRole.Button: colours.panel,
        QPalette.ColorRole.ToolTipBase: colours.panel,
        QPalette.ColorRole.Highlight: colours.accent,
        QPalette.ColorRole.HighlightedText: colours.accent_ink,
        QPalette.ColorRole.PlaceholderText: colours.muted,
        QPalette.ColorRole.Link: colours.accent,
    }
    made = QPalette(QColor(colours.window))
    for role, value in roles.items():
        made.setColor(role, QColor(value))
    for name in ("WindowText", "Text", "ButtonText", "ToolTipText"):
        made.setColor(QPalette.ColorRole[name], QColor(colours.ink))
    return made


def sheet(colours: Colours, text_percent: int = 100) -> str:
    """The sheet in these colours, its texts as large as asked for."""
    names = {name: value for name, value in vars(colours).items() if isinstance(value, str)}
    scaled = re.sub(
        r"font-size: ([\d.]+)pt",
        lambda found: f"font-size: {float(found[1]) * text_percent / 100:.2f}pt",
        SHEET.format(**names),
    )
    # Buttons, tables and menus have fonts of their own, which the program's font does not reach.
    plain = f"QWidget {{ font-size: {QGuiApplication.font().pointSizeF():.2f}pt; }}"
    return scaled if text_percent == 100 else plain + scaled


def system_colours() -> Colours:
    """The palette the system asks for."""
    scheme = QGuiApplication.styleHints().colorScheme()
    return DARK if scheme is Qt.ColorScheme.Dark else LIGHT


def colours_for(look: Appearance) -> Colours:
    """The palette of a look that was asked for."""
    return {Appearance.LIGHT: LIGHT, Appearance.DARK: DARK}.get(look) or system_colours()


def apply_style(app: QApplication, colours: Colours, text_percent: int = 100) -> None:
    """Give the whole program this look; where it has it already nothing is done, for each widget costs.

    The sheet of before is taken off first: where one follows another Qt takes four times as long over it.
    """
    wanted = text_percent / 100
    if theme.text_share != wanted or app.styleSheet() != sheet(colours, text_percent):
        app.setStyleSheet("")
        app.setStyle("Fusion")
        font = app.font()
        font.setPointSizeF(font.pointSizeF() / theme.text_share * wanted)
        app.setFont(font)
        app.setPalette(palette(colours))
        app.setStyleSheet(sheet(colours, text_percent))
    theme.set(colours, wanted)
