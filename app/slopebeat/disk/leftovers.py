"""What a process killed while writing leaves behind: put on record before, removed at the next start."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from slopebeat.disk.places import unfinished_folder

LONGEST_WRITING_S = 24 * 3600.0
"""A file unfinished for longer is nobody's, where processes cannot be asked after [project choice]."""


@dataclass(frozen=True)
class _Unfinished:
    """A file that is being written, and the process that writes it."""

    part: str
    process: int
    host: str


@contextmanager
def registered(part: Path) -> Iterator[None]:
    """Inside, it is on record that ``part`` is unfinished, where a record can be made at all."""
    # Not before: a start is to load little.
    import platform
    from uuid import uuid4

    from slopebeat.model import codec

    entry = unfinished_folder() / f"{uuid4().hex}.json"
    with suppress(OSError, ValueError):
        entry.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        unfinished = _Unfinished(str(part.absolute()), os.getpid(), platform.node())
        entry.write_text(codec.encode(unfinished), encoding="utf-8")
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
                    from glob import escape

                    # SQLite keeps files beside one that is written.
                    for left in (*part.parent.glob(f"{escape(part.name)}-*"), part):
                        left.unlink()
                        removed.append(left)
                entry.unlink()
    return removed


def _abandoned(entry: Path) -> Path | None:
    """The unfinished file of an entry whose process is gone; None while it may still be written."""
    import platform

    from slopebeat.model import codec

    old = time.time() - entry.stat().st_mtime > LONGEST_WRITING_S
    try:
        found = codec.convert(codec.parse(entry.read_text(encoding="utf-8")), _Unfinished)
    except ValueError:
        # Half an entry: of a process that died before it began to write, or is about to begin.
        return Path() if old else None
    gone = os.name == "posix" and found.host == platform.node() and not is_alive(found.process)
    return Path(found.part) if gone or old else None


def is_alive(process: int) -> bool:
    """Whether a process runs. Only on POSIX: elsewhere signal 0 ends the process it is sent to."""
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return True
