"""Athletes and bands, kept and back."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from library.making import facts, keep, period, warden
from slopebeat.library.faults import LibraryFault
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.bands import Band, BandMethod
from slopebeat.model.basis import Basis
from slopebeat.model.people import Athlete, BandPeriod, Ground, band_in_force

KEEP_FIXTURE = settings(
    max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)

ATHLETES = st.builds(
    Athlete,
    st.builds(new_identity),
    st.text(min_size=1, max_size=40).map(lambda text: " ".join(text.split())).filter(bool),
    st.none() | st.integers(1900, 2026),
    st.floats(20.0, 300.0),
    st.floats(0.0, 40.0),
    st.none() | st.integers(0, 14),
    st.none() | st.floats(0.0, 2000.0),
)
BANDS = st.tuples(st.integers(30, 229), st.integers(1, 60), st.sampled_from(BandMethod)).map(
    lambda made: Band(made[0], min(made[0] + made[1], 230), made[2], Basis.own("as tested"))
)
PERIODS = st.lists(
    st.tuples(st.sampled_from(Ground), st.dates(date(1990, 1, 1), date(2060, 1, 1)), BANDS, st.text()),
    max_size=8,
)


@KEEP_FIXTURE
@given(athlete=ATHLETES)
def test_an_athlete_comes_back_as_kept(library: Library, athlete: Athlete) -> None:
    for other in library.athletes:
        library.athletes.remove(other.identity)
    kept = library.athletes.add(athlete)
    assert kept == library.athletes.get(athlete.identity) == athlete
    assert library.athletes.named(athlete.name) == athlete


@KEEP_FIXTURE
@given(found=PERIODS, day=st.dates(date(1990, 1, 1), date(2060, 1, 1)))
def test_bands_come_back_and_the_one_in_force_is_found(
    library: Library, found: list[tuple[Ground, date, Band, str]], day: date
) -> None:
    athlete = library.athletes.add(warden(new_identity()))
    expected = {}
    for ground, from_day, band, how in found:
        how = how.encode("utf-8", "replace").decode()
        expected[ground, from_day] = BandPeriod(
            athlete.identity, ground, from_day, replace(band, basis=Basis.own(how))
        )
        library.bands.put(expected[ground, from_day])
    kept = library.bands.of(athlete.identity)
    assert {(p.ground, p.from_day): p for p in kept} == expected
    for ground in Ground:
        days = [d for g, d in expected if g is ground and d <= day]
        wanted = expected[ground, max(days)].band if days else None
        assert band_in_force(kept, ground, day) == wanted


def test_a_period_removed_leaves_the_one_before_it_in_force(library: Library, athlete: Athlete) -> None:
    first, second = period(athlete, date(2026, 1, 1), 110, 130), period(athlete, date(2026, 4, 1), 115, 135)
    library.bands.put(first)
    library.bands.put(second)
    library.bands.remove(second)
    assert library.bands.of(athlete.identity) == (first,)


def test_names_are_tidied_and_one_name_is_one_athlete(library: Library, athlete: Athlete) -> None:
    other = library.athletes.add(warden("  trail   patrol "))
    assert other.name == "trail patrol"
    assert library.athletes.named("Trail PATROL") == other
    with pytest.raises(LibraryFault, match="already an athlete named hut warden"):
        library.athletes.add(warden("Hut Warden"))
    with pytest.raises(LibraryFault, match="needs a name"):
        library.athletes.add(warden("   "))
    with pytest.raises(LibraryFault, match="already"):
        library.athletes.change(Athlete(other.identity, "hut warden"))
    assert [each.name for each in library.athletes] == ["hut warden", "trail patrol"]


def test_a_changed_athlete_keeps_outings_and_bands(library: Library, athlete: Athlete) -> None:
    keep(library, athlete, b"a file", facts())
    library.bands.put(period(athlete, date(2026, 1, 1), 110, 130))
    changed = Athlete(athlete.identity, "Hut Warden", 1975, 68.0, 12.0, 3, 135.0)
    assert library.athletes.change(changed) == changed
    assert list(library.athletes) == [changed]
    assert library.outings.count(athlete.identity) == 1
    assert len(library.bands.of(athlete.identity)) == 1
    with pytest.raises(KeyError):
        library.athletes.change(warden("nobody"))


def test_a_removed_athlete_leaves_nothing_behind_not_even_bytes(library: Library, athlete: Athlete) -> None:
    secret = b"\x00".join(b"%d" % n for n in range(3000))
    other = library.athletes.add(warden("trail patrol"))
    keep(library, athlete, secret, facts(0), facts(1, 1))
    keep(library, other, b"shared", facts(3))
    keep(library, athlete, b"shared", facts(3))
    library.bands.put(period(athlete, date(2026, 1, 1), 110, 130))
    assert library.athletes.remove(athlete.identity) == 3
    assert list(library.athletes) == [other]
    (left,) = library.outings.of(other.identity)
    assert library.outings.original(left.identity) == b"shared"
    with library._connections.reading() as connection:
        for table, rows in {"content": 1, "outing": 1, "band_period": 0, "duplicate": 0}.items():
            assert connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0] == rows
    library.close()
    assert b"hut warden" not in library.path.read_bytes()
