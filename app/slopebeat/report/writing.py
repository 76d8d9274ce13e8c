"""Files written whole or not at all, with a sentence where that fails."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from slopebeat.model.errors import UserError
from slopebeat.model.language import tr


@contextmanager
def whole_file(path: Path) -> Iterator[Path]:
    """A name beside ``path`` to write to; it takes the place of ``path`` when all went well.

    Raises
    ------
    UserError
        With a sentence, when the disk or its permissions are to blame.
    """
    part: Path | None = None
    try:
        if path.is_dir():
            raise UserError(tr("{path} is a folder; give the name of a file.").format(path=path))
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:40]}.", suffix=path.suffix)
        os.close(handle)
        part = Path(name)
        yield part
        # mkstemp keeps others out; a report is made to be shown around.
        part.chmod(0o666 & ~_umask())
        os.replace(part, path)
    except (OSError, ValueError) as problem:
        reason = getattr(problem, "strerror", None) or str(problem)
        refusal = tr("{path} could not be written: {reason}.").format(path=path, reason=reason)
        raise UserError(refusal) from problem
    finally:
        if part is not None:
            with suppress(OSError):
                part.unlink(missing_ok=True)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def write_text(path: Path, text: str) -> None:
    """Write a text file in UTF-8."""
    with whole_file(path) as part:
        part.write_text(text, encoding="utf-8", newline="\n")


def write_with(path: Path, write: Callable[[str], bool], refusal: str) -> None:
    """Let a writer that answers whether it succeeded write a file; if not, ``refusal`` is said of a path."""
    with whole_file(path) as part:
        if not write(str(part)):
            raise UserError(refusal.format(path=path))
