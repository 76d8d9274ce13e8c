"""What a week was, in words."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from slopebeat.analysis.months.choice import day_of
from slopebeat.analysis.months.weeks import Apart, Week
from slopebeat.library.people import Entry
from slopebeat.model.evidence import EDGE_OFF_BPM, OutingSummary
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import figure
from slopebeat.model.people import DEFAULT_DRIFT_THRESHOLD_PERCENT, BodyMass, Phase
from slopebeat.model.units import MISSING
from slopebeat.review.week.board import AthleteWeek, Board, WeekRow
from slopebeat.review.words.names import key_name, kilograms

NOT_COMPUTED = mark("being computed")


def minutes(seconds: float | None) -> str:
    return figure(None if seconds is None else seconds / 60.0)


def board_words(board: Board) -> str:
    """Which week it is, with its first and its last day."""
    year, week, _ = board.monday.isocalendar()
    names = {"week": f"{year}-W{week:02d}", "first": board.monday, "last": board.monday + timedelta(days=6)}
    return tr("Week {week}, {first} to {last}").format(**names)


def in_band_words(week: Week) -> str:
    """Minutes in band, with those prescribed; unknown where every outing of the week is."""
    text = MISSING if week.unknown else minutes(week.in_band_s)
    asked = week.minutes_asked
    return text if asked is None else tr("{n} of {asked}").format(n=text, asked=figure(asked))


def sessions_words(week: Week) -> str:
    asked = None if week.prescription is None else week.prescription.sessions_per_week
    text = figure(week.sessions)
    return text if asked is None else tr("{n} of {asked}").format(n=text, asked=figure(asked))


def above_words(week: Week) -> str:
    """Minutes above the band; where they are more than the user's own limit, that is said."""
    text = MISSING if week.unknown else minutes(week.above_s)
    limit = None if week.prescription is None else week.prescription.most_above_minutes
    if not week.too_much_above or limit is None:
        return text
    return tr("{n}, too much: over {limit}").format(n=text, limit=figure(limit))


MET_WORDS = {True: mark("met"), False: mark("not met")}


def met_words(week: Week) -> str:
    """Whether the prescription was met, and why that cannot be known where it cannot."""
    if week.met is not None:
        return tr(MET_WORDS[week.met])
    if week.missing_s is None and week.missing_sessions is None:
        return tr("nothing prescribed")
    return tr("cannot be told") if week.over else tr("under way")


def verdict_words(summary: OutingSummary | None) -> str:
    """How steady the heart was over an outing at equal work, by its terrain-fair decoupling."""
    if summary is None:
        return tr(NOT_COMPUTED)
    percent, low, high = summary.terrain_fair_percent, summary.terrain_fair_low, summary.terrain_fair_high
    if percent is None or low is None or high is None:
        return tr("no decoupling can be told")
    text = figure(percent, 0)
    limit = DEFAULT_DRIFT_THRESHOLD_PERCENT
    if high <= limit:
        return tr("steady: {percent} %").format(percent=text)
    if low > limit:
        return tr("drifted: {percent} %").format(percent=text)
    interval = {"low": figure(low, 0), "high": figure(high, 0)}
    return tr("cannot tell: {percent} % ({low} to {high})").format(percent=text, **interval)


def last_words(row: AthleteWeek) -> str:
    if row.last is None:
        return tr("none yet")
    day = row.last.outing.local_day() if row.last.summary is None else day_of(row.last.summary)
    return tr("{day}  {title}").format(day=day.isoformat(), title=row.last.name)


def to_review_words(row: AthleteWeek) -> str:
    left, total = len(row.to_review), len(row.outings)
    return tr("{n} of {asked}").format(n=left, asked=total) if total else MISSING


def apart_words(row: WeekRow) -> str:
    """The outings counted apart, each with the reason."""
    pairs = zip(row.apart, (why for _, why in row.week.apart), strict=True)
    return "; ".join(tr("{title}: {reason}").format(title=name, reason=key_name(why)) for name, why in pairs)


