"""Files are written whole or not at all, with the rights they had, never over what would be missed."""

from __future__ import annotations

import errno
import gzip
import json
import os
import signal
import sqlite3
import stat
import subprocess
import sys
import threading
from pathlib import Path

import platformdirs
import pytest

from helpers.patience import WAIT_S
from slopebeat.disk.leftovers import remove_leftovers
from slopebeat.disk.writing import PUBLIC, check_targets, own_handle, whole_file, write_whole
from slopebeat.library.store import Library
from slopebeat.model.errors import UserError

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
GPX, TCX, FIT = (next(iter(sorted(SAMPLES.glob(f"*.{kind}")))) for kind in ("gpx", "tcx", "fit"))

posix = pytest.mark.skipif(os.name != "posix", reason="links, pipes and rights as POSIX has them")


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def unfinished(folder: Path) -> list[Path]:
    return list(folder.rglob(".*.part"))


@posix
def test_a_new_file_is_its_owners_and_an_old_one_keeps_its_rights(tmp_path: Path) -> None:
    new, shown, open_to_all = tmp_path / "new", tmp_path / "shown", tmp_path / "old"
    open_to_all.write_bytes(b"old")
    open_to_all.chmod(0o664)
    before = os.umask(0o022)
    try:
        write_whole(new, b"1")
        write_whole(shown, b"2", PUBLIC)
        write_whole(open_to_all, b"3")
    finally:
        os.umask(before)
    assert (mode(new), mode(shown), mode(open_to_all)) == (0o600, 0o644, 0o664)
    assert (new.read_bytes(), shown.read_bytes(), open_to_all.read_bytes()) == (b"1", b"2", b"3")
    assert unfinished(tmp_path) == []


@posix
def test_a_link_stays_and_what_it_points_to_is_written(tmp_path: Path) -> None:
    real, link, dangling = tmp_path / "there" / "real", tmp_path / "link", tmp_path / "dangling"
    real.parent.mkdir()
    real.write_bytes(b"old")
    link.symlink_to(real)
    dangling.symlink_to(tmp_path / "there" / "made")
    write_whole(link, b"new")
    write_whole(dangling, b"made")
    assert link.is_symlink()
    assert dangling.is_symlink()
    assert real.read_bytes() == b"new"
    assert (tmp_path / "there" / "made").read_bytes() == b"made"


@posix
def test_pipes_and_devices_are_written_through(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    got: list[bytes] = []
    reader = threading.Thread(target=lambda: got.append(pipe.read_bytes()))
    reader.start()
    write_whole(pipe, b"x" * 200_000)
    reader.join(10)
    assert got == [b"x" * 200_000]
    assert stat.S_ISFIFO(pipe.stat().st_mode)
    write_whole(Path("/dev/null"), b"gone")
    assert stat.S_ISCHR(Path("/dev/null").stat().st_mode)
    with pytest.raises(UserError, match="No space left on device"):
        write_whole(Path("/dev/full"), b"x")


@posix
def test_names_of_standard_output_are_known_and_others_are_not(tmp_path: Path) -> None:
    link = tmp_path / "out"
    link.symlink_to("/dev/stdout")
    assert own_handle(Path("/dev/stdout")) == own_handle(link) == own_handle(Path("/dev/fd/1")) == 1
    assert own_handle(tmp_path / "1") is None
    assert own_handle(Path("/dev/null")) is None


@posix
def test_what_standard_output_was_sent_to_is_added_to_and_not_replaced(tmp_path: Path) -> None:
    """A shell goes on writing to the file it opened; that file must stay the one with the name."""
    script = (
        "from pathlib import Path\nfrom slopebeat.disk.writing import write_whole\n"
        "print('before')\nwrite_whole(Path('/dev/stdout'), b'in between\\n')\nprint('after')\n"
    )
    target = tmp_path / "said.txt"
    with target.open("wb") as stream:
        subprocess.run([sys.executable, "-c", script], stdout=stream, check=True, timeout=WAIT_S)
    assert target.read_text() == "before\nin between\nafter\n"


@pytest.mark.parametrize("packed", [False, True])
@pytest.mark.parametrize("sample", [GPX, TCX, FIT], ids=lambda path: path.suffix)
def test_a_recording_is_never_written_over(tmp_path: Path, sample: Path, packed: bool) -> None:
    content = gzip.compress(sample.read_bytes()) if packed else sample.read_bytes()
    target = tmp_path / "me.json"  # its content says what it is, not its name
    target.write_bytes(content)
    with pytest.raises(UserError, match="is a recording and is not written over"):
        write_whole(target, b"{}")
    assert target.read_bytes() == content


def test_a_library_is_never_written_over(tmp_path: Path) -> None:
    target = tmp_path / "library.sqlite3"
    Library.create(target).close()
    before = target.read_bytes()
    with pytest.raises(UserError, match="a library or another database"):
        write_whole(target, b"{}")
    assert target.read_bytes() == before
    assert sqlite3.connect(target).execute("SELECT count(*) FROM sqlite_master").fetchone()[0] > 0


def test_a_way_of_this_program_may_be_written_again(tmp_path: Path) -> None:
    from slopebeat.files.xml.route import gpx_bytes, read_routes

    way = gpx_bytes(read_routes(GPX)[0], ())
    write_whole(tmp_path / "way.gpx", way)
    write_whole(tmp_path / "way.gpx", way)
    (tmp_path / "gone.gpx").write_bytes(GPX.read_bytes())
    with pytest.raises(UserError, match="is a recording"):
        write_whole(tmp_path / "gone.gpx", way)


def test_other_content_may_be_replaced(tmp_path: Path) -> None:
    page = b"<html><body>a gpx <gpx></body></html>"
    for content in (b"", page, b"\x1f\x8bbroken", b"\xff\xfe\x00", b"PK\x03\x04"):
        (tmp_path / "old").write_bytes(content)
        write_whole(tmp_path / "old", b"new")
        assert (tmp_path / "old").read_bytes() == b"new"


def test_targets_that_are_read_or_named_twice_are_refused(tmp_path: Path) -> None:
    read, other = tmp_path / "read.txt", tmp_path / "other"
    read.write_bytes(b"x")
    (tmp_path / "hard").hardlink_to(read)
    (tmp_path / "soft").symlink_to(read)
    around = tmp_path / "." / ".." / tmp_path.name / "read.txt"
    for target in (read, tmp_path / "hard", tmp_path / "soft", around):
        with pytest.raises(UserError, match="is read here"):
            check_targets([target], [read])
    with pytest.raises(UserError, match="asked for twice"):
        check_targets([other, tmp_path / "." / "other"])
    with pytest.raises(UserError, match="asked for twice"):
        check_targets([Path("/dev/stdout"), Path("/dev/fd/1")])
    check_targets([other, Path("/dev/null"), Path("/dev/null")], [read])


@pytest.mark.parametrize("failing", ["fsync", "replace"])
def test_a_failure_at_any_step_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, failing: str
) -> None:
    target = tmp_path / "old"
    target.write_bytes(b"old")

    def full(*_arguments: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, failing, full)
    with pytest.raises(UserError, match=r"could not be written: No space left on device\.$"):
        write_whole(target, b"new")
    assert target.read_bytes() == b"old"
    assert unfinished(tmp_path) == []


