"""What is said of the next outing: both ways, what they are told from, and when no length is given."""

from __future__ import annotations

from slopebeat.analysis.price.next_outing import Middle, NextAnswers, NextOuting, NoLength
from slopebeat.model.bands import Band
from slopebeat.model.people import Aim
from slopebeat.review.answer import next_time

AIM = Aim(Band(112, 131), 2700.0)
SHARE = Middle(0.5, 0.3, 0.7)


def outing(
    needed: Middle | None, reason: NoLength | None = None, off: float = 2.0, n: int = 12
) -> NextOuting:
    return NextOuting(SHARE, needed, reason, off, min(n, 10), n)


def said(usual: NextOuting, aimed: NextOuting) -> str:
    return " ".join(next_time(NextAnswers(usual, aimed), AIM))


def test_both_lengths_stand_with_their_intervals_and_where_they_come_from() -> None:
    words = said(outing(Middle(5400.0, 4200.0, 7800.0)), outing(Middle(4500.0, 3600.0, 6000.0)))
    assert "45 min in band take 1 h 30 min (1 h 10 min to 2 h 10 min) next time" in words
    assert "kept about 122 bpm, 45 min in band take 1 h 15 min (1 h to 1 h 40 min)" in words
    assert "80 % of next times; told from 12 outings" in words
    assert "says little" not in words


def test_a_wide_interval_and_few_outings_are_said() -> None:
    wide = outing(Middle(7200.0, 3600.0, 40_000.0))
    words = said(wide, outing(Middle(4500.0, 3600.0, 6000.0)))
    assert "to over 8 h" in words
    assert "a single length says little" in words
    few = outing(Middle(5400.0, 4200.0, 7800.0), n=1)
    assert "told from 1 outing and stated assumptions" in said(few, few)


def test_off_the_band_it_says_how_far_and_what_to_do_and_gives_no_length() -> None:
    aimed = outing(Middle(4500.0, 3600.0, 6000.0))
    high = said(outing(None, NoLength.OFF_BAND, 33.0), aimed)
    assert "The last 10 outings lay 33 bpm above the middle of the band: no length helps, go slower." in high
    low = said(outing(None, NoLength.OFF_BAND, -25.0, 1), aimed)
    assert "This outing lay 25 bpm under the middle of the band: no length helps, go faster." in low
    # One mean inside, but most far off: too long, and how far off says why.
    assert "lay 20 bpm above" in said(outing(None, NoLength.TOO_LONG, 20.0), aimed)
    assert "no sensible length" in said(outing(None, NoLength.TOO_LONG, 2.0), aimed)


def test_without_a_share_nothing_is_said() -> None:
    none = NextOuting(None, None, NoLength.NO_HEART, None, 0, 0)
    assert next_time(NextAnswers(none, none), AIM) == ()
