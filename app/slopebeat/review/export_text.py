"""A review and its tables as text for the clipboard."""

from __future__ import annotations

from collections.abc import Sequence

from slopebeat.model.units import clock, percent
from slopebeat.review.answer import CAUTIONS, answer, why
from slopebeat.review.export_csv import harmless
from slopebeat.review.outing import Review


def summary_text(review: Review) -> str:
    """The answer in a few lines that can be pasted into a message."""
    recording, account, fair = review.recording, review.account, review.terrain_fair
    lines = [
        f"{recording.title or recording.file_name or 'Outing'}, {recording.start_utc:%Y-%m-%d %H:%M} UTC"
    ]
    lines += [answer(review), why(review)]
    if account is not None:
        parts = (("in band", account.in_band_s), ("above", account.above_s), ("below", account.below_s))
        shares = [
            f"{name} {clock(seconds)} ({percent(seconds / account.recorded_s)})"
            for name, seconds in parts
            if account.recorded_s > 0.0
        ]
        lines.append(f"Band {review.aim.band}: {', '.join(shares) or 'nothing recorded'}.")
    if fair.percent is not None and fair.interval_percent is not None:
        low, high = fair.interval_percent
        lines.append(
            f"Terrain-fair decoupling {fair.percent:.1f} % (95 % interval {low:.1f} to {high:.1f} %), "
            f"{fair.status}."
        )
    lines.append(CAUTIONS[0])
    return "\n".join(" ".join(line.split()) for line in lines if line)


def table_text(header: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table as tab-separated lines, as spreadsheets paste them; no cell can be taken for a formula.

    Numbers, also negative ones, stay as they are.
    """
    return "\n".join("\t".join(_cell(cell) for cell in row) for row in (header, *rows))


def _cell(text: str) -> str:
    line = " ".join(text.split())
    plain = line.replace("−", "-")
    try:
        float(plain)
    except ValueError:
        return harmless(line)
    return plain
