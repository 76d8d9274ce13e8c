"""A document read a part at a time says what it says when it is read in one piece, whole or damaged.

That one piece is read rightly is held against independent readers (``test_gpx.py``, ``tests/samples``).
"""

from __future__ import annotations

import random
from collections.abc import Callable
from itertools import count
from pathlib import Path
from xml.etree.ElementTree import fromstring

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from files.gpx_making import gpx, point
from files.tcx_making import activity, lap, tcx, track
from slopebeat.files.progress import Ticker
from slopebeat.files.source import Source
from slopebeat.files.xml import parts as xml_parts
from slopebeat.files.xml.gpx import GpxDocument
from slopebeat.files.xml.parts import DocumentParts
from slopebeat.files.xml.points import PointColumns, finite_number
from slopebeat.files.xml.tcx import TcxDocument
from slopebeat.model.errors import UnreadableFile

HEAD = '<?xml version="1.0"?>\n<gpx creator="hut" xmlns="urn:g" xmlns:x="urn:x"><trk><name>Hut</name><trkseg>'
END = "</trkseg></trk></gpx>"
PLACE = 'lat="46.{0:03}" lon="14.5{0}"'
TIME = "<time>2024-05-01T08:{0:02}:00Z</time>"

ALIKE = (
    f"<trkpt {PLACE}><ele>{{0}}</ele>{TIME}<extensions><x:hr>1{{0}}</x:hr></extensions></trkpt>",
    f"\n  <trkpt {PLACE}>\n    <ele>{{0}}.5</ele>\n    {TIME}\n  </trkpt>",
    f"\r\n<trkpt {PLACE}>\r\n{TIME}\r\n<hr> {{0}}\n</hr></trkpt>",
    f"<trkpt lon = '7.{{0}}'\n lat='1e{{0}}' >{TIME}</trkpt >",
    f"<x:TRKPT {PLACE}>{TIME}<x:heart-rate>{{0}}</x:heart-rate></x:TRKPT>",
    f"<TrkPt {PLACE}>{TIME}<HeartRateBpm t='a'><Value>8{{0}}</Value><Value>3</Value></HeartRateBpm></TrkPt>",
    f'<trkpt id="7" {PLACE} xmlns:y="urn:y">{TIME}<y:hr>{{0}}</y:hr><hr>9</hr><cmt>a "b" = c--</cmt></trkpt>',
    f"<trkpt {PLACE}>{TIME}<hr/><cad></cad><power>\t</power><sat>{{0}}</sat></trkpt>",
    f"<trkpt {PLACE}><time>2024-05-01T10:{{0:02}}:00.25+02:00</time><hr>NaN</hr></trkpt>",
    f"<trkpt {PLACE}><latitudedegrees>5</latitudedegrees><time> {{0}} </time></trkpt>",
    f"<trkpt {PLACE}><trkpt {PLACE}>{TIME}</trkpt><hr>{{0}}</hr></trkpt>",
)
"""Points for :meth:`str.format`, each told apart by a number below 60."""

ODD = (
    f"<trkpt {PLACE}>{TIME}<hr>&#49;{{0}}</hr></trkpt>",
    f"<trkpt {PLACE}>{TIME}<!-- <hr>3</hr> --><hr>{{0}}</hr></trkpt>",
    f"<trkpt {PLACE}>{TIME}<hr><![CDATA[{{0}}]]></hr></trkpt>",
    f"<trkpt {PLACE}>{TIME}<cmt>Hütte</cmt></trkpt>",
    f"<trkpt {PLACE}>{TIME}<hr>4<a/></hr></trkpt>",
    f"<trkpt {PLACE}>{TIME}<hr><cad/><hr>5</hr><Value>6{{0}}</Value></hr></trkpt>",
    f"<trkpt {PLACE}/>",
    f"<trk_pt {PLACE}>{TIME}</trk_pt>",
    f'<trkpt lat="46" lat="{{0}}">{TIME}</trkpt>',
    f"<trkpt {PLACE}>{TIME}<hr>]]></hr></trkpt>",
    f"<trkpt {PLACE}>{TIME}<z:hr>{{0}}</z:hr></trkpt>",
)

BETWEEN = (
    "", "\n", "\r", "text", "]]>", "<a/>", "</trkseg><trkseg>",
    "</trkseg></trk><trk><type>hike</type><trkseg>",
    f"<!-- {ALIKE[0].format(3)} -->", f"<![CDATA[{ALIKE[0].format(4)}]]>", f"<?x {ALIKE[0].format(5)}?>",
    f"<!-- {ALIKE[0].format(3) * 9} -->", f"<![CDATA[{ALIKE[0].format(4) * 9}]]>", "<!-- a -- >",
    "&amp;", "\x01", "\xe9",
)  # fmt: skip

Told = tuple[object, ...]


def told(
    make: Callable[[], GpxDocument | TcxDocument], names: tuple[str, ...], data: bytes, part_bytes: int
) -> Told:
    """All a document tells, as values that can be compared bit for bit."""
    document = make()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(xml_parts, "_PART_BYTES", part_bytes)
        try:
            damage = DocumentParts(names, document).read(Source("made.xml", data), Ticker(None))
        except UnreadableFile as refusal:
            return (str(refusal),)
    found = document.tracks if isinstance(document, GpxDocument) else document.activities
    return (damage, *([plain(field) for field in vars(each).values()] for each in found))


def plain(value: object) -> object:
    if not isinstance(value, PointColumns):
        return repr(value)
    columns = {name: column.tobytes() for name, column in value.columns().items()}
    return (len(value), value.utc_offset_s, value.unix_s.tobytes(), columns)


