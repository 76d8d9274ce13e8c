"""Several recordings, or a file of several activities, reviewed as one outing on the terminal."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from slopebeat.analysis.day.parts import days_of
from slopebeat.command import common
from slopebeat.command.kept import as_kept, athletes_inputs, kept_book, with_earlier
from slopebeat.command.speech import answering
from slopebeat.files.reading import read
from slopebeat.library.results import Inputs
from slopebeat.model.bands import Band, parse_band
from slopebeat.model.language import tr
from slopebeat.model.notes import Note
from slopebeat.model.outing.notebooks import Notebook
from slopebeat.model.people import Aim, Ground
from slopebeat.model.recording import Recording, local_day
from slopebeat.model.units import clock
from slopebeat.review.cautions import cautions
from slopebeat.review.day.day import Day, ends_of, review_day
from slopebeat.review.day.rows import PART_FIGURES, day_parts_of, part_rows
from slopebeat.review.day.words import day_answer, day_span, day_title, drift_sentences
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.present.account import ACCOUNT, ACCOUNT_FIGURES
from slopebeat.review.present.figure import On, aligned_lines, json_of, text_table
from slopebeat.review.values import EXTENSION_NAMES, plain, review_values


@dataclass(frozen=True)
class _Wanted:
    """What parts are reviewed with; ``stand_in`` says so where the band of ``aim`` is no one's own."""

    options: argparse.Namespace
    aim: Aim
    stand_in: tuple[str, ...]
    notes: Sequence[Note]


def _reviewed_day(wanted: _Wanted) -> tuple[Day, tuple[str, ...]]:
    """All activities of the files, each reviewed with the band of its sport, and what to say of it.

    Raises
    ------
    UserError
        With a sentence, when a file or what is kept cannot be read, or parts were recorded at the same time.
    """
    reviews: list[Review] = []
    notes: list[tuple[Note, ...]] = []
    warnings: list[str] = []
    options, inputs = wanted.options, athletes_inputs(wanted.options)
    for path in options.file:
        file = read(path)
        for activity, recording in enumerate(file.recordings):
            book = kept_book(file.content_hash, activity, options.library) if options.kept else Notebook()
            review, told = _reviewed(wanted, inputs, recording, book)
            reviews.append(review)
            notes.append(book.notes)
            warnings += told
    day = review_day(reviews, notes)
    return day, (*dict.fromkeys(warnings), *not_at_once(day))


def _reviewed(
    wanted: _Wanted, inputs: Inputs | None, recording: Recording, book: Notebook
) -> tuple[Review, tuple[str, ...]]:
    """A part with its own band, what is kept of it, and what earlier outings say."""
    options, aim, notes = wanted.options, wanted.aim, (*book.notes, *wanted.notes)
    recording, aim = as_kept(recording, aim, book, options)
    review = review_recording(recording, aim, book.marks, notes)
    band, own = _band_of(wanted, inputs, review)
    if band != aim.band:
        aim = replace(aim, band=band)
        review = review_recording(recording, aim, book.marks, notes)
    again = None if book.marks is not None else lambda more: review_recording(recording, aim, more, notes)
    review, stale = with_earlier(review, options, again)
    return review, stale if own else (*wanted.stand_in, *stale)


def _band_of(wanted: _Wanted, inputs: Inputs | None, review: Review) -> tuple[Band | None, bool]:
    """The band of a part: as given, else that of the athlete on its day; and whether it is anyone's own."""
    on_bike = review.track.on_bike
    if on_bike and wanted.options.bike_band is not None:
        return parse_band(wanted.options.bike_band), True
    if inputs is not None and wanted.stand_in:
        ground = Ground.BIKE if on_bike else Ground.FOOT
        recording = review.recording
        band = inputs.aim(ground, local_day(recording.start_utc, recording.utc_offset_s)).band
        if band is not None:
            return band, True
    return wanted.aim.band, not wanted.stand_in


