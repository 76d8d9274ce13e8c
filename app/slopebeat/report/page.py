"""What one page says of a review, before any format: words, tables and scenes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import partial

from slopebeat import __version__
from slopebeat.model.language import tr, trn
from slopebeat.model.notes import Note, present
from slopebeat.model.recording import Recording, title_of
from slopebeat.model.units import clock, duration, rest_s
from slopebeat.report.bars import account_bar, cause_bars
from slopebeat.report.outing_chart import CHART_PT, outing_chart
from slopebeat.report.shapes import Picture
from slopebeat.report.tables import (
    ReportFigure,
    Table,
    climb_table,
    decoupling_table,
    episode_table,
    figures_of,
)
from slopebeat.report.words import one_line
from slopebeat.review.answer import answer_sentences, why
from slopebeat.review.cautions import cautions
from slopebeat.review.notes.heart import lactate_sentences
from slopebeat.review.outing import Review
from slopebeat.review.present.account import sums
from slopebeat.review.present.figure import On
from slopebeat.review.present.head import head_line
from slopebeat.review.present.held import held_sentence
from slopebeat.review.words.basis import basis_words
from slopebeat.review.words.names import key_name, kilograms

LONGEST_TITLE = 90
"""Longest title on the page, in characters [project choice]."""


@dataclass(frozen=True)
class Limits:
    """How much of each list goes on the page, the longest note and remark in characters, and the height
    of the charts."""

    climbs: int
    episodes: int
    notes: int
    doubts: int
    longest: int = 240
    chart_pt: float = CHART_PT


ALL, LONG = 1_000, 10_000
"""More notes, and longer ones, than anybody writes."""

LADDER = (
    Limits(14, 14, ALL, ALL, LONG),
    Limits(10, 10, ALL, 8, LONG),
    Limits(7, 7, ALL, 6, LONG, 210.0),
    Limits(5, 5, ALL, 5, LONG, 190.0),
    Limits(3, 3, ALL, 4, LONG, 175.0),
    Limits(3, 3, ALL, 3, 400, 165.0),
    Limits(2, 2, ALL, 3, 240, 155.0),
    Limits(2, 2, ALL, 2, 160, 150.0),
    Limits(4, 4, 12, 4, 160, 165.0),
    Limits(3, 3, 10, 3, 160, 155.0),
    Limits(3, 3, 6, 2, 160, 155.0),
    Limits(2, 2, 4, 2, 110, 150.0),
    Limits(1, 1, 2, 1, 110, 150.0),
    Limits(0, 0, 1, 1, 110, 140.0),
)
"""From a roomy page to a full one: the first that fits on A4 is taken. Smaller climbs and episodes give way
before any note does: what people wrote stands nowhere else."""


@dataclass(frozen=True)
class ListLine:
    """A line of a list with what stands before it."""

    lead: str
    text: str


@dataclass(frozen=True)
class PageHead:
    """What stands over the charts: the outing, when and where it was, the band, and the answer."""

    title: str
    facts: str
    aim: str
    headline: str
    detail: str


@dataclass(frozen=True, eq=False)
class Page(PageHead):
    """Everything on the page, in the order it is read. Texts are plain; each format escapes its own."""

    why: str
    figures: tuple[ReportFigure, ...]
    pictures: tuple[Picture, ...]
    next_climbs: str
    decoupling: Table
    climbs: Table
    episodes: Table | None
    notes: tuple[ListLine, ...]
    notes_left_out: str
    doubts: tuple[str, ...]
    cautions: tuple[str, ...]
    foot: str


def head_of(review: Review) -> PageHead:
    """The head of a review, for the page and for pictures."""
    headline, *detail = answer_sentences(review)
    return PageHead(
        title=_title(review.recording),
        facts=head_line(review, On.REPORT, lambda text: one_line(text, 40)),
        aim=_aim(review),
        headline=headline,
        detail=" ".join(detail),
    )


def pages_of(
    review: Review, notes: Iterable[Note] = (), warnings: Sequence[str] = ()
) -> Callable[[Limits], Page]:
    """The page of a review for any limits; what no limit changes is made once.

    ``warnings`` are sentences from outside the review, shown with its own.
    """
    account, causes, there = review.account, review.causes, present(notes)
    lost = 0.0 if account is None else account.recorded_s - account.in_band_s
    lost_said = 0.0 if account is None else rest_s(account.recorded_s, account.in_band_s)
    before, after = [], []
    if account is not None:
        title = tr("Where the time went: {sums}").format(sums=sums(account))
        before.append(Picture(title, account_bar(account)))
    if causes is not None and lost >= 1.0:
        title = tr("Why {time} did not count").format(time=duration(lost_said))
        after.append(Picture(title, cause_bars(causes)))
    whole = partial(
        Page,
        **vars(head_of(review)),
        why=why(review),
        figures=figures_of(review),
        next_climbs=next_climbs(review),
        decoupling=decoupling_table(review),
        cautions=cautions(),
        foot=_foot(review.recording),
    )

    def page(limits: Limits) -> Page:
        lines, left_out = _notes(review, there, limits)
        return whole(
            pictures=(*before, Picture("", outing_chart(review, height=limits.chart_pt)), *after),
            climbs=climb_table(review, limits.climbs),
            episodes=None if account is None else episode_table(review, limits.episodes),
            notes=lines,
            notes_left_out=left_out,
            doubts=_shortened([*warnings, *review.warnings], limits),
        )

    return page


def next_climbs(review: Review) -> str:
    """How the same outing would go with its climbs held in band; empty without a band or a climb."""
    return held_sentence(review) if review.aim.band is not None and review.climbs else ""


def fitted_page(make: Callable[[Limits], Page], fits: Callable[[Page], bool]) -> Page:
    """The fullest page that fits; the barest one where none does."""
    for limits in LADDER:
        page = make(limits)
        if fits(page):
            return page
    return page


def _title(recording: Recording) -> str:
    return one_line(title_of(recording), LONGEST_TITLE) or tr("Outing")


def _foot(recording: Recording) -> str:
    name = one_line(recording.file_name, 80)
    if not name:
        return tr("Slopebeat {version}, from a recording.").format(version=__version__)
    return tr("Slopebeat {version}, from {file}.").format(version=__version__, file=name)


def _aim(review: Review) -> str:
    aim = review.aim
    if aim.band is None:
        return tr("No heart-rate band was chosen.")
    basis = one_line(basis_words(aim.band), 80) or key_name(aim.band.method)
    parts = [
        tr("Band {band} ({basis})").format(band=aim.band, basis=basis),
        tr("target {time}").format(time=duration(aim.target_s)),
        tr("body {mass}").format(mass=kilograms(aim.body_mass_kg)),
    ]
    if aim.load_kg == review.load_kg > 0.0 and aim.load_until_s is not None:
        load = tr("load {mass} until {time}")
        parts.append(load.format(mass=kilograms(aim.load_kg), time=clock(aim.load_until_s)))
    elif review.load_kg > 0.0:
        # Notes on load say more than the aim; the most that was carried stands for them.
        parts.append(tr("load {mass}").format(mass=kilograms(review.load_kg)))
    if review.track.on_bike:
        parts.append(tr("bike {mass}").format(mass=kilograms(aim.bike_mass_kg)))
    return "  ·  ".join(parts)


def _notes(review: Review, notes: Sequence[Note], limits: Limits) -> tuple[tuple[ListLine, ...], str]:
    """Notes as lines, what the lactate samples say after them, and how many were left out or cut short."""
    lines = [
        ListLine(
            f"{note.place}, {key_name(note.author)}, {note.heading}", one_line(note.text, limits.longest)
        )
        for note in notes[: limits.notes]
    ]
    lines += [ListLine(tr("lactate"), sentence) for sentence in lactate_sentences(notes, review.track)]
    left = len(notes) - limits.notes
    cut = sum(len(one_line(note.text)) > limits.longest for note in notes[: limits.notes])
    left_out = []
    if left > 0:
        left_out.append(
            trn("{n} more note is not shown.", "{n} more notes are not shown.", left).format(n=left)
        )
    if cut:
        left_out.append(trn("{n} note is cut short.", "{n} notes are cut short.", cut).format(n=cut))
    if left_out:
        left_out.append(tr("All of them are in the tables saved as CSV."))
    return tuple(lines), " ".join(left_out)


def _shortened(sentences: Sequence[str], limits: Limits) -> tuple[str, ...]:
    kept = [one_line(sentence, limits.longest) for sentence in sentences[: limits.doubts]]
    if len(sentences) > limits.doubts:
        left = len(sentences) - limits.doubts
        text = trn("{n} more remark is not shown.", "{n} more remarks are not shown.", left)
        kept.append(text.format(n=left))
    return tuple(kept)