def apart_sentences(rows: Sequence[WeekRow]) -> tuple[str, ...]:
    """The outings counted apart, a sentence for each week that has some."""
    text = tr("{week}, counted apart: {outings}")
    return tuple(text.format(week=row.week.iso, outings=apart_words(row)) for row in rows if row.apart)


def phase_words(row: WeekRow) -> str:
    names = [f"{key_name(each.kind)} {each.text}".rstrip() for each in row.phases]
    return ", ".join(names)


def in_band_with(week: Week, edge: str) -> float | None:
    """Seconds in band with one edge off: what is above or below no more is in band."""
    if week.edges_off is None:
        return None
    upper = edge.startswith("above")
    beyond: float = getattr(week.edges_off, edge)
    return week.in_band_s + (week.above_s if upper else week.below_s) - beyond


def edges_words(week: Week) -> str:
    """Minutes in band with the upper edge lower and higher, then the same of the lower edge."""
    if week.edges_off is None:
        return MISSING
    times = [minutes(in_band_with(week, edge)) for edge in ("above_upper_down_s", "above_upper_up_s")]
    times += [minutes(in_band_with(week, edge)) for edge in ("below_lower_down_s", "below_lower_up_s")]
    return tr("{upper_down} to {upper_up}, {lower_up} to {lower_down}").format(
        upper_down=times[0], upper_up=times[1], lower_down=times[2], lower_up=times[3]
    )


def edges_sentence(week: Week) -> str:
    """How an edge that is a few beats off moves the minutes, in words."""
    off = week.edges_off
    if off is None:
        return ""
    return tr(
        "With the upper edge {bpm} bpm lower {in_down} min would be in band and {above_down} above, {bpm} "
        "bpm higher {in_up} and {above_up}; with the lower edge {bpm} bpm lower {low_down} min in band, "
        "higher {low_up}."
    ).format(
        bpm=EDGE_OFF_BPM,
        in_down=minutes(in_band_with(week, "above_upper_down_s")),
        above_down=minutes(off.above_upper_down_s),
        in_up=minutes(in_band_with(week, "above_upper_up_s")),
        above_up=minutes(off.above_upper_up_s),
        low_down=minutes(in_band_with(week, "below_lower_down_s")),
        low_up=minutes(in_band_with(week, "below_lower_up_s")),
    )


def iso_words(week: Week) -> str:
    """The name of a week, with the break before it."""
    if not week.break_weeks:
        return week.iso
    text = trn(
        "{week}, after {n} week without outings", "{week}, after {n} weeks without outings", week.break_weeks
    )
    return text.format(week=week.iso, n=week.break_weeks)


def entry_words(entry: Entry) -> str:
    """What holds from a day on, or while a phase lasts."""
    if isinstance(entry, BodyMass):
        return kilograms(entry.body_mass_kg)
    if isinstance(entry, Phase):
        return f"{key_name(entry.kind)} {entry.text}".rstrip()
    parts = []
    if entry.minutes_per_week is not None:
        parts.append(tr("{minutes} min in band a week").format(minutes=figure(entry.minutes_per_week)))
    if entry.sessions_per_week is not None:
        text = trn("{n} session", "{n} sessions", entry.sessions_per_week)
        parts.append(text.format(n=entry.sessions_per_week))
    if entry.most_above_minutes is not None:
        parts.append(tr("at most {minutes} min above").format(minutes=figure(entry.most_above_minutes)))
    return ", ".join(parts) or tr("nothing prescribed")


def apart_counts(row: WeekRow) -> dict[str, list[str]]:
    """Names of the outings counted apart, by the key of the reason."""
    return {
        why.name.lower(): [
            name for name, (_, each) in zip(row.apart, row.week.apart, strict=True) if each is why
        ]
        for why in Apart
    }
