"""Text of notes, titles and files cannot get out of its place in HTML, in SVG or in a file's name."""

from __future__ import annotations

from dataclasses import replace
from html.parser import HTMLParser
from pathlib import PurePosixPath, PureWindowsPath
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers.recordings import recording
from slopebeat.model.bands import Band
from slopebeat.model.notes import Author, Note, NoteKind, new_note
from slopebeat.model.people import Aim
from slopebeat.report.html import html
from slopebeat.report.page import LADDER, pages_of
from slopebeat.report.report import html_report
from slopebeat.report.shapes import Scene, Text
from slopebeat.report.svg import svg
from slopebeat.report.words import file_name, markup, no_breaks, one_line
from slopebeat.review.outing import Review, review_recording

HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</title><style>*{display:none}</style>",
    "]]><!--",
    "&lt;b&gt; &amp; &#x41;",
    "'; background: url(http://example.invalid)",
    "\u202egnp.exe",
    "nul\x00byte \ud800 half",
    "=cmd|' /C calc'!A0",
)
texts = st.one_of(
    st.sampled_from(HOSTILE), st.text(max_size=60), st.text("<>&\"'/=;-!\x00 \nab", max_size=40)
)
TAGS_TEXT = """
html head meta title style body h1 h2 p dl div dt dd figure svg desc rect path text section
table colgroup col thead tr th td tbody ul li b footer
"""
TAGS = frozenset(TAGS_TEXT.split())
ATTRIBUTES_TEXT = """
lang charset http-equiv content name class style viewbox role font-family x y width height fill
stroke d stroke-width stroke-linejoin stroke-dasharray font-size font-weight text-anchor
"""
ATTRIBUTES = frozenset(ATTRIBUTES_TEXT.split())


class Reader(HTMLParser):
    """Collects what a browser's parser would see."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: set[str] = set()
        self.attributes: set[str] = set()
        self.comments: list[str] = []
        self.shown: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}

    def handle_comment(self, data: str) -> None:
        self.comments.append(data)

    def handle_data(self, data: str) -> None:
        self.shown.append(data)


def read(text: str) -> Reader:
    reader = Reader()
    reader.feed(text)
    reader.close()
    return reader


def note(text: str) -> Note:
    return new_note(NoteKind.REMARK, Author.COACH, text)


@pytest.fixture(scope="module")
def short() -> Review:
    """Half an hour with a climb: most of what a page costs to write are the points of its charts."""
    t = np.arange(0.0, 1800.0, 5.0)
    return review_recording(
        recording(t, hr=lambda s: 110.0 + s / 60.0, elevation=lambda s: 800.0 + s / 12.0), Aim(Band(112, 131))
    )


@settings(max_examples=60, deadline=None)
@given(texts, texts, texts)
def test_html_holds_the_words_and_no_element_more(short: Review, title: str, file: str, said: str) -> None:
    assert_only_words(short, title, file, said)


def test_so_it_is_on_a_page_with_everything(review: Review) -> None:
    assert_only_words(review, *HOSTILE[:3])


def assert_only_words(review: Review, title: str, file: str, said: str) -> None:
    hostile = replace(review, recording=replace(review.recording, title=title, file_name=file, device=said))
    page = pages_of(hostile, warnings=(said, title))(LADDER[-2])
    reader = read(html(page))
    assert reader.tags <= TAGS
    assert reader.attributes <= ATTRIBUTES
    assert reader.comments == []
    shown = "".join(reader.shown)
    assert no_breaks(page.title) in shown
    assert all(no_breaks(doubt) in shown for doubt in page.doubts)


@pytest.mark.parametrize("text", [text for text in HOSTILE if "\x00" not in text])
def test_a_hostile_note_is_shown_as_it_was_written(review: Review, text: str) -> None:
    reader = read(html_report(review, [note(text)]))
    assert reader.tags <= TAGS
    assert one_line(text).replace("\u00a0", " ") in "".join(reader.shown).replace("\u00a0", " ")


def test_a_report_refers_to_nothing_outside_itself(review: Review) -> None:
    text = html_report(review, [note("words")])
    reader = read(text)
    assert not reader.attributes & {"src", "href", "srcset", "xlink:href", "action", "data"}
    lowered = text.lower()
    for reference in ("<script", "<link", "<iframe", "url(", "@import", "http://", "https://", "file:"):
        assert reference not in lowered, reference
    assert "default-src 'none'" in text


@given(texts)
def test_svg_stays_one_document_with_the_words_in_it(text: str) -> None:
    scene = Scene(10, 10, (Text(1, 2, text),), text, text)
    root = ElementTree.fromstring(svg(scene))
    space = "{http://www.w3.org/2000/svg}"
    assert [child.tag for child in root if child.tag != f"{space}desc"] == [f"{space}title", f"{space}text"]
    shown = root.find(f"{space}text")
    assert shown is not None
    assert (shown.text or "") == one_line(text)
    assert len(shown) == 0


@given(texts)
def test_marked_up_text_cannot_open_or_close_anything(text: str) -> None:
    assert not set(markup(text)) & set("<>\"'")


@given(texts, st.sampled_from([".pdf", ".html"]))
def test_a_file_name_made_of_a_title_is_a_plain_name_everywhere(text: str, suffix: str) -> None:
    name = file_name(text, suffix)
    assert PurePosixPath(name).name == PureWindowsPath(name).name == name
    assert name.endswith(suffix)
    assert len(name) > len(suffix)
    assert name[0] not in ".-_ "
    assert len(name) <= 110
    assert not PureWindowsPath(name).is_reserved() if hasattr(PureWindowsPath, "is_reserved") else True
    assert not set(name) & set('<>:"/\\|?*\x00\n')


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Hut supply hike", "Hut_supply_hike.pdf"),
        ("../../etc/passwd", "etc_passwd.pdf"),
        ("C:\\Windows\\nul", "C_Windows_nul.pdf"),
        ("con", "outing_con.pdf"),
        ("", "outing.pdf"),
        ("...", "outing.pdf"),
        ("Übergang, 2. Tag", "Übergang_2_Tag.pdf"),
    ],
)
def test_file_names_read_like_their_titles(text: str, name: str) -> None:
    assert file_name(text, ".pdf") == name
