"""Opening, refusing, copying and restoring whole libraries."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import threading
from contextlib import closing
from pathlib import Path

import pytest

from library.conftest import drop_privileges
from library.making import facts, keep, warden
from slopebeat.disk.leftovers import remove_leftovers
from slopebeat.disk.places import library_path
from slopebeat.library.connections import connect
from slopebeat.library.faults import LibraryFault
from slopebeat.library.schema import APPLICATION_ID, MIGRATIONS
from slopebeat.library.store import Library, restore
from slopebeat.model.people import Athlete


def test_a_new_library_is_one_private_file_of_this_program(library: Library) -> None:
    library.athletes.add(warden())
    library.close()
    assert [path.name for path in library.path.parent.iterdir()] == ["library.sqlite3"]
    assert library.path.stat().st_mode & 0o077 == 0
    head = library.path.read_bytes()[:100]
    # Offsets from https://www.sqlite.org/fileformat.html, "The Database Header".
    assert int.from_bytes(head[68:72]) == APPLICATION_ID
    assert int.from_bytes(head[60:64]) == len(MIGRATIONS)
    assert head[18] == head[19] == 2  # write-ahead log


@pytest.mark.usefixtures("real_commits")
def test_a_commit_outlasts_a_loss_of_power(library: Library) -> None:
    """2 is FULL, which syncs the log after each transaction (https://www.sqlite.org/pragma.html)."""
    with closing(connect(library.path)) as connection:
        assert connection.execute("PRAGMA synchronous").fetchone()[0] == 2


def test_the_default_place_is_the_users_own_data_folder() -> None:
    with Library.open_or_create() as first:
        assert first.path == library_path()
        assert str(first.path).startswith(os.environ["XDG_DATA_HOME"])
        first.athletes.add(warden())
    with Library.open_or_create() as again:
        assert [athlete.name for athlete in again.athletes] == ["hut warden"]


def test_a_taken_name_is_not_written_over(tmp_path: Path) -> None:
    taken = tmp_path / "library.sqlite3"
    taken.write_text("dear to somebody")
    with pytest.raises(LibraryFault, match="already there"):
        Library.create(taken)
    assert taken.read_text() == "dear to somebody"
    assert list(tmp_path.iterdir()) == [taken]


@pytest.mark.parametrize("content", [b"", b"plain text\n", b"SQLite format 3\x00" + bytes(84), bytes(5000)])
def test_what_is_no_library_is_refused_in_a_sentence_and_left_alone(content: bytes, tmp_path: Path) -> None:
    path = tmp_path / "other.sqlite3"
    path.write_bytes(content)
    with pytest.raises(LibraryFault, match=r"is not a library of this program\.$"):
        Library.open(path)
    assert path.read_bytes() == content
    assert list(tmp_path.iterdir()) == [path]


def test_a_database_of_another_program_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "other.sqlite3"
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE athlete (identity TEXT)")
    before = path.read_bytes()
    with pytest.raises(LibraryFault, match="is not a library"):
        Library.open(path)
    assert path.read_bytes() == before


def test_a_library_of_a_later_version_is_refused_and_left_alone(library: Library) -> None:
    library.close()
    with closing(sqlite3.connect(library.path)) as later:
        later.execute(f"PRAGMA user_version = {len(MIGRATIONS) + 1}")
    before = library.path.read_bytes()
    with pytest.raises(LibraryFault, match=r"later version of this program.*Update"):
        Library.open(library.path)
    assert library.path.read_bytes() == before


def test_a_missing_library_and_a_folder_are_sentences(tmp_path: Path) -> None:
    with pytest.raises(LibraryFault, match=r"There is no library at .*\.$"):
        Library.open(tmp_path / "none.sqlite3")
    with pytest.raises(LibraryFault, match=r" is a folder; .*\.$"):
        Library.open(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_may_not_be_written_to_takes_no_library_and_says_so(unprivileged: Path) -> None:
    unprivileged.chmod(0o555)
    drop_privileges()
    with pytest.raises(LibraryFault, match=r"\.$"):
        Library.create(unprivileged / "library.sqlite3")
    assert list(unprivileged.iterdir()) == []


def test_a_library_in_a_read_only_place_is_refused_when_it_is_opened(unprivileged: Path) -> None:
    path = unprivileged / "library.sqlite3"
    Library.create(path).close()
    path.chmod(0o444)
    unprivileged.chmod(0o555)
    before = path.read_bytes()
    drop_privileges()
    with pytest.raises(LibraryFault, match=r"(may not be|cannot be) .*\.$"):
        Library.open(path)
    assert path.read_bytes() == before


def test_a_full_disk_stops_an_edit_whole_and_in_a_sentence(library: Library, athlete: Athlete) -> None:
    connection = library._connections.current()
    used = connection.execute("PRAGMA page_count").fetchone()[0]
    connection.execute(f"PRAGMA max_page_count = {used + 4}")
    with pytest.raises(LibraryFault, match=r"^The disk is full: .* left as it was\."):
        keep(library, athlete, os.urandom(1_000_000), facts(0, 0), facts(1, 1))
    assert library.outings.count() == 0
    assert library.check(files=True) == ()
    connection.execute("PRAGMA max_page_count = 1000000")
    assert len(keep(library, athlete, os.urandom(1_000_000), facts(0, 0), facts(1, 1))) == 2


@pytest.mark.skipif(os.name != "posix", reason="limits on file sizes are of POSIX systems")
def test_a_backup_the_disk_cuts_short_leaves_the_older_backup_whole(
    library: Library, athlete: Athlete, tmp_path: Path
) -> None:
    import resource

    target = tmp_path / "backup.sqlite3"
    keep(library, athlete, os.urandom(1_000_000), facts())
    library.backup(target)
    before = target.read_bytes()
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (500_000, limits[1]))
    try:
        with pytest.raises(LibraryFault, match=r"\.$"):
            library.backup(target)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
    assert target.read_bytes() == before
    assert {path.name for path in tmp_path.iterdir() if "part" in path.name} == set()


def test_a_backup_is_one_file_that_restores_everything(
    library: Library, athlete: Athlete, tmp_path: Path
) -> None:
    kept = keep(library, athlete, b"the bytes of a file", facts())[0].outing
    folder = tmp_path / "elsewhere"
    folder.mkdir()
    library.backup(folder / "backup.sqlite3")
    assert [path.name for path in folder.iterdir()] == ["backup.sqlite3"]
    fresh = folder / "restored" / "library.sqlite3"
    assert restore(folder / "backup.sqlite3", fresh) is None
    with Library.open(fresh) as restored:
        assert list(restored.athletes) == [athlete]
        assert restored.outings.of(athlete.identity) == (kept,)
        assert restored.outings.original(kept.identity) == b"the bytes of a file"
        assert restored.check(files=True) == ()


def test_restoring_over_a_library_in_use_keeps_a_copy_of_what_was_there(
    library: Library, athlete: Athlete, tmp_path: Path
) -> None:
    library.backup(tmp_path / "backup.sqlite3")
    second = library.athletes.add(warden("trail patrol"))
    copy = restore(tmp_path / "backup.sqlite3", library.path)
    assert list(library.athletes) == [athlete]
    assert copy is not None
    with Library.open(copy) as before:
        assert list(before.athletes) == [athlete, second]


def test_restoring_over_a_damaged_library_moves_it_aside(
    library: Library, athlete: Athlete, tmp_path: Path
) -> None:
    library.backup(tmp_path / "backup.sqlite3")
    library.close()
    library.path.write_bytes(b"a fault of the disk")
    aside = restore(tmp_path / "backup.sqlite3", library.path)
    assert aside is not None
    assert aside.read_bytes() == b"a fault of the disk"
    with Library.open(library.path) as restored:
        assert list(restored.athletes) == [athlete]


def test_a_damaged_backup_restores_nothing(library: Library, athlete: Athlete, tmp_path: Path) -> None:
    for day in range(40):
        keep(library, athlete, os.urandom(2000), facts(day))
    backup = tmp_path / "backup.sqlite3"
    library.backup(backup)
    data = bytearray(backup.read_bytes())
    for start in range(4096 * 3, len(data), 4096 * 2):
        data[start : start + 2000] = b"\xff" * 2000
    backup.write_bytes(bytes(data))
    with pytest.raises(LibraryFault, match=r"damaged"):
        restore(backup, library.path)
    assert library.outings.count() == 40
    assert library.check(files=True) == ()


def test_a_backup_onto_the_library_itself_is_refused(library: Library, tmp_path: Path) -> None:
    with pytest.raises(LibraryFault, match="another file"):
        library.backup(library.path)
    link = tmp_path / "link.sqlite3"
    link.symlink_to(library.path)
    with pytest.raises(LibraryFault, match="another file"):
        library.backup(link)


def test_the_check_finds_damage(library: Library, athlete: Athlete) -> None:
    kept = keep(library, athlete, b"the bytes of a file" * 50, facts())[0].outing
    assert library.check(files=True) == ()
    with library._connections.writing() as connection:
        connection.execute("UPDATE content SET packed = zeroblob(length(packed))")
    assert library.check() == ()
    assert len(library.check(files=True)) == 1
    with pytest.raises(LibraryFault, match="damaged"):
        library.outings.original(kept.identity)


def test_each_thread_has_its_own_connection_and_none_is_lost(library: Library, athlete: Athlete) -> None:
    seen: list[object] = []
    errors: list[BaseException] = []

    def edit(number: int) -> None:
        try:
            seen.append(library._connections.current())
            for step in range(5):
                keep(library, athlete, f"{number} {step}".encode(), facts(10 * number + step))
        except BaseException as error:
            errors.append(error)

    threads = [threading.Thread(target=edit, args=(number,)) for number in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert errors == []
    assert len({id(connection) for connection in seen}) == 6
    assert library.outings.count() == 30
    assert library.check(files=True) == ()


def test_after_closing_nothing_is_opened_again(library: Library) -> None:
    library.close()
    with pytest.raises(RuntimeError, match="closed"):
        list(library.athletes)


BACKS_UP_FOR_EVER = """
import sys
from pathlib import Path
from slopebeat.library import copies
from slopebeat.library.store import Library

def wait(*_):
    print("begun", flush=True)
    import time
    time.sleep(60)

copies.os.replace = wait
with Library.open(Path(sys.argv[1])) as library:
    library.backup(Path(sys.argv[2]))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="kills a process by a signal")
def test_what_a_killed_backup_left_is_gone_after_the_next_start(library: Library, tmp_path: Path) -> None:
    """Half a copy of somebody's library is not left lying about under a name nobody looks for."""
    folder = tmp_path / "backups"
    folder.mkdir()
    command = [sys.executable, "-c", BACKS_UP_FOR_EVER, str(library.path), str(folder / "backup.sqlite3")]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as backing_up:
        assert backing_up.stdout is not None
        assert backing_up.stdout.readline() == "begun\n"
        (left,) = folder.iterdir()
        left.with_name(f"{left.name}-journal").write_bytes(b"half")
        assert remove_leftovers() == [], "it is still being written"
        backing_up.kill()
    assert len(remove_leftovers()) == 2
    assert list(folder.iterdir()) == []
