"""Only files are read: a pipe nobody writes to and a device without an end are told of, not waited for."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from helpers.patience import WAIT_S
from slopebeat.files import source
from slopebeat.files.progress import Ticker
from slopebeat.files.reading import read_recordings
from slopebeat.files.source import read_bytes
from slopebeat.files.xml.route import read_routes
from slopebeat.model.errors import UnreadableFile

pytestmark = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")


@pytest.mark.parametrize("read", [read_recordings, read_routes])
def test_a_pipe_nobody_writes_to_is_told_of(tmp_path: Path, read) -> None:  # type: ignore[no-untyped-def]
    pipe = tmp_path / "outing.gpx"
    os.mkfifo(pipe)
    with pytest.raises(UnreadableFile, match=r"outing\.gpx is a pipe or a device"):
        read(pipe)


def test_a_device_without_an_end_is_told_of_also_through_a_link(tmp_path: Path) -> None:
    link = tmp_path / "outing.fit"
    link.symlink_to("/dev/zero")
    with pytest.raises(UnreadableFile, match="a pipe or a device"):
        read_recordings(link)


def test_what_is_read_is_counted_and_not_believed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that grows while it is read: here it says to be of 100 bytes and gives 2,000."""
    monkeypatch.setattr(source, "MAX_BYTES", 1000)
    monkeypatch.setattr(source, "_CHUNK_BYTES", 100)
    path = tmp_path / "outing.fit"
    path.write_bytes(bytes(100))

    class Growing(Ticker):
        def tick(self, share: float) -> None:
            if path.stat().st_size < 2000:
                with path.open("ab") as stream:
                    stream.write(bytes(100))

    with pytest.raises(UnreadableFile, match="too large for a recording"):
        read_bytes(path, Growing(None))


def test_the_review_command_does_not_wait_for_a_pipe(tmp_path: Path) -> None:
    pipe = tmp_path / "outing.fit"
    os.mkfifo(pipe)
    command = [sys.executable, "-m", "slopebeat", "review", str(pipe), "--kept", "--band", "110-130"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=WAIT_S, check=False)
    assert done.returncode == 2
    assert "a pipe or a device" in done.stderr
