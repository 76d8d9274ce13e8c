"""Slopebeat: what an outing on terrain was worth, in minutes inside a heart-rate band.

From Python::

    import slopebeat

    review = slopebeat.review_outing("outing.fit", band="112-131")
    review.account_s["in_band_s"], review.climbs, review.samples

Nothing of it is loaded before it is first used. :data:`INTERFACE_VERSION` says what is promised: its first
number rises when something is taken away or changes its meaning, its second when something is added.
"""

from __future__ import annotations

from importlib import import_module

__version__ = "0.1.0"

INTERFACE_VERSION = "1.1"
"""Version of what this module offers to other programs; the version of the program is another one."""

TYPE_CHECKING = False  # typing takes a while to load
if TYPE_CHECKING:
    from slopebeat.api.library import Library, Months, open_library
    from slopebeat.api.outing import OutingReview, review_outing
    from slopebeat.api.recording import Recording, read_recordings
    from slopebeat.model.errors import UserError

__all__ = [
    "INTERFACE_VERSION",
    "Library",
    "Months",
    "OutingReview",
    "Recording",
    "UserError",
    "__version__",
    "open_library",
    "read_recordings",
    "review_outing",
]

_PLACES = {
    "Library": "slopebeat.api.library",
    "Months": "slopebeat.api.library",
    "OutingReview": "slopebeat.api.outing",
    "Recording": "slopebeat.api.recording",
    "UserError": "slopebeat.model.errors",
    "open_library": "slopebeat.api.library",
    "read_recordings": "slopebeat.api.recording",
    "review_outing": "slopebeat.api.outing",
}
"""Where each name is defined, which is loaded when it is first used."""


def __getattr__(name: str) -> object:
    if name not in _PLACES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value: object = getattr(import_module(_PLACES[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
