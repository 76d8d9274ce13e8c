"""Files made to do harm, or absurd by damage: a sentence or a recording, in little time and memory."""

from __future__ import annotations

import gzip
import struct
import time
import tracemalloc
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from files.fit_making import encoded, framed, record, steady
from files.gpx_making import gpx, point
from files.tcx_making import activity, lap, tcx
from files.tcx_making import point as tcx_point
from helpers.sentences import sentences_of
from slopebeat.files import assembly, limits, source
from slopebeat.files.limits import plain_text
from slopebeat.files.xml import parts as xml_parts
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.recording import Recording

Read = Callable[..., tuple[Recording, ...]]

DAY_S = 86_400


def stamp(second: float, start: str = "2024-05-01T00:00:00") -> str:
    return (datetime.fromisoformat(start) + timedelta(seconds=second)).isoformat() + "Z"


ENTITIES = {
    "bomb": '<!DOCTYPE gpx [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>',
    "outside": '<!DOCTYPE gpx [<!ENTITY a SYSTEM "file:///etc/hostname">]>',
    "parameter": '<!DOCTYPE gpx [<!ENTITY % p SYSTEM "http://localhost/x.dtd"> %p;]>',
    "unparsed": '<!DOCTYPE gpx [<!NOTATION n SYSTEM "n"><!ENTITY a SYSTEM "x" NDATA n>]>',
    "unused": '<!DOCTYPE gpx [<!ENTITY unused "x">]>',
}


@pytest.mark.parametrize("declared", ENTITIES.values(), ids=ENTITIES)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
def test_documents_that_define_entities_are_refused(read: Read, declared: str, encoding: str) -> None:
    text = gpx(point(0), point(1)).replace('<?xml version="1.0"?>', f'<?xml version="1.0"?>{declared}')
    with pytest.raises(UnreadableFile, match="defines XML entities or refers to other files"):
        read(text.encode(encoding))


def test_an_outside_document_type_is_never_fetched(read: Read) -> None:
    """Nothing of it is needed; an entity it might define is then simply unknown, which ends the reading."""
    declared = '<!DOCTYPE gpx SYSTEM "http://localhost:9/none.dtd">'
    text = gpx(point(0), point(1), point(2, "<hr>&beats;</hr>"))
    (recording,) = read(text.replace('<?xml version="1.0"?>', declared))
    assert recording.samples["t_s"].tolist() == [0.0, 1.0]
    assert "malformed" in sentences_of(recording.warnings)[0]


@pytest.mark.parametrize("inside", [True, False])
def test_deep_nesting_is_refused(read: Read, inside: bool) -> None:
    nest = "<a>" * 100_000
    text = (
        gpx(point(0), point(1, nest)) if inside else gpx(point(0), point(1)).replace("<trk>", nest + "<trk>")
    )
    with pytest.raises(UnreadableFile) as refused:
        read(text)
    assert f"more than {limits.DEEPEST_XML} deep" in str(refused.value) or inside


def test_a_track_point_without_end_is_refused(read: Read) -> None:
    text = gpx(point(0), point(1, "<a/>" * 400_000), point(2))
    with pytest.raises(UnreadableFile, match="track point larger than 1,048,576 bytes"):
        read(text)


