from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from slopebeat.model.spans import Spans

second = st.integers(0, 60)
pairs = st.lists(st.tuples(second, second), max_size=8)


def seconds_of(spans: Spans) -> set[int]:
    """The whole seconds covered: an independent picture of a set of ranges with whole ends."""
    return {s for a, b in spans for s in range(int(a), int(b))}


def seconds_of_pairs(raw: list[tuple[int, int]]) -> set[int]:
    return {s for a, b in raw for s in range(a, b)}


@given(pairs)
def test_merging_covers_the_same_seconds_without_overlap(raw: list[tuple[int, int]]) -> None:
    spans = Spans.from_pairs(raw)
    assert seconds_of(spans) == seconds_of_pairs(raw)
    assert spans.total_s == len(seconds_of_pairs(raw))
    assert np.all(spans.start_s[1:] > spans.end_s[:-1])


@given(pairs, pairs)
def test_the_difference_is_that_of_sets(a: list[tuple[int, int]], b: list[tuple[int, int]]) -> None:
    first, second_ = Spans.from_pairs(a), Spans.from_pairs(b)
    assert seconds_of(first.without(second_)) == seconds_of_pairs(a) - seconds_of_pairs(b)


@given(pairs, second, second)
def test_the_overlap_with_a_range_is_that_of_sets(raw: list[tuple[int, int]], start: int, end: int) -> None:
    low, high = min(start, end), max(start, end)
    spans = Spans.from_pairs(raw)
    inside = float(spans.overlap_s(low, high)[0])
    assert inside == len(seconds_of_pairs(raw) & set(range(low, high)))


@given(pairs)
def test_contains_agrees_with_the_seconds(raw: list[tuple[int, int]]) -> None:
    inside = Spans.from_pairs(raw).contains(np.arange(61.0))
    assert set(np.flatnonzero(inside).tolist()) == seconds_of_pairs(raw)


@given(st.lists(st.booleans(), min_size=2, max_size=40))
def test_a_mask_covers_the_time_to_the_next_sample(flags: list[bool]) -> None:
    spans = Spans.from_mask(np.arange(float(len(flags))), flags)
    assert seconds_of(spans) == {i for i, flag in enumerate(flags[:-1]) if flag}


def test_bridging_fills_breaks_shorter_than_the_limit_only() -> None:
    spans = Spans.from_pairs([(0, 10), (20, 30), (45, 50)])
    assert list(spans.bridged(15.0)) == [(0, 30), (45, 50)]
    assert list(spans.at_least(10.0)) == [(0, 10), (20, 30)]


@given(pairs, second, second)
def test_ranges_about_a_stretch_are_those_found_by_looking_at_all(
    raw: list[tuple[int, int]], a: int, b: int
) -> None:
    spans, (start, end) = Spans.from_pairs(raw), (min(a, b), max(a, b) + 1)
    assert list(spans.within(start, end)) == [(s, e) for s, e in spans if s < end and e > start]
    around = [e for s, e in spans if s <= start < e]
    assert spans.end_around(start) == (around[0] if around else None)
