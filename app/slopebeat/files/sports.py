"""Sports as the file formats name them, mapped to this program's own short list."""

from __future__ import annotations

from slopebeat.model.recording import Sport

_WORDS: tuple[tuple[Sport, tuple[str, ...]], ...] = (
    (Sport.OTHER, ("motor", "wheelchair", "horse")),
    (Sport.MOUNTAIN_BIKING, ("mountain_bik", "mountainbik", "mountain_cycl", "mtb", "e_bike_mountain")),
    (Sport.CYCLING, ("cycl", "bik", "ride")),
    (Sport.HIKING, ("hik", "trek", "mountaineering")),
    (Sport.WALKING, ("walk",)),
    (Sport.RUNNING, ("run",)),
)
"""Parts of the words found in files; the first row that fits decides."""

_SAY_NOTHING = frozenset({"", "other", "generic", "all", "unknown", "none"})
"""Words with which the formats leave the sport open: "Other" in TCX, "generic" and "all" in FIT."""

_OFF_ROAD_SUB_SPORTS = ("mountain", "downhill", "e_bike_mountain")
"""Sub-sports of cycling in the FIT profile that are ridden on a mountain bike."""


def sport_of(text: str | None, sub_sport: str | None = None) -> Sport:
    """The sport a word in a file means: UNKNOWN when it says none, OTHER when it is none of these kinds.

    Bare numbers are codes of newer profiles or of one maker, so they say nothing.
    """
    word = _plain(text)
    if word in _SAY_NOTHING or word.isdigit():
        return Sport.UNKNOWN
    found = next((sport for sport, parts in _WORDS if any(part in word for part in parts)), Sport.OTHER)
    if found is Sport.CYCLING and sub_sport in _OFF_ROAD_SUB_SPORTS:
        return Sport.MOUNTAIN_BIKING
    return found


def sport_text_of(text: str | None, sub_sport: str | None = None) -> str:
    """The file's own words, ``sport/sub_sport``, as far as they say something; else empty."""
    words = (_plain(word) for word in (text, sub_sport))
    return "/".join(word for word in words if word not in _SAY_NOTHING and not word.isdigit())


def _plain(text: str | None) -> str:
    return (text or "").strip().lower().replace("-", "_").replace(" ", "_")
