"""A review and its tables as text for the clipboard."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from slopebeat.analysis.account.time_account import BandState
from slopebeat.model.language import tr, trn
from slopebeat.model.measures import decimal_sign, figure
from slopebeat.model.notes import Note, present
from slopebeat.model.titles import title_of
from slopebeat.model.units import clock, percent
from slopebeat.review.answer import answer, cautions, why
from slopebeat.review.export.tables import harmless
from slopebeat.review.outing import Review
from slopebeat.review.present.account import parts_of
from slopebeat.review.words.names import key_name

MOST_NOTES = 20
"""Notes in a summary; more would make it no summary [project choice]."""


def summary_text(review: Review, notes: Iterable[Note] = ()) -> str:
    """The answer and the notes in a few lines that can be pasted into a message."""
    recording, account, fair = review.recording, review.account, review.terrain_fair
    lines = [
        f"{title_of(recording) or tr('Outing')}, {recording.start_text}",
        answer(review),
        why(review),
    ]
    if account is not None:
        shares = [
            tr("{part} {time} ({share})").format(
                part=part.name, time=clock(part.seconds), share=percent(part.share)
            )
            for part in parts_of(account)
            if account.covered and part.state in (BandState.IN_BAND, BandState.ABOVE, BandState.BELOW)
        ]
        listed = ", ".join(shares) or tr("too little trusted heart rate")
        lines.append(tr("Band {band}: {shares}.").format(band=review.aim.band, shares=listed))
    if fair.percent is not None and fair.interval_percent is not None:
        low, high = (figure(end, 1) for end in fair.interval_percent)
        lines.append(
            tr("Terrain-fair decoupling {percent} % (95 % interval {low} to {high} %), {status}.").format(
                percent=figure(fair.percent, 1), low=low, high=high, status=key_name(fair.status)
            )
        )
    lines += _note_lines(present(notes))
    lines += cautions(0)
    return "\n".join(" ".join(line.split()) for line in lines if line)


def _note_lines(notes: Sequence[Note]) -> list[str]:
    """One line per note, and how many there are more."""
    lines = []
    for note in notes[:MOST_NOTES]:
        told = {
            "place": note.place,
            "author": key_name(note.author),
            "heading": note.heading,
            "text": note.text,
        }
        worded = tr("Note, {place}, {author}: {heading}: {text}") if note.text.strip() else None
        lines.append((worded or tr("Note, {place}, {author}: {heading}")).format(**told))
    left = len(notes) - MOST_NOTES
    if left > 0:
        lines.append(trn("{count} more note.", "{count} more notes.", left).format(count=left))
    return lines


def table_text(header: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table as tab-separated lines, as spreadsheets paste them; no cell can be taken for a formula.

    Numbers, also negative ones, stay as they are.
    """
    return "\n".join("\t".join(_cell(cell) for cell in row) for row in (header, *rows))


def _cell(text: str) -> str:
    line = " ".join(text.split())
    plain = line.replace("−", "-")
    try:
        float(plain.replace(decimal_sign(), "."))
    except ValueError:
        return harmless(line)
    return plain
