"""Outings, their files, what is decided about them, and their results."""

from __future__ import annotations

import gzip
import hashlib
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from helpers.outings import an_outing
from helpers.summaries import outing as summary
from helpers.zones import computer_in
from library.making import facts, keep, period, review_all, warden
from slopebeat.library.imports import IncomingOuting
from slopebeat.library.integrity import from_us, to_us
from slopebeat.library.outings import OutingFacts, marks_of, marks_text, packed
from slopebeat.library.people import new_identity
from slopebeat.library.results import Result, input_key
from slopebeat.library.store import Library
from slopebeat.library.takeover import OutingMatch
from slopebeat.model.bands import Band, BandMethod
from slopebeat.model.basis import MAXIMUM, Basis
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.people import Aim, Athlete, Ground
from slopebeat.model.recording import local_day

KEEP_FIXTURE = settings(
    max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
MARKS = st.lists(
    st.builds(
        Mark,
        st.floats(0, 1e5),
        st.floats(0, 1e5),
        st.sampled_from(Channel),
        st.sampled_from(Reason),
        st.sampled_from(MarkState),
    ),
    max_size=5,
).map(tuple)
HIKE_MARK = (Mark(10.0, 20.0, Channel.HEART_RATE, Reason.BY_HAND, MarkState.ACCEPTED),)


@KEEP_FIXTURE
@given(content=st.binary(max_size=5000))
def test_exactly_the_bytes_of_the_file_come_back(library: Library, content: bytes) -> None:
    athlete = next(iter(library.athletes), None) or library.athletes.add(warden())
    library.outings.remove(each.identity for each in library.outings.of(athlete.identity))
    (kept,) = keep(library, athlete, content, facts())
    assert kept.is_new
    assert library.outings.original(kept.outing.identity) == content
    assert kept.outing.content_hash == hashlib.sha256(content).hexdigest()


def test_a_gzipped_file_comes_back_gzipped(library: Library, athlete: Athlete) -> None:
    content = gzip.compress(b"a file of an outing" * 1000, mtime=1)
    (kept,) = keep(library, athlete, content, facts())
    assert library.outings.original(kept.outing.identity) == content


@given(st.datetimes(datetime(1, 1, 2), datetime(9998, 12, 30)), st.integers(-14 * 4, 14 * 4))
def test_times_are_kept_to_the_microsecond_and_in_order(naive: datetime, quarters: int) -> None:
    moment = naive.replace(tzinfo=timezone(timedelta(minutes=15 * quarters)))
    assert from_us(to_us(moment)) == moment
    assert to_us(moment + timedelta(microseconds=1)) == to_us(moment) + 1


def test_a_time_without_a_zone_is_a_fault_of_ours() -> None:
    with pytest.raises(ValueError, match="aware"):
        to_us(datetime(2026, 5, 1))


def test_the_day_of_an_outing_is_the_day_where_it_happened() -> None:
    late = datetime(2026, 4, 30, 22, 30, tzinfo=UTC)
    assert local_day(late, 7200.0) == date(2026, 5, 1)
    assert local_day(late, 0.0) == date(2026, 4, 30)
    for zone, day in (("EAST-2", date(2026, 5, 1)), ("UTC0", date(2026, 4, 30))):
        with computer_in(zone):
            assert local_day(late, None) == day


def test_outings_come_back_in_order_of_time_with_all_they_had(library: Library, athlete: Athlete) -> None:
    days = [3, 1, 2, 0]
    kept = [
        keep(library, athlete, f"file {day}".encode(), facts(day, offset_s=None))[0].outing for day in days
    ]
    listed = library.outings.of(athlete.identity)
    assert listed == tuple(sorted(kept, key=lambda outing: outing.start_utc))
    assert library.outings.get(kept[0].identity) == kept[0]
    assert kept[0].file_name == "outing.fit"
    with pytest.raises(KeyError):
        library.outings.get("no such")
    with pytest.raises(KeyError):
        library.outings.original("no such")


def test_the_same_content_is_one_outing_and_known_without_reading(library: Library, athlete: Athlete) -> None:
    digest = hashlib.sha256(b"a file").hexdigest()
    assert library.imports.known(athlete.identity, digest) == ()
    (first,) = keep(library, athlete, b"a file", facts())
    (second,) = keep(library, athlete, b"a file", facts())
    assert (first.is_new, second.is_new) == (True, False)
    assert second.outing == first.outing
    assert library.imports.known(athlete.identity, digest) == (first.outing,)
    other = library.athletes.add(warden("trail patrol"))
    assert library.imports.known(other.identity, digest) == ()
    assert keep(library, other, b"a file", facts())[0].is_new


def test_another_recording_of_an_outing_is_remembered_and_known_from_then_on(
    library: Library, athlete: Athlete
) -> None:
    (first,) = keep(library, athlete, b"from the watch", facts())
    met = IncomingOuting(facts(), match=OutingMatch(first.outing.identity))
    (second,) = library.imports.keep(athlete.identity, packed(b"from the phone"), "phone.gpx", [met])
    assert (second.is_new, second.outing) == (False, first.outing)
    digest = hashlib.sha256(b"from the phone").hexdigest()
    assert library.imports.known(athlete.identity, digest) == (first.outing,)
    assert library.imports.known(athlete.identity, digest, as_others=False) == ()
    library.outings.remove([first.outing.identity])
    assert library.imports.known(athlete.identity, digest) == ()
    (third,) = library.imports.keep(athlete.identity, packed(b"from the phone"), "phone.gpx", [met])
    assert third.is_new, "the outing it met was removed meanwhile"


def test_outings_nearby_are_those_that_may_overlap(library: Library, athlete: Athlete) -> None:
    (early,) = keep(library, athlete, b"early", facts(0.0))
    (late,) = keep(library, athlete, b"late", facts(0.5))
    start = early.outing.start_utc
    hour = timedelta(hours=1)

    def found(begin: datetime, end: datetime) -> list[str]:
        near = library.imports.nearby(athlete.identity, begin, end)
        return [each.outing.identity for each in near]

    assert found(start + hour, start + 2 * hour) == [early.outing.identity], "its end is not known"
    review_all(library)
    result = library.results.get(early.outing.identity)
    assert result is not None
    taught = replace(an_outing(0.0, 120.0, np.random.default_rng(1)), span_s=1800.0)
    library.results.put(early.outing.identity, replace(result, evidence=taught))
    assert found(start + hour, start + 2 * hour) == []
    assert found(start + hour / 4, start + 2 * hour) == [early.outing.identity]
    assert found(start + hour / 4, start + 12 * hour) == [early.outing.identity, late.outing.identity]


def test_activities_of_one_file_are_all_kept_even_when_they_start_together(
    library: Library, athlete: Athlete
) -> None:
    kept = keep(library, athlete, b"a day", facts(0, 0), facts(0, 1), facts(1, 2))
    assert [each.is_new for each in kept] == [True] * 3
    assert len({each.outing.identity for each in kept}) == 3
    digest = kept[0].outing.content_hash
    assert len(library.imports.known(athlete.identity, digest)) == 3
    library.outings.remove([kept[1].outing.identity])
    assert library.outings.original(kept[0].outing.identity) == b"a day"
    assert library.imports.known(athlete.identity, digest) == (), "one is missing: worth reading again"
    again = keep(library, athlete, b"a day", facts(0, 0), facts(0, 1), facts(1, 2))
    assert [each.is_new for each in again] == [False, True, False]


@KEEP_FIXTURE
@given(marks=MARKS)
def test_marks_come_back_as_decided(library: Library, marks: tuple[Mark, ...]) -> None:
    athlete = next(iter(library.athletes), None) or library.athletes.add(warden())
    outing = keep(library, athlete, b"a file", facts())[0].outing
    library.outings.set_marks(outing.identity, None)
    assert library.outings.marks(outing.identity) is None
    library.outings.set_marks(outing.identity, marks)
    assert library.outings.marks(outing.identity) == marks == marks_of(marks_text(marks))


def test_load_and_title_are_kept(library: Library, athlete: Athlete) -> None:
    outing = keep(library, athlete, b"a file", facts())[0].outing
    library.outings.set_load(outing.identity, 12.5, 3600.0)
    library.outings.set_title(outing.identity, "Wood to the hut")
    changed = library.outings.get(outing.identity)
    assert (changed.load_kg, changed.load_until_s, changed.title) == (12.5, 3600.0, "Wood to the hut")
    with pytest.raises(ValueError, match="not negative"):
        library.outings.set_load(outing.identity, -1.0)
    review_all(library)
    assert library.results.summaries(athlete.identity)[outing.identity].title == "Wood to the hut"


def test_results_come_back_by_outing_and_go_with_it(library: Library, athlete: Athlete) -> None:
    second = keep(library, athlete, b"second", facts(1))[0].outing
    first = keep(library, athlete, b"first", facts(0))[0].outing
    result = Result(summary(title=first.title, ascent_m=None), 7, "key")
    assert library.results.put(first.identity, result)
    assert library.results.get(first.identity) == result
    assert library.results.get(second.identity) is None
    assert library.results.put(second.identity, result)
    assert list(library.results.summaries(athlete.identity)) == [first.identity, second.identity]
    library.outings.remove([first.identity])
    assert library.results.get(first.identity) is None
    assert not library.results.put(first.identity, result)


def stale_days(library: Library, athlete: Athlete) -> set[int]:
    start = datetime(2026, 5, 1, tzinfo=UTC)
    return {(each.outing.start_utc - start).days for each in library.stale_outings(1, athlete.identity)}


@KEEP_FIXTURE
@given(
    edits=st.lists(st.tuples(st.sampled_from(Ground), st.integers(-2, 12), st.integers(100, 120)), max_size=4)
)
def test_changed_bands_make_exactly_the_outings_stale_whose_band_changed(
    library: Library, edits: list[tuple[Ground, int, int]]
) -> None:
    athlete = library.athletes.add(warden(new_identity()))
    for day in range(10):
        keep(library, athlete, f"{athlete.identity} {day}".encode(), facts(day, on_bike=day % 2 == 1))
    bands: dict[tuple[Ground, int], int] = {}

    def in_force(day: int) -> int | None:
        ground = Ground.BIKE if day % 2 else Ground.FOOT
        begun = [d for g, d in bands if g is ground and d <= day]
        return bands[ground, max(begun)] if begun else None

    for ground, from_day, lower in edits:
        review_all(library, athlete=athlete.identity)
        assert stale_days(library, athlete) == set()
        before = {day: in_force(day) for day in range(10)}
        bands[ground, from_day] = lower
        library.bands.put(period(athlete, date(2026, 5, 1) + timedelta(days=from_day), lower, 140, ground))
        assert stale_days(library, athlete) == {day for day in range(10) if in_force(day) != before[day]}
    for each in library.stale_outings(1, athlete.identity):
        wanted = in_force((each.outing.start_utc - datetime(2026, 5, 1, tzinfo=UTC)).days)
        assert (each.aim.band.lower_bpm if each.aim.band else None) == wanted


def test_load_marks_masses_and_version_make_stale_what_they_touch(library: Library, athlete: Athlete) -> None:
    hike = keep(library, athlete, b"hike", facts(0))[0].outing
    ride = keep(library, athlete, b"ride", facts(1, on_bike=True))[0].outing

    def stale(version: int = 1) -> list[str]:
        return [each.outing.identity for each in library.stale_outings(version)]

    assert stale() == [hike.identity, ride.identity]
    review_all(library)
    assert stale() == []
    assert stale(version=2) == [hike.identity, ride.identity]
    library.outings.set_load(hike.identity, 8.0)
    assert stale() == [hike.identity]
    library.outings.set_load(hike.identity, 0.0)
    assert stale() == []
    library.outings.set_marks(ride.identity, HIKE_MARK)
    (touched,) = library.stale_outings(1)
    assert (touched.outing.identity, touched.marks) == (ride.identity, HIKE_MARK)
    library.outings.set_marks(ride.identity, None)
    library.athletes.change(Athlete(athlete.identity, athlete.name, bike_mass_kg=11.0))
    assert stale() == [ride.identity]
    library.athletes.change(Athlete(athlete.identity, athlete.name, body_mass_kg=60.0, bike_mass_kg=11.0))
    assert stale() == [hike.identity, ride.identity]
    other = library.athletes.add(warden("trail patrol"))
    assert library.stale_outings(1, other.identity) == ()


def test_the_key_holds_what_enters_a_summary_and_nothing_else() -> None:
    band = Band(112, 131)
    key = input_key(Aim(band), Ground.FOOT)
    basis = Basis.of(MAXIMUM, hr_max_bpm=187.0, low_share=0.6, high_share=0.7)
    found_elsewise = Band(112, 131, BandMethod.HR_MAX, basis)
    assert input_key(Aim(found_elsewise, target_s=1.0, bike_mass_kg=9.0), Ground.FOOT) == key
    assert input_key(Aim(band, load_until_s=600.0), Ground.FOOT) == key, "without a load its end says nothing"
    differing = [
        (Aim(Band(112, 132)), Ground.FOOT, None),
        (Aim(None), Ground.FOOT, None),
        (Aim(band, body_mass_kg=70.0), Ground.FOOT, None),
        (Aim(band, load_kg=5.0), Ground.FOOT, None),
        (Aim(band, load_kg=5.0, load_until_s=600.0), Ground.FOOT, None),
        (Aim(band), Ground.FOOT, ()),
        (Aim(band), Ground.FOOT, HIKE_MARK),
        (Aim(band), Ground.BIKE, None),
        (Aim(band, bike_mass_kg=9.0), Ground.BIKE, None),
    ]
    keys = {input_key(*each) for each in differing}
    assert len(keys) == len(differing)
    assert key not in keys


def test_a_name_may_hold_anything_a_file_system_allows(library: Library, athlete: Athlete) -> None:
    odd = OutingFacts(
        0, datetime(2026, 5, 1, tzinfo=UTC), None, "hiking", False, "Hütte'); DROP TABLE outing;--"
    )
    kept = keep(library, athlete, b"odd", odd)[0].outing
    assert library.outings.get(kept.identity).title == odd.title
