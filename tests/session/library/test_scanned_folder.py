"""A folder that is looked at again and again: what is new, what still grows, what is there no more."""

from __future__ import annotations

import os
from pathlib import Path

from slopebeat.session.library.watch import FileStamp, FolderScans, scan_folder


def test_a_look_finds_recordings_by_their_endings_in_all_folders(tmp_path: Path) -> None:
    (tmp_path / "july").mkdir()
    for name, size in (("a.fit", 10), ("july/b.GPX", 3), ("c.txt", 5), (".hidden.fit", 5), ("empty.tcx", 0)):
        (tmp_path / name).write_bytes(b"x" * size)
    seen = scan_folder(tmp_path)
    assert seen is not None
    assert {name: sign.size_bytes for name, sign in seen.items()} == {"a.fit": 10, "july/b.GPX": 3}
    assert seen["a.fit"].modified_ns == os.stat(tmp_path / "a.fit").st_mtime_ns


def test_a_device_that_is_not_plugged_in_is_no_error(tmp_path: Path) -> None:
    assert scan_folder(tmp_path / "device") is None
    (tmp_path / "file").touch()
    assert scan_folder(tmp_path / "file") is None


def test_what_still_grows_waits_until_two_looks_agree() -> None:
    looks = FolderScans()
    assert looks.compare({"a.fit": FileStamp(10, 1), "b.fit": FileStamp(5, 1)}) == ([], True)
    assert looks.compare({"a.fit": FileStamp(10, 1), "b.fit": FileStamp(9, 2)}) == (["a.fit"], True)
    looks.take()
    assert looks.compare({"a.fit": FileStamp(10, 1), "b.fit": FileStamp(9, 2)}) == (["b.fit"], False)
    looks.take()
    assert looks.compare({"a.fit": FileStamp(10, 1), "b.fit": FileStamp(9, 2)}) == ([], False)


def test_what_was_not_taken_is_handed_out_again_and_so_is_what_changed() -> None:
    looks = FolderScans({"a.fit": FileStamp(10, 1)})
    changed = {"a.fit": FileStamp(12, 7)}
    assert looks.compare(changed) == ([], True)
    assert looks.compare(changed) == (["a.fit"], False)
    assert looks.compare(changed) == (["a.fit"], False), "the import was stopped"
    looks.take()
    assert looks.compare(changed) == ([], False)
    assert looks.taken == changed
