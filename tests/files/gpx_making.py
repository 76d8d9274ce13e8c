"""Make GPX documents for tests."""

from __future__ import annotations


def point(
    second: int, extensions: str = "", *, lat: float = 46.0, time: str | None = None, more: str = ""
) -> str:
    """A track point; ``time`` "" leaves it out, ``more`` goes before the extensions."""
    when = time if time is not None else f"2024-05-01T08:{second // 60:02d}:{second % 60:02d}Z"
    clock = f"<time>{when}</time>" if when else ""
    return (
        f'<trkpt lat="{lat}" lon="14.5"><ele>{500 + second}</ele>{clock}{more}'
        f"<extensions>{extensions}</extensions></trkpt>"
    )


def gpx(*points: str, kind: str = "", version: str = "1.1", name: str = "") -> str:
    """A document with one track of one segment."""
    return (
        f'<?xml version="1.0"?><gpx version="{version}" creator="hut recorder" '
        f'xmlns="http://www.topografix.com/GPX/{version.replace(".", "/")}" xmlns:x="urn:x">'
        f"<trk><name>{name}</name><type>{kind}</type><trkseg>{''.join(points)}</trkseg></trk></gpx>"
    )
