"""Open a file for reading, never a pipe or a device: those may keep who reads them waiting for ever."""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import BinaryIO

from slopebeat.model.errors import UnreadableFile
from slopebeat.model.language import tr

_FLAGS = os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0)
"""Not to wait matters where the name becomes a pipe between looking and opening."""


def open_regular(path: Path) -> BinaryIO:
    """Open a regular file, also through a link to one.

    Raises
    ------
    UnreadableFile
        When it is a pipe, a device or a socket.
    OSError
        When it is not there or may not be read, as :func:`open` does.
    """
    _check(path, os.stat(path).st_mode)
    handle = os.open(path, _FLAGS)
    try:
        _check(path, os.fstat(handle).st_mode)
        return os.fdopen(handle, "rb")
    except BaseException:
        os.close(handle)
        raise


def _check(path: Path, mode: int) -> None:
    if not (stat.S_ISREG(mode) or stat.S_ISDIR(mode)):
        raise UnreadableFile(
            tr("{name} is a pipe or a device, not a file; save what it gives as a file first.").format(
                name=path.name
            )
        )
