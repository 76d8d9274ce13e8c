"""The night on the charts of an outing."""

from __future__ import annotations

from slopebeat.model.language import tr
from slopebeat.plots.outing.lines import XScale
from slopebeat.plots.overlay import Span
from slopebeat.review.outing import Review
from slopebeat.review.words.names import night_words


def shown_night(review: Review, scale: XScale) -> list[Span]:
    """Its hours, with the time by the clock where that is known."""
    spans = []
    for start, end in review.nights:
        words = night_words(review.recording, start, end)
        spans.append(Span(float(scale.to_x(start)), float(scale.to_x(end)), words, tr("night")))
    return spans