@pytest.mark.parametrize(
    "filler", ["<a/>", "<!-- x -->", "<?x?>", "<a b='c'>d</a>\n", "<wpt><name>x</name></wpt>"]
)
def test_what_is_no_track_costs_no_memory(read: Read, filler: str) -> None:
    before = gpx(point(0), point(1)).replace("<trk>", filler * (200_000 // len(filler)) + "<trk>", 1)
    data = before.encode()
    tracemalloc.start()
    try:
        (recording,) = read(data)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert len(recording.samples) == 2
    # Twice the content and 270 kB of the reader's own; an element kept would take fifty bytes or more.
    assert peak < 4 * len(data)


@pytest.mark.parametrize("filler", ["x" * 1000, "<trkpt lat='1' lon='2'><ele>3</ele></trkpt>\n"])
def test_a_comment_without_end_is_not_begun_anew_with_every_part(
    read: Read, filler: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The parser goes through an unfinished comment again each time it gets more of it."""
    fed: list[int] = []
    feed = xml_parts.DocumentParts._feed

    def count_and_feed(parts: xml_parts.DocumentParts, part: bytes) -> None:
        fed.append(len(part))
        feed(parts, part)

    monkeypatch.setattr(xml_parts.DocumentParts, "_feed", count_and_feed)
    comment = f"<!--{filler * (8_000_000 // len(filler))}-->"
    (recording,) = read(gpx(point(0), point(1)).replace("<trk>", f"{comment}<trk>", 1))
    assert len(recording.samples) == 2
    assert sum(fed) > 8_000_000
    assert len(fed) < 60


def test_more_chained_files_than_any_day_has_are_refused_at_once(read: Read) -> None:
    # A quarter of a million files of a byte each would take minutes, one after the other.
    began = time.process_time()
    with pytest.raises(UnreadableFile, match="one behind another"):
        read(framed(b"\x00") * 250_000)
    assert time.process_time() - began < 5.0


def test_chained_files_are_refused_for_what_they_hold_together(read: Read) -> None:
    # Records of one byte, field 3 "heart_rate" of message 20 "record" (FIT profile).
    definition = bytes((0x40, 0, 0, 20, 0, 1, 3, 1, 2))
    half = framed(definition + b"\x00\x64" * (limits.MOST_RECORDS // 2 + 1))
    with pytest.raises(UnreadableFile, match="more than 1,000,000 records"):
        read(half * 2)


def test_a_gzip_bomb_is_refused_at_the_limit(read: Read, monkeypatch: pytest.MonkeyPatch) -> None:
    """At a limit that is met sooner than the real one, which is no more than a computer has room for."""
    assert source.MAX_BYTES <= 256 << 20
    monkeypatch.setattr(source, "MAX_BYTES", 16 << 20)
    one = gzip.compress(bytes(2 << 20))
    began = time.process_time()
    with pytest.raises(UnreadableFile, match="unpacks to more than 16 MB"):
        read(one * 40)
    assert time.process_time() - began < 20


def test_a_huge_size_in_a_fit_header_is_a_cut_file(read: Read) -> None:
    data = bytearray(encoded(steady(5)))
    data[4:8] = b"\xff\xff\xff\xff"
    (recording,) = read(bytes(data))
    assert len(recording.samples) == 5
    assert "of 4,294,967,295 bytes could not be read" in sentences_of(recording.warnings)[0]


def test_huge_fields_of_fit_definitions_are_only_bytes(read: Read) -> None:
    fields = bytes((253, 4, 0x86)) + bytes((200, 255, 0x0D)) * 254
    definition = struct.pack("<BBBHB", 0x40, 0, 0, 20, 255) + fields
    (refused_size,) = {sum(fields[1::3])}
    rows = b"".join(
        b"\x00" + struct.pack("<I", 1_100_000_000 + s) + bytes(refused_size - 4) for s in range(3)
    )
    (recording,) = read(framed(definition + rows))
    assert len(recording.samples) == 3


CONTROL = "Ridge\x7f\u202e \u2028walk\u0085\t\n "


@pytest.mark.parametrize("name", [CONTROL, "x" * 50_000])
def test_names_are_fit_to_be_shown(read: Read, name: str) -> None:
    (recording,) = read(gpx(point(0), point(1), name=name))
    assert 0 < len(recording.title) <= limits.LONGEST_NAME
    assert recording.title.isprintable()
    assert plain_text(CONTROL) == "Ridge walk"


def test_a_file_name_of_control_characters_gives_a_printable_title(read: Read) -> None:
    (recording,) = read(gpx(point(0), point(1)), "a\x07b\x1b[31m.gpx")
    assert recording.title == "a b [31m"


@pytest.mark.parametrize("bad", ["NaN", "inf", "-Infinity", "1e999", "0x10", "", "١٢٣e999", "--1"])
def test_numbers_that_are_none_are_absent(read: Read, bad: str) -> None:
    points = gpx(*(point(s, f"<hr>{bad}</hr><power>{bad}</power>") for s in range(3)))
    bad_place = points.replace('lat="46.0"', f'lat="{bad}"', 1).replace("<ele>501", f"<ele>{bad}<b/>", 1)
    (recording,) = read(bad_place.replace("<b/>", ""))
    assert recording.samples.frame()[["hr_bpm", "power_w"]].isna().all(axis=None)
    assert np.isnan(recording.samples["lat_deg"][0])
    assert len(recording.samples) == 3


def test_floating_point_fields_of_fit_may_hold_anything(read: Read) -> None:
    definition = struct.pack("<BBBHB", 0x40, 0, 0, 20, 3) + bytes((253, 4, 0x86, 2, 4, 0x88, 6, 8, 0x89))
    quiet, signalling = b"\x00\x00\xc0\x7f", b"\x01\x00\x80\x7f"
    bits = [quiet, signalling, struct.pack("<f", np.inf), struct.pack("<f", 2.5e38)]
    wide = struct.pack("<d", 1e308)
    rows = b"".join(b"\x00" + struct.pack("<I", 1_100_000_000 + s) + b + wide for s, b in enumerate(bits))
    (recording,) = read(framed(definition + rows))
    assert len(recording.samples) == 4
    assert not np.isinf(recording.samples.frame().to_numpy()).any()


@pytest.mark.parametrize("year", [2085, 2150])
def test_a_date_that_has_not_come_is_said(read: Read, year: int) -> None:
    (recording,) = read(gpx(*(point(0, time=f"{year}-01-01T00:00:0{s}Z") for s in range(3))))
    assert recording.start_utc == datetime(year, 1, 1, tzinfo=UTC)
    (warning,) = sentences_of(recording.warnings)
    assert f"dated {year}-01-01, in the future" in warning


@pytest.mark.parametrize(
    "when",
    [
        "0001-01-01T00:00:00+23:59",
        "9999-12-31T23:59:59-23:59",
        "1969-12-31T23:59:59Z",
        "0000-01-01T00:00:00Z",
    ],
)
def test_a_date_no_recording_can_have_is_no_time(read: Read, when: str) -> None:
    (recording,) = read(gpx(point(0), point(0, time=when), point(2)))
    assert recording.samples["t_s"].tolist() == [0.0, 2.0]
    assert sentences_of(recording.warnings) == ("1 point without a time left out.",)


def test_a_year_0_is_no_time_in_whatever_company(read: Read) -> None:
    """NumPy reads it as one."""
    with pytest.raises(UnreadableFile, match="2 track points of which 0 carry a time"):
        read(gpx(*(point(0, time="0000-01-01T00:00:00Z") for _ in range(2))))


def test_a_time_far_from_all_others_does_not_stretch_the_recording(read: Read) -> None:
    times = [stamp(s) for s in range(50)]
    times[20] = "1997-01-01T00:00:00Z"
    (recording,) = read(gpx(*(point(0, time=when) for when in times)))
    assert recording.span_s == 49.0
    assert sentences_of(recording.warnings) == ("1 point left out: the times span more than 31 days.",)


@pytest.mark.parametrize("step_s", [3600, DAY_S, 40 * DAY_S])
def test_no_recording_spans_longer_than_the_limit(read: Read, step_s: int) -> None:
    try:
        (recording,) = read(gpx(*(point(0, time=stamp(s * step_s)) for s in range(1500))))
    except UnreadableFile:
        assert step_s > assembly.LONGEST_SPAN_S
        return
    assert recording.span_s <= assembly.LONGEST_SPAN_S


def test_numpy_does_not_read_times_another_way(read: Read) -> None:
    """Twenty characters that end in Z and yet are no UTC time of the usual kind."""
    odd = ["2024-05-01T08:00+01Z", "2024-05-01T08:00:6xZ", "2024-05-01T25:00:00Z", "2024-05-01T08:00:60Z"]
    (recording,) = read(gpx(point(0), *(point(0, time=when) for when in odd), point(2)))
    assert recording.samples["t_s"].tolist() == [0.0, 2.0]


def test_a_pause_before_the_first_record_in_time_is_cut_to_the_recording(read: Read) -> None:
    """Tracks in the wrong order: found by mutation."""
    tracks = f"<Track>{tcx_point(100)}{tcx_point(110)}</Track><Track>{tcx_point(300)}</Track>"
    tracks += f"<Track>{tcx_point(20)}</Track><Track>{tcx_point(305)}</Track>"
    (recording,) = read(tcx(activity(lap(0, 400.0, tracks))))
    assert all(0.0 <= a <= b <= recording.span_s for a, b in recording.pauses)


@pytest.mark.parametrize("count", [0, 1])
def test_no_record_and_one_are_refused_in_each_format(read: Read, count: int) -> None:
    for content in (
        encoded([record(s) for s in range(count)]),
        gpx(*(point(s) for s in range(count))),
        tcx(activity(lap(0, 9.0, f"<Track>{''.join(tcx_point(s) for s in range(count))}</Track>"))),
    ):
        with pytest.raises(UnreadableFile, match="record"):
            read(content)


@pytest.mark.parametrize(("count", "step_s"), [(86_400, 1), (7 * 1440, 60), (100_000, 1)])
def test_long_recordings_are_read_whole(read: Read, count: int, step_s: int) -> None:
    definition = struct.pack("<BBBHB", 0x40, 0, 0, 20, 2) + bytes((253, 4, 0x86, 3, 1, 0x02))
    table = np.zeros(count, dtype=[("header", "u1"), ("time", "<u4"), ("hr", "u1")])
    table["time"] = 1_100_000_000 + step_s * np.arange(count)
    table["hr"] = 100 + np.arange(count) % 50
    (recording,) = read(framed(definition + table.tobytes()))
    assert len(recording.samples) == count
    assert recording.span_s == (count - 1) * step_s
    assert recording.warnings == ()
    np.testing.assert_array_equal(recording.samples["hr_bpm"], table["hr"])


@pytest.mark.parametrize(
    ("module", "limit", "content", "words"),
    [
        ("points", "MOST_RECORDS", gpx(*(point(s) for s in range(9))), "more than 5 track points"),
        ("gpx", "MOST_TRACKS", f"<gpx>{'<trk></trk>' * 9}</gpx>", "more than 5 tracks"),
        ("tcx", "MOST_TRACKS", tcx(*(activity() for _ in range(9))), "more than 5 activities"),
        ("tcx", "MOST_LAPS", tcx(activity(*(lap(s, 1.0) for s in range(9)))), "more than 5 laps"),
    ],
)
def test_more_than_any_recording_has_is_refused_in_a_sentence(
    read: Read, monkeypatch: pytest.MonkeyPatch, module: str, limit: str, content: str, words: str
) -> None:
    monkeypatch.setattr(f"slopebeat.files.xml.{module}.{limit}", 5)
    with pytest.raises(UnreadableFile, match=words):
        read(content)
