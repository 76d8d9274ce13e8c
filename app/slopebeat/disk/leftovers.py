"""What a process killed while writing leaves behind: put on record before, removed at the next start."""

from __future__ import annotations

import json
import os
import platform
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from glob import escape
from pathlib import Path
from uuid import uuid4

from slopebeat.disk.places import unfinished_folder

LONGEST_WRITING_S = 24 * 3600.0
"""A file unfinished for longer is nobody's, where processes cannot be asked after [project choice]."""


@contextmanager
def registered(part: Path) -> Iterator[None]:
    """Inside, it is on record that ``part`` is unfinished, where a record can be made at all."""
    entry = unfinished_folder() / f"{uuid4().hex}.json"
    values = {"part": str(part.absolute()), "process": os.getpid(), "host": platform.node()}
    with suppress(OSError, ValueError):
        entry.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        entry.write_text(json.dumps(values), encoding="utf-8")
    try:
        yield
    finally:
        with suppress(OSError):
            entry.unlink(missing_ok=True)


def remove_leftovers() -> list[Path]:
    """Remove what processes that are gone left unfinished; returns it."""
    removed = []
    with suppress(OSError):
        for entry in sorted(unfinished_folder().glob("*.json")):
            with suppress(OSError):
                part = _abandoned(entry)
                if part is None:
                    continue
                if part.name.startswith(".") and part.suffix == ".part" and part.is_file():
                    # SQLite keeps files beside one that is written.
                    for left in (*part.parent.glob(f"{escape(part.name)}-*"), part):
                        left.unlink()
                        removed.append(left)
                entry.unlink()
    return removed


def _abandoned(entry: Path) -> Path | None:
    """The unfinished file of an entry whose process is gone; None while it may still be written."""
    old = time.time() - entry.stat().st_mtime > LONGEST_WRITING_S
    try:
        values = json.loads(entry.read_text(encoding="utf-8"))
        part, process, host = Path(values["part"]), int(values["process"]), values["host"]
    except (ValueError, TypeError, KeyError, RecursionError):
        # Half an entry: of a process that died before it began to write, or is about to begin.
        return Path() if old else None
    gone = os.name == "posix" and host == platform.node() and not is_alive(process)
    return part if gone or old else None


def is_alive(process: int) -> bool:
    """Whether a process runs. Only on POSIX: elsewhere signal 0 ends the process it is sent to."""
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return True
