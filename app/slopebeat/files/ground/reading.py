"""Elevations out of a file: SRTM HGT or GeoTIFF, recognised by content and name."""

from __future__ import annotations

from pathlib import Path

from slopebeat.files.ground.elevation import ElevationGrid, Progress
from slopebeat.files.source import first_bytes
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.message import message
from slopebeat.model.way import Box


def read_elevation(path: Path, box: Box, progress: Progress) -> ElevationGrid | None:
    """The elevations of a file within a box; None where it holds none there.

    Raises
    ------
    UnreadableFile
        With a sentence, when it is no file of elevations, or a damaged one.
    """
    # Loaded only when somebody has such a file.
    from slopebeat.files.ground.geotiff import read_geotiff
    from slopebeat.files.ground.hgt import read_hgt

    start = first_bytes(path, 4)
    if start[:2] in (b"II", b"MM") and (start[2:] in (b"*\0", b"\0*", b"+\0", b"\0+")):
        return read_geotiff(path, box, progress)
    if path.suffix.lower() == ".hgt":
        return read_hgt(path, box, progress)
    raise UnreadableFile(message("ground.no_elevation", name=path.name))
