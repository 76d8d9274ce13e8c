"""How much of anything is read, so that a damaged or hostile file costs seconds and not the machine."""

from __future__ import annotations

from slopebeat.model.errors import UnreadableFile
from slopebeat.model.message import message

MOST_RECORDS = 1_000_000
"""Most records or track points of one file: eleven days at one a second [project choice]."""

MOST_MESSAGES = 3_000_000
"""Most messages of any kind in one FIT file, definitions included [project choice]."""

MOST_DEFINITIONS = 5_000
"""Most different definitions of messages in one FIT file; devices write a few dozen [project choice]."""

MOST_KEPT_MESSAGES = 200_000
"""Most events, laps, sessions and device notes of one FIT file [project choice]."""

MOST_TRACKS = 1_000
"""Most tracks or activities of one file [project choice]."""

MOST_LAPS = 20_000
"""Most laps of one activity [project choice]."""

MOST_POINT_BYTES = 1 << 20
"""Most bytes of one track point with all its extensions [project choice]."""

DEEPEST_XML = 64
"""Deepest nesting of XML elements; a track point with extensions lies about ten deep [project choice]."""

LONGEST_TEXT = 1_000
"""Longest text kept of one XML element, in characters; numbers and names are far shorter [project choice]."""

LONGEST_NAME = 200
"""Longest name of an outing or a device shown, in characters [project choice]."""


def too_many(count_of: str, most: int) -> UnreadableFile:
    """The refusal of a file that holds more than ``most`` of something, by its key."""
    return UnreadableFile(message("file.too_many", most=most, things=message(count_of)))


def plain_text(text: str) -> str:
    """A name fit to be shown: control characters as spaces, white space joined, cut at the longest."""
    printable = "".join(char if char.isprintable() else " " for char in text[: 4 * LONGEST_NAME])
    return " ".join(printable.split())[:LONGEST_NAME].rstrip()
