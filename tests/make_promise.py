"""Write down what ``import slopebeat`` promises: ``python tests/make_promise.py``, after raising its version.

One line for each name with its signature, each attribute and each column of a table. Nothing already written
down is changed: what is added takes a new second number, what is taken away or changed a new first one.
"""

from __future__ import annotations

import inspect
import sys
from collections.abc import Iterator
from pathlib import Path

import slopebeat
from slopebeat.api import library, recording
from slopebeat.api.tables import names_of
from slopebeat.model.samples import COLUMNS as SAMPLE_NAMES
from slopebeat.review.months.values import WEEK_NAMES
from slopebeat.review.present.account import ACCOUNT_FIGURES
from slopebeat.review.present.climbs import CLIMB_FIGURES
from slopebeat.review.present.episodes import EPISODE_FIGURES
from slopebeat.review.present.ground import PLACE_FIGURES
from slopebeat.review.present.hold import HOLD_FIGURES
from slopebeat.review.present.price import PRICE_FIGURES
from slopebeat.review.samples import SAMPLE_COLUMNS
from slopebeat.review.values import MARK_NAMES

PROMISED = Path(__file__).parent / "api" / "promised"

TABLES = {
    "Library.athletes": library.ATHLETE_NAMES,
    "Library.bands": library.BAND_NAMES,
    "Library.outings": library.OUTING_NAMES,
    "Library.places": names_of(PLACE_FIGURES),
    "Library.price": names_of(PRICE_FIGURES),
    "Months.outings": library.SUMMARY_NAMES,
    "Months.weeks": WEEK_NAMES,
    "OutingReview.account_s": names_of(ACCOUNT_FIGURES),
    "OutingReview.climbs": names_of(CLIMB_FIGURES),
    "OutingReview.episodes": names_of(EPISODE_FIGURES),
    "OutingReview.marks": MARK_NAMES,
    "OutingReview.samples": tuple(each.name for each in SAMPLE_COLUMNS),
    "OutingReview.speeds_to_hold": names_of(HOLD_FIGURES),
    "Recording.laps": recording.SPAN_COLUMNS,
    "Recording.pauses": recording.SPAN_COLUMNS,
    "Recording.samples": SAMPLE_NAMES,
}
"""The columns of each table; the tests hold them against tables that were made."""


def lines() -> list[str]:
    """All that is promised, in order."""
    named = [f"name {name}{_signature(getattr(slopebeat, name))}" for name in slopebeat.__all__]
    parts = [line for name in slopebeat.__all__ for line in _parts(name, getattr(slopebeat, name))]
    columns = [f"column {table}: {name}" for table, names in TABLES.items() for name in names]
    return [*sorted(named), *sorted(parts), *sorted(columns)]


def _signature(value: object) -> str:
    return str(inspect.signature(value)) if inspect.isfunction(value) else ""


def _parts(name: str, value: object) -> Iterator[str]:
    """The public attributes and methods that a class itself defines."""
    if not inspect.isclass(value) or issubclass(value, Exception):
        return
    for part, defined in vars(value).items():
        if part.startswith("_") and part not in ("__enter__", "__exit__"):
            continue
        if isinstance(defined, property):
            assert defined.fget is not None
            kind = inspect.signature(defined.fget).return_annotation
            yield f"attribute {name}.{part}: {kind}"
        elif inspect.isfunction(defined):
            yield f"method {name}.{part}{inspect.signature(defined)}"


def path_of(version: str) -> Path:
    """Where it is written down what a version promises."""
    return PROMISED / f"{version}.txt"


def main() -> int:
    """Write the file of the present version, unless there is another one of that name."""
    target, text = path_of(slopebeat.INTERFACE_VERSION), "\n".join(lines()) + "\n"
    if target.exists() and target.read_text(encoding="utf-8") != text:
        print(f"{target.name} is promised already: raise INTERFACE_VERSION first.", file=sys.stderr)
        return 1
    target.parent.mkdir(exist_ok=True)
    target.write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
