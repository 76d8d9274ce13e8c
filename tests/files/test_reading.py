"""Files are recognised by content, unpacked within bounds, refused in sentences; reading can be stopped."""

from __future__ import annotations

import gzip
import hashlib
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest

from files.fit_making import START_S, encoded, message, steady
from files.gpx_making import gpx, point
from files.tcx_making import activity, lap, tcx, track
from helpers.sentences import sentences_of
from slopebeat.files import progress, source
from slopebeat.files.fit.decode import WALKED_SHARE, decode_file
from slopebeat.files.fit.frame import frames
from slopebeat.files.progress import TELL_EVERY_S, Ticker
from slopebeat.files.reading import FORMATS, UNPACKED_SHARE, read_recordings
from slopebeat.files.reading import read as read_file
from slopebeat.model.errors import Cancelled, UnreadableFile
from slopebeat.model.recording import Recording

Read = Callable[..., tuple[Recording, ...]]

CONTENTS = {
    "FIT": encoded(steady(10)),
    "GPX": gpx(*(point(s) for s in range(10))).encode(),
    "TCX": tcx(activity(lap(0, 9.0, track(*range(10))))).encode(),
}


def test_there_is_content_for_every_format() -> None:
    assert set(CONTENTS) == {row.name for row in FORMATS}


@pytest.mark.parametrize("name", CONTENTS)
@pytest.mark.parametrize("ending", [".fit", ".gpx", ".tcx", ".jpg", ""])
def test_content_decides_and_not_the_ending(read: Read, name: str, ending: str) -> None:
    (recording,) = read(CONTENTS[name], f"outing{ending}")
    assert len(recording.samples) == 10
    assert recording.file_name == f"outing{ending}"


@pytest.mark.parametrize("name", CONTENTS)
def test_bytes_are_read_as_the_file_they_came_from(tmp_path: Path, name: str) -> None:
    path = tmp_path / "outing.gz"
    path.write_bytes(gzip.compress(CONTENTS[name], mtime=0))
    of_path, of_bytes = read_file(path), read_file(path.read_bytes(), name="outing.gz")
    assert of_path.data == of_bytes.data == path.read_bytes()
    assert of_path.content_hash == of_bytes.content_hash == hashlib.sha256(path.read_bytes()).hexdigest()
    for one, other in zip(of_path.recordings, of_bytes.recordings, strict=True):
        assert one.samples.frame().equals(other.samples.frame())
        assert (one.title, one.file_name) == (other.title, other.file_name) == ("outing", "outing.gz")


@pytest.mark.parametrize("name", CONTENTS)
def test_gzipped_files_are_unpacked(read: Read, name: str) -> None:
    (recording,) = read(gzip.compress(CONTENTS[name], mtime=0), f"outing.{name.lower()}.gz")
    assert len(recording.samples) == 10
    assert recording.title == "outing"


def test_several_gzip_members_are_one_file(read: Read) -> None:
    whole = CONTENTS["GPX"]
    (recording,) = read(gzip.compress(whole[:700], mtime=0) + gzip.compress(whole[700:]))
    assert len(recording.samples) == 10


def test_a_cut_gzip_file_gives_what_could_be_unpacked(read: Read) -> None:
    text = gpx(*(point(s, f"<hr>{100 + s * 7 % 31}</hr>") for s in range(600)))
    packed = gzip.compress(text.encode(), mtime=0)
    (recording,) = read(packed[: len(packed) // 2], "outing.gpx.gz")
    assert 2 <= len(recording.samples) < 600
    assert "packed file is damaged" in sentences_of(recording.warnings)[0]


def test_unpacking_is_bounded(read: Read, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(source, "MAX_BYTES", 1 << 20)
    with pytest.raises(UnreadableFile, match="unpacks to more than 1 MB"):
        read(gzip.compress(bytes(3 << 20), mtime=0))


def test_a_huge_file_is_refused_before_it_is_loaded(tmp_path: Path) -> None:
    path = tmp_path / "film.fit"
    with path.open("wb") as stream:
        stream.truncate(source.MAX_BYTES + 1)
    with pytest.raises(UnreadableFile, match="too large for a recording"):
        read_recordings(path)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty"),
        (b"time,hr\n0,100\n", "plain text"),
        (b"\x89PNG\r\n\x1a\n" + bytes(40), "a PNG picture"),
        (b"PK\x03\x04" + bytes(40), "a ZIP archive; unpack it"),
        (bytes(range(256)), "binary data"),
        (b"\xff\xfe" + bytes(3), "binary data"),
        (b"<html><body/></html>", "an XML document with the root element html"),
        (b"<", "damaged XML"),
        (gzip.compress(gzip.compress(b"x", mtime=0), mtime=0), "packed twice"),
        (b"\x1f\x8b\x08", "nothing in it could be unpacked"),
        (b"\x0e\x20\x00\x00\x00\x00\x00\x00.FIT", "FIT file"),
    ],
)
def test_anything_else_is_refused_in_a_sentence_that_says_what_it_is(
    read: Read, content: bytes, words: str
) -> None:
    with pytest.raises(UnreadableFile, match=words) as caught:
        read(content)
    assert str(caught.value).startswith("outing.bin ")
    assert str(caught.value).endswith(".")


def test_an_absent_file_and_a_folder_are_refused_in_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match="no file"):
        read_recordings(tmp_path / "nowhere.fit")
    with pytest.raises(UnreadableFile, match="is a folder"):
        read_recordings(tmp_path)


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (PermissionError(13, "Permission denied"), "may not be read: permission was denied"),
        (OSError(5, "Input/output error"), "could not be read: Input/output error"),
    ],
)
def test_an_error_of_the_disk_is_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: OSError, words: str
) -> None:
    path = tmp_path / "outing.fit"
    path.write_bytes(CONTENTS["FIT"])

    def broken(*_args: object) -> None:
        raise error

    monkeypatch.setattr(source, "open_regular", broken)
    with pytest.raises(UnreadableFile, match=words):
        read_recordings(path)


