"""What one page says of a review, before any format: words, tables and scenes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from slopebeat import __version__
from slopebeat.model.notes import Note, present
from slopebeat.model.recording import Recording, Sport
from slopebeat.model.units import clock, duration, percent
from slopebeat.plots.colours import LIGHT, Colours
from slopebeat.report.bars import account_bar, cause_bars
from slopebeat.report.outing_chart import outing_chart
from slopebeat.report.shapes import Scene
from slopebeat.report.tables import Table, climb_table, decoupling_table, episode_table
from slopebeat.report.words import plain
from slopebeat.review.answer import CAUTIONS, answer, why
from slopebeat.review.notes_lactate import lactate_sentences
from slopebeat.review.outing import Review
from slopebeat.session.display import kilometres, number

LONGEST_TITLE = 90
"""Longest title on the page, in characters [project choice]."""


@dataclass(frozen=True)
class Limits:
    """How much of each list goes on the page, and the longest note and remark in characters."""

    climbs: int
    episodes: int
    notes: int
    doubts: int
    longest: int = 240


LADDER = (
    Limits(14, 14, 20, 8),
    Limits(12, 12, 16, 8),
    Limits(10, 10, 12, 6),
    Limits(8, 8, 12, 6),
    Limits(7, 7, 10, 5),
    Limits(6, 6, 10, 4),
    Limits(6, 6, 8, 4, 160),
    Limits(5, 5, 8, 4, 160),
    Limits(4, 4, 6, 3, 160),
    Limits(3, 3, 4, 2, 160),
    Limits(2, 2, 2, 1, 110),
)
"""From a roomy page to a full one: the first that fits on A4 is taken."""


@dataclass(frozen=True)
class Figure:
    """One figure with its name above and its interval or basis below."""

    name: str
    value: str
    beside: str


@dataclass(frozen=True)
class Line:
    """A line of a list with what stands before it."""

    lead: str
    text: str


@dataclass(frozen=True, eq=False)
class Page:
    """Everything on the page, in the order it is read. Texts are plain; each format escapes its own."""

    title: str
    facts: str
    aim: str
    headline: str
    detail: str
    why: str
    figures: tuple[Figure, ...]
    account: Scene | None
    sums: str
    chart: Scene
    causes: Scene | None
    causes_title: str
    decoupling: Table
    climbs: Table
    episodes: Table | None
    notes: tuple[Line, ...]
    notes_left_out: str
    doubts: tuple[str, ...]
    cautions: tuple[str, ...]
    foot: str


def pages_of(
    review: Review,
    notes: Iterable[Note] = (),
    warnings: Sequence[str] = (),
    colours: Colours = LIGHT,
) -> Callable[[Limits], Page]:
    """The page of a review for any limits; what no limit changes is made once."""
    kept = tuple(notes)
    whole = page_of(review, kept, warnings, colours=colours)

    def page(limits: Limits) -> Page:
        lines, left_out = _notes(review, present(kept), limits)
        return replace(
            whole,
            climbs=climb_table(review, limits.climbs),
            episodes=None if review.account is None else episode_table(review, limits.episodes),
            notes=lines,
            notes_left_out=left_out,
            doubts=_shortened([*warnings, *review.warnings], limits),
        )

    return page


def page_of(
    review: Review,
    notes: Iterable[Note] = (),
    warnings: Sequence[str] = (),
    limits: Limits = LADDER[0],
    colours: Colours = LIGHT,
) -> Page:
    """The page of a review. ``warnings`` are sentences from outside the review, shown with its own."""
    headline, stop, detail = answer(review).partition(". ")
    account, causes = review.account, review.causes
    lost = 0.0 if account is None else account.recorded_s - account.in_band_s
    lines, left_out = _notes(review, present(notes), limits)
    return Page(
        title=title_of(review.recording),
        facts=_facts(review),
        aim=_aim(review),
        headline=headline + stop.strip(),
        detail=detail,
        why=why(review),
        figures=_figures(review),
        account=None if account is None else account_bar(account, colours=colours),
        sums="" if account is None else _sums(review),
        chart=outing_chart(review, colours=colours),
        causes=None if causes is None or lost < 1.0 else cause_bars(causes, colours=colours),
        causes_title=f"Why {duration(lost)} did not count",
        decoupling=decoupling_table(review),
        climbs=climb_table(review, limits.climbs),
        episodes=None if account is None else episode_table(review, limits.episodes),
        notes=lines,
        notes_left_out=left_out,
        doubts=_shortened([*warnings, *review.warnings], limits),
        cautions=CAUTIONS,
        foot=f"Slopebeat {__version__}, from {plain(review.recording.file_name, 80) or 'a recording'}.",
    )


def fitted_page(make: Callable[[Limits], Page], fits: Callable[[Page], bool]) -> Page:
    """The fullest page that fits; the barest one where none does."""
    for limits in LADDER:
        page = make(limits)
        if fits(page):
            return page
    return page


def title_of(recording: Recording) -> str:
    """The name of an outing as shown."""
    return plain(recording.title or recording.file_name, LONGEST_TITLE) or "Outing"


def _facts(review: Review) -> str:
    recording, distance = review.recording, review.track.distance_m
    parts = [recording.start_text]
    if recording.sport not in (Sport.OTHER, Sport.UNKNOWN):
        parts.append(recording.sport.value)
    parts.append(f"{kilometres(float(distance[-1]) if len(distance) else None, 1)} km")
    if review.elevation.ascent_m is not None:
        parts.append(f"{number(review.elevation.ascent_m)} m up, {number(review.elevation.descent_m)} m down")
    parts.append(plain(recording.device, 40))
    return "  ·  ".join(part for part in parts if part)


def _aim(review: Review) -> str:
    aim = review.aim
    if aim.band is None:
        return "No heart-rate band was chosen."
    basis = f" ({plain(aim.band.basis, 80)})" if aim.band.basis else f" ({aim.band.method.value})"
    parts = [f"Band {aim.band}{basis}", f"target {duration(aim.target_s)}", f"body {aim.body_mass_kg:g} kg"]
    if aim.load_kg > 0.0:
        until = "" if aim.load_until_s is None else f" until {clock(aim.load_until_s)}"
        parts.append(f"load {aim.load_kg:g} kg{until}")
    if review.track.on_bike:
        parts.append(f"bike {aim.bike_mass_kg:g} kg")
    return "  ·  ".join(parts)


def _figures(review: Review) -> tuple[Figure, ...]:
    """The figures a coach looks for first, each with its interval."""
    longer, account, fair = review.extension, review.account, review.terrain_fair
    found = []
    if longer is not None and account is not None and account.no_hr_s < account.recorded_s:
        share = "" if longer.yield_low is None else f"95 %: {_from_to(longer.yield_low, longer.yield_high)}"
        found.append(Figure("In band", duration(account.in_band_s), f"of {duration(account.recorded_s)}"))
        found.append(Figure("Share in band", percent(longer.yield_share), share))
        need = f"For {duration(longer.target_s)} in band"
        found.append(Figure(need, duration(longer.needed_s), _needed_range(longer.needed_low_s, review)))
        reached = longer.missing_s < 60.0
        more = "not on ground like this" if longer.more_s is None else f"{duration(longer.more_s)} more here"
        more = "by this outing" if reached else more
        missing = "reached" if reached else f"{duration(longer.missing_s)} short"
        found.append(Figure("Target", missing, more))
    interval = fair.interval_percent
    known = fair.percent is not None and interval is not None
    beside = f"95 %: {number(interval[0], 1)} to {number(interval[1], 1)} %" if known and interval else ""
    value = f"{number(fair.percent, 1)} %" if fair.percent is not None else "not known"
    return (*found, Figure("Terrain-fair decoupling", value, beside or fair.status.value))


def _from_to(low: float | None, high: float | None) -> str:
    return f"{percent(low)} to {percent(high)}".replace(" % to", " to")


def _needed_range(low: float | None, review: Review) -> str:
    if low is None or review.extension is None:
        return ""
    high = review.extension.needed_high_s
    return f"95 %: from {duration(low)} up" if high is None else f"95 %: {duration(low)} to {duration(high)}"


def _sums(review: Review) -> str:
    account = review.account
    if account is None:
        return ""
    parts = [f"{clock(account.recorded_s)} recorded"]
    parts += [f"{clock(s)} {name}" for s, name in ((account.pause_s, "pause"), (account.gap_s, "gap")) if s]
    return " + ".join(parts) + (f" = {clock(account.span_s)}" if len(parts) > 1 else "")


def _notes(review: Review, notes: Sequence[Note], limits: Limits) -> tuple[tuple[Line, ...], str]:
    """Notes as lines, what the lactate samples say after them, and how many were left out."""
    lines = [
        Line(f"{note.place}, {note.author.value}, {note.heading}", plain(note.text, limits.longest))
        for note in notes[: limits.notes]
    ]
    lines += [Line("lactate", sentence) for sentence in lactate_sentences(notes, review.track)]
    left = len(notes) - limits.notes
    return tuple(lines), f"{left} more notes are not shown." if left > 0 else ""


def _shortened(sentences: Sequence[str], limits: Limits) -> tuple[str, ...]:
    kept = [plain(sentence, limits.longest) for sentence in sentences[: limits.doubts]]
    if len(sentences) > limits.doubts:
        kept.append(f"{len(sentences) - limits.doubts} more remarks are not shown.")
    return tuple(kept)
