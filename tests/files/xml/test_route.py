"""Planned routes made as text, hostile ones too; an independent reader agrees on distance and export."""

from __future__ import annotations

import gzip
from pathlib import Path

import gpxpy
import gpxpy.geo
import numpy as np
import pytest

from helpers.sentences import sentences_of
from slopebeat.files.xml.route import gpx_bytes, read_routes
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.route import Route, Waypoint

HEAD = '<?xml version="1.0"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">'


def points(tag: str, count: int = 5, ele: bool = True, time: bool = False) -> str:
    made = []
    for i in range(count):
        inner = f"<ele>{900 + 10 * i}</ele>" if ele else ""
        inner += f"<time>2026-05-01T08:00:{i:02d}Z</time>" if time else ""
        made.append(f'<{tag} lat="{46 + 0.001 * i}" lon="{11 + 0.002 * i}">{inner}</{tag}>')
    return "".join(made)


def read(folder: Path, body: str | bytes, name: str = "way.gpx") -> tuple[Route, ...]:
    path = folder / name
    path.write_bytes(body if isinstance(body, bytes) else (HEAD + body + "</gpx>").encode())
    return read_routes(path)


def test_a_route_and_a_track_are_both_ways(tmp_path: Path) -> None:
    ways = read(
        tmp_path,
        f"<rte><name>To the hut</name>{points('rtept')}</rte>"
        f"<trk><name>Over &amp; back</name><trkseg>{points('trkpt', 3)}</trkseg></trk>",
    )
    assert [way.title for way in ways] == ["To the hut", "Over & back"]
    assert [len(way) for way in ways] == [5, 3]
    assert ways[0].elevation_m.tolist() == [900.0, 910.0, 920.0, 930.0, 940.0]
    assert all(way.has_elevation and not way.warnings for way in ways)


def test_length_agrees_with_an_independent_reader(tmp_path: Path) -> None:
    (way,) = read(tmp_path, f"<trk><trkseg>{points('trkpt', 40)}</trkseg></trk>")
    other = gpxpy.parse((tmp_path / "way.gpx").read_text())
    assert way.length_m == pytest.approx(other.length_2d(), rel=0.004)


def test_segments_of_one_track_are_joined(tmp_path: Path) -> None:
    (way,) = read(
        tmp_path,
        '<trk><trkseg><trkpt lat="46" lon="11"/><trkpt lat="46.001" lon="11"/></trkseg>'
        '<trkseg><trkpt lat="46.002" lon="11"/></trkseg></trk>',
    )
    assert len(way) == 3
    assert way.length_m == pytest.approx(222.4, abs=1.0)


def test_times_are_not_needed(tmp_path: Path) -> None:
    (way,) = read(tmp_path, f"<trk><trkseg>{points('trkpt', time=True)}</trkseg></trk>")
    assert not way.warnings


def test_a_way_without_elevation_says_so(tmp_path: Path) -> None:
    (way,) = read(tmp_path, f"<rte>{points('rtept', ele=False)}</rte>")
    assert not way.has_elevation
    assert "no elevation" in sentences_of(way.warnings)[0]
    assert way.title == "way"


def test_a_packed_file_is_read(tmp_path: Path) -> None:
    packed = gzip.compress((HEAD + f"<rte>{points('rtept')}</rte></gpx>").encode())
    (way,) = read(tmp_path, packed, "way.gpx.gz")
    assert len(way) == 5


def test_points_off_the_earth_and_absurd_elevations_are_left_out(tmp_path: Path) -> None:
    (way,) = read(
        tmp_path,
        f'<rte><rtept lat="91" lon="0"/><rtept lat="nan" lon="0"/><rtept lon="3"/>{points("rtept")}'
        '<rtept lat="46.005" lon="11.01"><ele>1e9</ele></rtept></rte>',
    )
    assert len(way) == 6
    assert np.isnan(way.elevation_m[-1])
    assert "3 points without a place" in sentences_of(way.warnings)[0]


def test_a_broken_off_file_keeps_what_came_before(tmp_path: Path) -> None:
    (way,) = read(tmp_path, (HEAD + f"<rte>{points('rtept')}<rtept lat=").encode())
    assert len(way) == 5
    assert "breaks off" in sentences_of(way.warnings)[-1]


BOMB = (
    '<?xml version="1.0"?><!DOCTYPE g [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]>'
    "<gpx><rte><name>&b;</name></rte></gpx>"
)


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (b"", "is empty"),
        (b"\x00\x01\x02", "no GPX file"),
        (b"<kml><Document/></kml>", "root element kml"),
        ((HEAD + "</gpx>").encode(), "no route and no track points"),
        ((HEAD + '<rte><rtept lat="1" lon="1"/><rtept lat="1" lon="1"/></rte></gpx>').encode(), "one place"),
        ((HEAD + '<rte><rtept lat="0" lon="0"/><rtept lat="0" lon="90"/></rte></gpx>').encode(), "km long"),
        (BOMB.encode(), "defines XML entities"),
    ],
)
def test_what_is_no_way_gets_a_sentence(tmp_path: Path, body: bytes, words: str) -> None:
    with pytest.raises(UnreadableFile, match=words):
        read(tmp_path, body)


def test_a_missing_file_gets_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match="There is no file"):
        read_routes(tmp_path / "none.gpx")


def test_export_is_read_back_by_an_independent_reader_with_text_escaped(tmp_path: Path) -> None:
    (way,) = read(tmp_path, f"<rte><name>Up &amp; &lt;down&gt;</name>{points('rtept')}</rte>")
    spot = Waypoint(46.001, 11.002, 910.04, "Climb 1: <3.1 km/h>", 'hold "310 m/h" & breathe\x07')
    data = gpx_bytes(way, (spot,))
    other = gpxpy.parse(data.decode("utf-8"))
    assert other.tracks[0].name == "Up & <down>"
    assert (other.waypoints[0].name, other.waypoints[0].elevation) == ("Climb 1: <3.1 km/h>", 910.0)
    assert other.waypoints[0].description == 'hold "310 m/h" & breathe'
    assert [p.elevation for p in other.tracks[0].segments[0].points] == way.elevation_m.tolist()
    (tmp_path / "out.gpx").write_bytes(data)
    (again,) = read_routes(tmp_path / "out.gpx")
    assert again.distance_m == pytest.approx(way.distance_m, abs=0.05)


def test_export_refuses_a_way_that_has_no_positions() -> None:
    with pytest.raises(ValueError, match="profile only"):
        gpx_bytes(Route.of_profile(np.array([0.0, 100.0]), np.array([500.0, 510.0])), ())