def check_same(data: bytes, part_bytes: int = 400) -> Told:
    in_one, in_parts = (told(GpxDocument, ("trkpt",), data, size) for size in (len(data) + 1, part_bytes))
    assert in_parts == in_one
    return in_parts


def document_of(runs: list[tuple[str, int, str]]) -> str:
    """A document of runs: a form of points, how many and what stands behind them."""
    number = count()
    return HEAD + "".join(
        "".join(form.format(next(number) % 60) for _ in range(many)) + behind for form, many, behind in runs
    )


RUNS = st.lists(
    st.tuples(st.sampled_from(ALIKE + ODD[:8]), st.integers(1, 30), st.sampled_from(BETWEEN)),
    min_size=1,
    max_size=8,
)


@settings(deadline=None, max_examples=120)
@given(RUNS, st.sampled_from((150, 1000, 1 << 14)))
def test_parts_say_what_the_whole_says(runs: list[tuple[str, int, str]], part_bytes: int) -> None:
    check_same((document_of(runs) + END).encode(), part_bytes)


@settings(deadline=None, max_examples=120)
@given(
    RUNS,
    st.floats(0, 1, exclude_max=True),
    st.sampled_from(("", "<", ">", "&", "-", '"', "\r", "\x00", "é", "</trkpt>", "<!--", "-->", "]]>", "7")),
    st.integers(0, 3),
)
def test_damage_at_any_byte_gives_the_same_points_and_the_same_sentence(
    runs: list[tuple[str, int, str]], share: float, put: str, lost: int
) -> None:
    data = (document_of(runs) + END).encode()
    at = int(share * len(data))
    check_same(data[:at] + put.encode() + data[at + lost :], 400)
    check_same(data[:at])


@pytest.mark.parametrize(
    "text", ["4]]>", "-->", "&#52;", "4&lt;", "\x7f", "\x1f", "é", "", "4\r", "1_0", "٤"]
)
@pytest.mark.parametrize("form", [ALIKE[0], f"<!-- {ALIKE[0]}", f"<![CDATA[{ALIKE[0]}"])
def test_one_odd_text_among_many_is_the_same_in_parts(form: str, text: str) -> None:
    odd = form.format(7).replace("<ele>7<", f"<ele>{text}<")
    document = document_of([(ALIKE[0], 30, odd), (ALIKE[0], 30, "-->"), (ALIKE[0], 30, "]]>" + END)])
    check_same(document.encode())


def test_every_byte_may_break() -> None:
    data = document_of([(form, 4, "\n") for form in ALIKE[:3]]).encode()
    dice = random.Random(1)
    for at in range(data.index(b"<trkseg>"), len(data)):
        check_same(data[:at] + bytes([dice.choice(b"\x00 \n\r<>&/'\"=-?!]ax1.:\xc3")]) + data[at + 1 :])


@pytest.mark.parametrize("form", ALIKE + ODD)
def test_five_hundred_points_of_any_form_are_the_same_in_parts(form: str) -> None:
    check_same((document_of([(form, 500, "")]) + END).encode())


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "latin-1", "cp1252", "utf-16", "cp037"])
def test_other_encodings_are_the_same_in_parts(encoding: str) -> None:
    text = (document_of([(ALIKE[0], 100, "")]) + END).replace("?>", f' encoding="{encoding[:6]}"?>', 1)
    text = text.replace('"latin-', '"iso-8859-1')
    data = text.replace('"utf-8-', '"utf-8').encode(encoding)
    check_same(data)


@pytest.mark.parametrize(
    "declared", ["", '<!DOCTYPE gpx [<!ATTLIST trkpt lat NMTOKEN "5">]>', "<!DOCTYPE gpx>"]
)
def test_a_document_that_declares_its_type_is_the_same_in_parts(declared: str) -> None:
    """A type may give an element attributes that are not written."""
    text = document_of([("<trkpt lon='7'><time>2024-05-01T08:{0:02}:00Z</time></trkpt>", 100, "")]) + END
    data = text.replace("?>", f"?>{'<!-- long -->' * 9000}{declared}", 1).encode()
    check_same(data)


def test_points_of_laps_are_the_same_in_parts() -> None:
    laps = (lap(100 * n, 90.0, track(*range(100 * n, 100 * n + 90))) for n in range(5))
    data = tcx(activity(*laps)).encode()
    ways = [told(TcxDocument, ("trackpoint",), data, size) for size in (len(data) + 1, 150, 1000)]
    assert ways[1] == ways[2] == ways[0]


def test_real_recordings_are_the_same_in_parts(recordings_folder: Path) -> None:
    for path in sorted(recordings_folder.glob("*.gpx")):
        check_same(path.read_bytes(), 1 << 14)
    for path in sorted(recordings_folder.glob("*.tcx")):
        data = path.read_bytes()
        ways = (told(TcxDocument, ("trackpoint",), data, size) for size in (len(data) + 1, 1 << 14))
        assert next(ways) == next(ways)


def test_a_refusal_of_too_many_points_comes_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("slopebeat.files.xml.points.MOST_RECORDS", 5)
    data = gpx(*(point(second) for second in range(9))).encode()
    assert "more than 5 track points" in str(check_same(data)[0])


@pytest.mark.parametrize(
    "odd",
    ["1,2", "1],[2", "[1", "", " 7.5\n", "+7", "07", ".5", "5.", "1_0", "1e999", "x", '"4"', "null"],
)
def test_a_number_in_an_odd_way_is_read_as_python_reads_it_and_changes_no_other(odd: str) -> None:
    texts = ["12.25", odd, "-3", "1e2"]
    points = PointColumns()
    points.add([fromstring(f"<trkpt><ele>{text}</ele></trkpt>") for text in texts])
    wanted = [12.25, finite_number(odd), -3.0, 100.0]
    np.testing.assert_array_equal(points.columns()["elevation_m"], wanted)