def test_an_error_while_the_content_is_made_leaves_the_old_file(tmp_path: Path) -> None:
    target = tmp_path / "old"
    target.write_bytes(b"old")

    def broken() -> None:
        with whole_file(target) as stream:
            stream.write(b"half")
            raise KeyError("made up")

    with pytest.raises(KeyError):
        broken()
    assert target.read_bytes() == b"old"
    assert unfinished(tmp_path) == []


WRITES_AND_WAITS = """
import sys, threading
from pathlib import Path
from slopebeat.disk.writing import whole_file
with whole_file(Path(sys.argv[1])) as stream:
    stream.write(b"half of a new one")
    stream.flush()
    print("begun", flush=True)
    threading.Event().wait()
"""


@posix
def test_what_a_killed_process_left_is_gone_after_the_next_start(tmp_path: Path) -> None:
    target = tmp_path / "report.html"
    target.write_bytes(b"old")
    writing = subprocess.Popen(
        [sys.executable, "-c", WRITES_AND_WAITS, str(target)], stdout=subprocess.PIPE, text=True
    )
    try:
        assert writing.stdout is not None
        assert writing.stdout.readline() == "begun\n"
        assert len(unfinished(tmp_path)) == 1
        assert remove_leftovers() == [], "it is still being written"
    finally:
        writing.send_signal(signal.SIGKILL)
        writing.communicate()
    left = unfinished(tmp_path)
    assert len(left) == 1
    start = [sys.executable, "-m", "slopebeat", "--version"]
    subprocess.run(start, check=True, timeout=WAIT_S, capture_output=True)
    assert unfinished(tmp_path) == []
    assert target.read_bytes() == b"old"
    folder = platformdirs.user_state_path("slopebeat", appauthor=False) / "unfinished"
    assert list(folder.iterdir()) == []


def test_a_record_that_names_something_else_removes_nothing(tmp_path: Path) -> None:
    mine = tmp_path / "mine.txt"
    mine.write_bytes(b"mine")
    folder = platformdirs.user_state_path("slopebeat", appauthor=False) / "unfinished"
    folder.mkdir(parents=True)
    for name, text in (
        ("a", json.dumps({"part": str(mine), "process": 0x7FFFFFFF, "host": os.uname().nodename})),
        ("b", "[" * 100_000),
        ("c", "{"),
    ):
        (folder / f"{name}.json").write_text(text)
        os.utime(folder / f"{name}.json", (0, 0))
    assert remove_leftovers() == []
    assert mine.read_bytes() == b"mine"
    assert list(folder.iterdir()) == []
