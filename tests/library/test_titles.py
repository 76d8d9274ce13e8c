"""An outing is called alike wherever it is read from the library: in list, months, evidence and places."""

from __future__ import annotations

from pathlib import Path

from helpers.libraries import keep, teach
from helpers.summaries import outing
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.people import Athlete
from slopebeat.review.present.listed import name_of


def test_a_file_name_is_a_title_in_words_everywhere(tmp_path: Path) -> None:
    with Library.create(tmp_path / "library.sqlite3") as library:
        athlete = library.athletes.add(Athlete(new_identity(), "Hut warden"))
        keep(library, athlete.identity, [outing(title="lake_shore_walk")])
        one = library.outings.of(athlete.identity)[0]
        teach(library, athlete.identity, [120.0])
        for title in (one.title, one.file_name, ""):
            library.outings.set_title(one.identity, title)
            now = library.outings.get(one.identity)
            # "lake_shore_walk.gpx" is the name of the file.
            assert name_of(now) == "Lake shore walk"
            assert library.results.summaries(athlete.identity)[one.identity].title == "Lake shore walk"
            (taught,) = library.results.evidence(athlete.identity)
            assert taught.title == "Lake shore walk"
        library.outings.set_title(one.identity, "To the upper hut")
        assert library.results.summaries(athlete.identity)[one.identity].title == "To the upper hut"
