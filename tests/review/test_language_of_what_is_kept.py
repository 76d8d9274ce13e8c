"""What a library keeps of a review depends neither on language nor on units; what workers say does."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path

import pytest

from helpers.marked_language import marked
from slopebeat.files.reading import read_recordings
from slopebeat.library.store import Library
from slopebeat.model import measures
from slopebeat.model.bands import band_from_hr_max
from slopebeat.model.evidence import OutingSummary
from slopebeat.model.language import use_language
from slopebeat.model.people import Aim, Athlete
from slopebeat.review.imports.importing import import_files
from slopebeat.review.outing import review_recording
from slopebeat.review.summary import summarise

SAMPLES = Path(__file__).resolve().parents[2] / "samples"


def kept() -> OutingSummary:
    (recording,) = read_recordings(SAMPLES / "lake_shore_walk.gpx")
    return summarise(review_recording(recording, Aim(band_from_hr_max(187.0))))


@pytest.fixture
def _imperial() -> Iterator[None]:
    measures.use_system(measures.System.IMPERIAL)
    measures.use_decimal_sign(",")
    yield
    measures.use_system(measures.System.METRIC)
    measures.use_decimal_sign(".")


def test_a_summary_is_the_same_in_every_language_and_unit(request: pytest.FixtureRequest) -> None:
    plain = kept()
    request.getfixturevalue("_imperial")
    with marked():
        assert asdict(kept()) == asdict(plain)


def test_workers_are_told_the_language_of_their_parent(tmp_path: Path) -> None:
    """A worker is a fresh process: it must be told, and may not fail over a language that is installed."""
    bad = tmp_path / "bad.fit"
    bad.write_bytes(b"nothing")
    use_language("de")
    try:
        with Library.create(tmp_path / "library.sqlite3") as library:
            athlete = library.athletes.add(Athlete("0" * 32, "hut warden"))
            report = import_files(library, athlete.identity, [bad, SAMPLES / "lake_shore_walk.gpx"])
            (outing,) = report.imported
            assert outing.sport in {"walking", "hiking", "unknown"}
            assert len(report.unreadable) == 1
            assert report.fault is None
    finally:
        use_language("en")