BOMB = (
    '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">'
    "]><gpx><trk><name>&b;</name></trk></gpx>"
)
OUTSIDE = '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a SYSTEM "file:///etc/hostname">]><gpx>&a;</gpx>'


@pytest.mark.parametrize("content", [BOMB, OUTSIDE])
def test_xml_entities_are_refused(read: Read, content: str) -> None:
    with pytest.raises(UnreadableFile, match="defines XML entities or refers to other files"):
        read(content, "outing.gpx")


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "iso-8859-1"])
def test_usual_text_encodings_are_read(read: Read, encoding: str) -> None:
    text = gpx(point(0), point(1), name="Über den Grat")
    declared = "utf-8" if encoding == "utf-8-sig" else encoding
    content = text.replace('version="1.0"?', f'version="1.0" encoding="{declared}"?', 1).encode(encoding)
    (recording,) = read(content)
    assert recording.title == "Über den Grat"


def test_an_unknown_encoding_is_refused_in_a_sentence(read: Read) -> None:
    with pytest.raises(UnreadableFile, match="damaged XML"):
        read('<?xml version="1.0" encoding="no-such"?><gpx/>')


def test_white_space_before_the_xml_declaration_is_forgiven(read: Read) -> None:
    (recording,) = read(b"\n  " + CONTENTS["GPX"])
    assert len(recording.samples) == 10


@pytest.mark.parametrize("name", ["big_endian_auto_pauses.fit", "hilly_ride.tcx"])
def test_reading_tells_its_progress_often_and_stops_when_asked(
    name: str, monkeypatch: pytest.MonkeyPatch, recordings_folder: Path
) -> None:
    monkeypatch.setattr(progress, "TELL_EVERY_S", 0.0)
    path = recordings_folder / name
    told: list[float] = []
    read_recordings(path, told.append)
    assert told == sorted(told)
    assert 0.0 <= told[0] < 0.5 < told[-1] <= 1.0

    def stop(share: float) -> None:
        told.append(share)
        if share > 0.3:
            raise Cancelled

    told.clear()
    with pytest.raises(Cancelled):
        read_recordings(path, stop)
    assert told[-1] < 0.5
    assert sum(share > 0.3 for share in told) == 1


def test_progress_is_never_silent_for_long(monkeypatch: pytest.MonkeyPatch, recordings_folder: Path) -> None:
    """Counted in work, not on the clock: between two ticks at most a hundredth of the bytes is gone through.

    What follows is done with all records at once, in less time than going through them.
    """
    shares: list[float] = []
    plain_tick = Ticker.tick

    def tick(self: Ticker, share: float) -> None:
        shares.append(self._start + (self._end - self._start) * share)
        plain_tick(self, share)

    monkeypatch.setattr(Ticker, "tick", tick)
    read_recordings(recordings_folder / "mtb_long_standing_stops.fit", lambda _share: None)
    walked = UNPACKED_SHARE + (1.0 - UNPACKED_SHARE) * WALKED_SHARE
    walking = [share for share in shares if UNPACKED_SHARE <= share <= walked]
    assert max(after - before for before, after in pairwise(walking)) < 0.01
    assert walked - walking[-1] < 0.01
    assert [share for share in shares if share > walked]


def test_messages_nobody_reads_are_no_silence() -> None:
    data = encoded([message("monitoring", timestamp=START_S + s, heart_rate=60) for s in range(500)])
    told: list[float] = []

    class Listening(Ticker):
        def tick(self, share: float) -> None:
            told.append(share)

        def within(self, _start: float, _end: float) -> Ticker:
            return self

    decode_file(data, frames(data)[0][0], Listening(None))
    assert len(told) > 10


def test_a_progress_function_is_not_called_more_often_than_useful() -> None:
    told: list[float] = []
    ticker = Ticker(told.append).within(0.5, 1.0)
    until = time.monotonic() + 5 * TELL_EVERY_S
    calls = 0
    while time.monotonic() < until:
        ticker.tick(0.5)
        calls += 1
    assert set(told) == {0.75}
    assert len(told) <= 7 < calls