def review_together(
    options: argparse.Namespace, aim: Aim, stand_in: tuple[str, ...], notes: Sequence[Note]
) -> None:
    """Review the day and give the answer where it was asked for; UserError with a sentence.

    ``stand_in``: what to say where no band was given and that of ``aim`` stands in.
    """
    wanted = _Wanted(options, aim, stand_in, notes)
    files = options.html is not None or options.pdf is not None
    if options.json is not None:
        with answering(options.json):
            _give(wanted)
    if files:
        # Only a report draws: without one the command starts without Qt.
        from slopebeat.report.day import day_formats

        common.write_html_and_pdf(options, day_formats(*_reviewed_day(wanted)))
    elif options.json is None:
        _give(wanted)


def _give(wanted: _Wanted) -> None:
    day, warnings = _reviewed_day(wanted)
    asked = wanted.options.json
    common.give_answer(asked, lambda: day_text(day, warnings), lambda: day_values(day, warnings))


def not_at_once(day: Day) -> tuple[str, ...]:
    """A sentence where time and places alone would not have joined the parts."""
    if len(day.parts) < 2 or len(days_of([ends_of(each.recording, "") for each in day.parts])) == 1:
        return ()
    return (tr("The parts do not follow one another at one place within minutes; they are joined as asked."),)


def day_text(day: Day, warnings: tuple[str, ...] = ()) -> str:
    """The day as a page of text for the terminal."""
    lines = [day_title(day), day_span(day), "", " ".join(day_answer(day)), "", *_account(day)]
    parts = text_table(On.TERMINAL, PART_FIGURES, part_rows(day), indent="  ")
    lines += ["", tr("Parts"), *parts]
    lines += ["", *drift_sentences(day.drift)]
    doubts = [*warnings, *_numbered(day)]
    if doubts:
        lines += ["", tr("What to know about this recording"), *(f"  {text}" for text in doubts)]
    return "\n".join([*lines, "", *cautions(0, 2)])


def _account(day: Day) -> list[str]:
    parts = day_parts_of(day)
    if not parts or day.account is None:
        return []
    rows = [(each.name, clock(each.seconds)) for each in parts]
    return [tr(ACCOUNT.name), *aligned_lines([*rows, (tr("Span"), clock(day.account.span_s))], indent="  ")]


def _numbered(day: Day) -> Iterator[str]:
    for number, part in enumerate(day.parts, 1):
        for text in part.warnings:
            yield tr("Part {n}: {text}").format(n=number, text=text)


def day_values(day: Day, warnings: tuple[str, ...] = ()) -> dict[str, Any]:
    """The whole in ``day``, and every part in ``parts`` as the review of a single recording has it."""
    rows = [json_of(PART_FIGURES, i, row) for i, row in enumerate(part_rows(day))]
    values: dict[str, Any] = plain({"day": _whole(day), "warnings": warnings})
    values["parts"] = [
        {"in_day": {**plain(row), **_band(part)}, **review_values(part)}
        for row, part in zip(rows, day.parts, strict=True)
    ]
    return values


def _band(part: Review) -> dict[str, int | None]:
    """The band a part was counted with: on a bike it may be another one."""
    band = part.aim.band
    return {
        "band_lower_bpm": None if band is None else band.lower_bpm,
        "band_upper_bpm": None if band is None else band.upper_bpm,
    }


def _whole(day: Day) -> dict[str, Any]:
    account, longer = day.account, day.extension
    whole: dict[str, Any] = {
        "start_utc": day.parts[0].recording.start_utc.isoformat(),
        "span_s": day.span_s,
        "between_s": day.between_s,
    }
    if account is not None and longer is not None:
        whole |= json_of(ACCOUNT_FIGURES, 0, account.parts)
        whole |= {"coverage": account.parts.coverage, "yield": longer.yield_share}
        whole |= {name: getattr(longer, name) for name in EXTENSION_NAMES}
    return whole | {"drift": _drift(day)}


def _drift(day: Day) -> dict[str, Any]:
    drift, points = day.drift, day.drift.points
    bend = drift.bend
    return {
        "bpm_per_h": drift.bpm_per_h,
        "interval_95_bpm_per_h": drift.interval_bpm_per_h,
        "parts_disagree": drift.disagree,
        "bend": None
        if bend is None
        else {"early_bpm_per_h": bend.early_bpm_per_h, "late_bpm_per_h": bend.late_bpm_per_h},
        "hours": points.hours.tolist(),
        "off_level_bpm": points.off_bpm.tolist(),
        "part": (points.part + 1).tolist(),
    }
