"""What outings teach, and leaving some out of it, in a library."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from helpers.libraries import keep, walks, warden
from helpers.outings import hilly_walk, taught
from slopebeat.library.connections import connect
from slopebeat.library.migration import migrate
from slopebeat.library.results import Result
from slopebeat.library.schema import APPLICATION_ID, MIGRATIONS
from slopebeat.library.store import Library


def test_evidence_is_kept_beside_the_summary_and_comes_in_order_of_time(library: Library) -> None:
    athlete = warden(library)
    keep(library, athlete.identity, walks(3))
    assert library.results.evidence(athlete.identity) == ()
    for number, outing in enumerate(reversed(library.outings.of(athlete.identity))):
        old = library.results.get(outing.identity)
        assert old is not None
        record = taught(number, hilly_walk(number))
        library.results.put(outing.identity, Result(old.summary, old.version, old.input_key, record))
    kept = library.results.evidence(athlete.identity)
    assert [each.identity for each in kept] == [o.identity for o in library.outings.of(athlete.identity)]
    assert all(each.teaches for each in kept)
    back = library.results.get(kept[0].identity)
    assert back is not None
    assert back.evidence is not None
    assert back.evidence.sums is not None


def test_outings_are_left_out_of_what_is_learnt_and_taken_in_again(library: Library) -> None:
    athlete = warden(library)
    keep(library, athlete.identity, walks(4))
    outings = [outing.identity for outing in library.outings.of(athlete.identity)]
    library.outings.set_teaches(outings[:2], False)
    assert library.outings.left_out(athlete.identity) == set(outings[:2])
    result = library.results.get(outings[0])
    assert result is not None
    record = Result(result.summary, result.version, result.input_key, taught(0.0, hilly_walk(0)))
    library.results.put(outings[0], record)
    assert library.results.evidence(athlete.identity)[0].teaches is False
    library.outings.set_teaches(outings[:1], True)
    assert library.outings.left_out(athlete.identity) == {outings[1]}


def test_a_library_of_the_first_layout_keeps_all_its_outings_as_teachers(tmp_path: Path) -> None:
    path = tmp_path / "old.sqlite3"
    path.touch()
    with closing(connect(path)) as connection:
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        migrate(connection, path, MIGRATIONS[:1])
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("INSERT INTO athlete VALUES ('a', 'trail patrol', NULL, 70, 14, NULL, NULL)")
        connection.execute("INSERT INTO content VALUES ('h', 0, x'')")
        connection.execute(
            "INSERT INTO outing VALUES ('o', 'a', 'h', 0, 1, 'f', 't', 'hiking', 0, 0, NULL, 0, NULL, 0)"
        )
        connection.execute("INSERT INTO result VALUES ('o', 1, 'k', '{}')")
    with Library.open(path) as library:
        assert library.outings.left_out("a") == frozenset()
        assert library.results.evidence("a") == ()
        assert library.outings.get("o").title == "t"
