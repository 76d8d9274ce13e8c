"""Coordinates stay in the library: what goes out of it names no place."""

from __future__ import annotations

import re
import zipfile
from dataclasses import replace
from pathlib import Path

from helpers.libraries import keep, walks, warden
from helpers.ways import curved, way
from slopebeat.library.store import Library
from slopebeat.review.archive.library import write_archive
from slopebeat.review.ground.search import find_ground


def test_an_archive_holds_neither_ways_nor_places(tmp_path: Path) -> None:
    """The files of the outings are its own matter: here they hold no recording at all."""
    with Library.create(tmp_path / "library.sqlite3") as library:
        athlete = warden(library).identity
        keep(library, athlete, walks(2))
        for outing in library.outings.of(athlete):
            result = library.results.get(outing.identity)
            assert result is not None
            library.results.put(outing.identity, replace(result, way=way(*curved(1))))
        find_ground(library)
        assert library.places.of(athlete)
        write_archive(library, athlete, tmp_path / "all.zip")
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        texts = [archive.read(name).decode("utf-8", "replace") for name in archive.namelist()]
    # The way lies about 46.9 north, 10.2 east.
    assert not re.search(r"46\.9\d|10\.2\d|\bway\b|place_pass|lat_deg", "\n".join(texts))
