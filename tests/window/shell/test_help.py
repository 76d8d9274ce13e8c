"""The help: every figure explained, found from the menu, from a link and from the figure itself."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QAbstractSpinBox, QGraphicsItem, QLabel
from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_MS
from helpers.window_acts import wait_drawn
from slopebeat.analysis.account import climbs, episodes
from slopebeat.analysis.day import drift, parts
from slopebeat.analysis.months import weeks
from slopebeat.analysis.price import draws, next_outing
from slopebeat.analysis.response import decoupling
from slopebeat.analysis.response import fit as response
from slopebeat.cleaning import elevation
from slopebeat.command.main import main
from slopebeat.model.language import LANGUAGES
from slopebeat.review.day.rows import PART_FIGURES
from slopebeat.review.help.explanations import ENTRIES, TOPICS, hint, key_of, page
from slopebeat.review.help.guide import NAMED, guide_file, guide_folder, guide_page
from slopebeat.review.present.account import PARTS
from slopebeat.review.present.cursor import CURSOR_FIGURES
from slopebeat.review.present.decoupling import ROW_FIGURES
from slopebeat.review.present.figure import On, shown_on
from slopebeat.review.present.hold import HOLD_FIGURES
from slopebeat.review.present.listed import LIST_FIGURES
from slopebeat.review.present.way import WAY_FIGURES
from slopebeat.window.outing.measure_panel import HAND_COLUMNS, SPLIT_COLUMNS
from slopebeat.window.outing.stretches import CLIMB_COLUMNS, EPISODE_COLUMNS
from slopebeat.window.shell import help as help_module
from slopebeat.window.shell.help import figure_of, pointed_at
from slopebeat.window.shell.main_window import MainWindow

GUIDE = guide_folder()
assert GUIDE is not None
GUIDES = sorted(GUIDE.glob("guide_*.html"))
CATALOGUE = GUIDE.parent / "locale" / "slopebeat.pot"
MAKER = Path(__file__).resolve().parents[2] / "make_screenshots.py"


class _Links(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__()
        self.anchors: set[str] = set()
        self.links: list[str] = []
        self.pictures: list[str] = []
        self.open: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "a" and given.get("name"):
            self.anchors.add(given["name"] or "")
        if tag == "a" and given.get("href"):
            self.links.append(given["href"] or "")
        if tag == "img":
            self.pictures.append(given["src"] or "")
        self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_every_heading_of_a_table_and_every_figure_under_the_cursor_is_explained() -> None:
    tables = (CLIMB_COLUMNS, EPISODE_COLUMNS, HAND_COLUMNS[1:], SPLIT_COLUMNS)
    hovers = [column.tip for table in tables for column in table]
    own_parts = [each for each in PART_FIGURES if each.name not in {part.name for _, part in PARTS}]
    for figures in (CURSOR_FIGURES, LIST_FIGURES, HOLD_FIGURES, WAY_FIGURES, ROW_FIGURES, own_parts):
        hovers += [figure.line for figure in shown_on(On.WINDOW, figures)]
    assert len(hovers) > 50
    assert [hover for hover in hovers if key_of(hover) is None] == []


def test_keys_are_one_of_a_kind_and_sentences_end() -> None:
    entries = [entry for topic in TOPICS for entry in topic.entries]
    assert len(entries) == len(ENTRIES)
    for entry in entries:
        for words in (entry.line, entry.text, entry.source, entry.limits):
            assert not words or words.endswith((".", ")", "km/h.")), words
    assert hint("climb.gain") == ENTRIES["climb.gain"].line


@pytest.mark.parametrize(
    ("key", "constant"),
    [
        ("climb.number", f"{climbs.SMALLEST_GAIN_M:.0f} m"),
        ("climb.number", f"{climbs.BRIDGED_DIP_M:.0f} m"),
        ("climb.number", f"{climbs.BRIDGED_DIP_SHARE:.0%}".replace("%", " %")),
        ("episode.number", f"{episodes.SHORTEST_EPISODE_S:.0f} s"),
        ("episode.number", f"{episodes.BRIDGED_BREAK_S:.0f} s"),
        ("ascent", f"{elevation.ASCENT_THRESHOLD_M:.0f} m"),
        ("needed", f"{draws.DAY_BPM} bpm"),
        ("needed", f"{draws.MEMORY_S / 60:.0f} minutes"),
        ("needed", f"{next_outing.LONGEST_S / 3600:.0f} h"),
        ("needed", f"{next_outing.RECENT} means"),
        ("needed", f"{draws.INTERVAL_LEVEL:.0%}".replace("%", " %")),
        ("halves.trust", f"{decoupling.MOST_TERRAIN_SHARE:.0%}".replace("%", " %")),
        ("halves.trust", f"{decoupling.SHORTEST_HALF_S / 60:.0f} minutes"),
        ("months.weeks", f"{weeks.LEAST_SESSION_S / 60:.0f} minutes"),
        ("between_parts", f"{parts.MOST_BETWEEN_S / 60:.0f} minutes"),
        ("between_parts", f"{parts.MOST_APART_M:.0f} m"),
        ("day.drift", f"{drift.BLOCK_S / 60:.0f} minutes"),
    ],
)
def test_the_numbers_told_are_those_computed_with(key: str, constant: str) -> None:
    assert constant in ENTRIES[key].text + ENTRIES[key].source


def test_half_an_hour_is_what_a_fit_needs() -> None:
    assert response.LEAST_RESPONSE_S == 1800.0
    assert "half an hour" in ENTRIES["terrain_fair"].limits


def test_the_page_of_figures_is_whole() -> None:
    found = _Links(page())
    assert found.open == []
    assert set(ENTRIES) <= found.anchors
    assert {link.removeprefix("#") for link in found.links} <= found.anchors
    assert "medical advice" in page()


LANGUAGE_FOLDERS = {"de": "de"}
"""Where the pictures of a language lie; the English ones lie above them."""


def test_the_german_pictures_are_others_than_the_english_ones() -> None:
    english = {path.name: path.read_bytes() for path in (GUIDES[0].parent / "pictures").glob("*.png")}
    german = {path.name: path.read_bytes() for path in (GUIDES[0].parent / "pictures" / "de").glob("*.png")}
    assert english.keys() == german.keys()
    assert all(german[name] != english[name] for name in english)


@pytest.mark.parametrize("file", GUIDES, ids=lambda file: file.stem)
def test_the_guide_has_its_pictures_and_leads_nowhere_else(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    found = _Links(text)
    assert found.open == []
    script = MAKER.read_text(encoding="utf-8")
    for picture in found.pictures:
        assert (file.parent / picture).stat().st_size > 5000
        assert f'guide("{Path(picture).stem}"' in script
    folder = file.parent / "pictures" / LANGUAGE_FOLDERS.get(file.stem.removeprefix("guide_"), "")
    assert {Path(picture).parent for picture in found.pictures} == {folder.relative_to(file.parent)}
    assert {p.name for p in folder.glob("*.png")} == {Path(p).name for p in found.pictures}
    for link in found.links:
        kind, _, place = link.partition("#") if link.startswith("#") else link.partition(":")
        assert place in (ENTRIES if kind == "figure" else found.anchors), link
    assert re.search(r"https?://", text) is None


@pytest.mark.parametrize("file", GUIDES, ids=lambda file: file.stem)
def test_the_guide_names_what_is_on_screen(file: Path) -> None:
    texts = set(re.findall(r'^msgid "(.+)"$', CATALOGUE.read_text(encoding="utf-8"), re.MULTILINE))
    named = NAMED.findall(file.read_text(encoding="utf-8"))
    assert len(named) > 5
    assert [name for name in named if name not in texts] == []
    assert "[[" not in guide_page(file)
    assert "Plan a route" in guide_page(file)


@pytest.mark.parametrize("file", GUIDES, ids=lambda file: file.stem)
def test_the_worked_example_says_what_the_program_says(
    file: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    text = file.read_text(encoding="utf-8")
    chapter = text[text.index('name="example"') : text.index('name="doubts"')]
    told = re.search(r"slopebeat (review samples/.+?)</b>", chapter, re.DOTALL)
    assert told is not None
    monkeypatch.chdir(MAKER.parents[1])
    assert main([*told[1].split(), "--language", file.stem.removeprefix("guide_")]) == 0
    said = " ".join(capsys.readouterr().out.split())
    quoted = [" ".join(each.split()) for each in re.findall(r"<i>(.+?)</i>", chapter, re.DOTALL)]
    quoted += re.findall(r"\b\d:\d\d:\d\d\b", chapter)
    assert len(quoted) > 10
    assert [each for each in quoted if each not in said] == []


def test_every_language_has_the_same_chapters() -> None:
    assert {file.stem.removeprefix("guide_") for file in GUIDES} <= set(LANGUAGES)
    chapters = [sorted(_Links(file.read_text(encoding="utf-8")).anchors) for file in GUIDES]
    assert all(each == chapters[0] for each in chapters)


def test_the_menu_opens_the_figures_and_the_guide_and_leads_back(window: MainWindow) -> None:
    before = window.stack.currentWidget()
    window.actions_by_slot["explain_figures"].trigger()
    help_page = window.help.page
    assert window.stack.currentWidget() is help_page
    assert "Heart rate at your usual work" in help_page.browser.toPlainText()
    window.actions_by_slot["show_guide"].trigger()
    text = help_page.browser.toPlainText()
    assert all(question in text for question in ("What counted?", "Why not the rest?", "How much longer?"))
    help_page.back.click()
    assert window.stack.currentWidget() is before
    assert guide_file() is not None


def test_a_figure_with_the_focus_is_explained(ride: MainWindow, qtbot: QtBot) -> None:
    table = ride.page.climbs
    ride.page.tabs.setCurrentWidget(table)
    column = next(i for i, c in enumerate(CLIMB_COLUMNS) if c.tip == hint("climb.exit"))
    table.setCurrentIndex(table.model().index(0, column))
    assert figure_of(table) == "climb.exit"
    assert figure_of(ride.page.tabs) is None
    table.setFocus()
    ride.help.explain_this()
    browser = ride.help.page.browser
    qtbot.waitUntil(lambda: browser.verticalScrollBar().value() > 0, timeout=WAIT_MS)


def test_a_head_of_a_column_and_a_piece_of_the_bar_are_explained_where_they_are_pointed_at(
    ride: MainWindow,
) -> None:
    head, bar = ride.page.climbs.horizontalHeader(), ride.page.answer.picture.bar
    place = QPoint(head.sectionViewportPosition(2) + 3, 5)
    assert pointed_at(head.viewport(), head.viewport().mapToGlobal(place)) == "climb.gain"
    assert pointed_at(bar, bar.mapToGlobal(QPoint(2, 2))) == "in_band"
    assert pointed_at(ride.page.tabs, QPoint()) is None


def test_every_part_of_the_charts_is_explained_where_it_is_pointed_at(ride: MainWindow, qtbot: QtBot) -> None:
    charts = ride.page.charts

    def at(item: QGraphicsItem) -> str | None:
        place = charts.mapFromScene(item.sceneBoundingRect().center())
        return pointed_at(charts.viewport(), charts.viewport().mapToGlobal(place))

    heart, ground, rate = charts.panels
    for panel, key in ((heart, "at_heart_rate"), (ground, "at_elevation"), (rate, "at_speed")):
        assert at(panel.left) == at(panel.box) == key
        assert key in ENTRIES
    assert at(rate.bottom) == "at_time"
    assert at(heart.margin) == "at_band"
    ride.commands.switch_along()
    ride.commands.switch_rate()
    wait_drawn(ride.session, qtbot)
    assert at(rate.bottom) == "at_distance"
    assert at(rate.left) == "at_vertical"


def test_every_figure_on_the_page_of_an_outing_is_explained(ride: MainWindow, qtbot: QtBot) -> None:
    tabs, unexplained = ride.page.tabs, []
    for tab in range(tabs.count()):
        tabs.setCurrentIndex(tab)
        wait_drawn(ride.session, qtbot)
        for shown in ride.page.findChildren(QLabel):
            # What carries a figure; the recording's own title is none.
            if shown.isVisible() and re.search(r"\d", shown.text()) and figure_of(shown) is None:
                unexplained.append(shown.text())
        for box in ride.page.findChildren(QAbstractSpinBox):
            if box.isVisible():
                assert figure_of(box) in ENTRIES, box.accessibleName()
    assert unexplained == []


def test_the_mouse_goes_first_where_it_moved_after_the_keyboard(
    ride: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: list[str] = []
    monkeypatch.setattr(ride.help.page, "show_figures", shown.append)
    monkeypatch.setattr(help_module, "figure_of", lambda widget: "focus" if widget else None)
    monkeypatch.setattr(help_module, "pointed_at", lambda _widget, _place: "mouse")
    ride.page.climbs.setFocus()
    ride.help.explain_this()
    ride.help._mouse_at_focus = QPoint(-5, -5)
    ride.help.explain_this()
    assert shown == ["focus", "mouse"]


def test_links_and_words_are_found(window: MainWindow, qtbot: QtBot) -> None:
    window.help.show_guide()
    help_page = window.help.page
    help_page.find_box.setText("thunderstorms")
    help_page.find_box.returnPressed.emit()
    assert help_page.browser.textCursor().selectedText() == "thunderstorms"
    help_page.find_box.setText("no such word")
    help_page.find_box.returnPressed.emit()
    assert help_page.found.text()
    help_page.show_figures("plan.time")
    qtbot.waitUntil(lambda: help_page.browser.verticalScrollBar().value() > 0, timeout=WAIT_MS)
