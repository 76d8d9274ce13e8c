"""What a file is by its first bytes: whether writing over it would destroy somebody's data."""

from __future__ import annotations

import re
import zlib

from slopebeat.model.language import mark

PROBE_BYTES = 1 << 16
"""What is looked at of a file [project choice]."""

_GZIP = b"\x1f\x8b"
_GZIP_WINDOW = 31
_SQLITE = b"SQLite format 3\x00"
"""First 16 bytes of a database (SQLite file format, section 1.3)."""

_BEFORE_ROOT = r"\A\ufeff?(?:\s|<\?.*?\?>|<!--.*?-->|<![^>]*>)*"
_TRACK = re.compile(_BEFORE_ROOT + r"<(?:[\w.-]+:)?(?:gpx|trainingcenterdatabase)\b[^>]*", re.I | re.S)
_OURS = re.compile(r"""\bcreator\s*=\s*["']slopebeat["']""", re.I)

LIBRARY, RECORDING = mark("a library or another database"), mark("a recording")


def precious(head: bytes) -> str | None:
    """What is lost when a file that begins so is written over, as an English key; None for nothing known.

    A way this program wrote itself may be written again.
    """
    if head.startswith(_GZIP):
        try:
            head = zlib.decompressobj(_GZIP_WINDOW).decompress(head, PROBE_BYTES)
        except zlib.error:
            return None
    if head.startswith(_SQLITE):
        return LIBRARY
    if head[8:12] == b".FIT":  # bytes 8 to 11 of the header (FIT protocol, file header)
        return RECORDING
    wide = head.startswith((b"\xff\xfe", b"\xfe\xff"))
    root = _TRACK.match(head.decode("utf-16" if wide else "utf-8", "replace"))
    return None if root is None or _OURS.search(root.group()) else RECORDING
