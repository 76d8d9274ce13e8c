"""Stretches without records, as labelled spans."""

from __future__ import annotations

from slopebeat.model.language import tr
from slopebeat.model.track import Track
from slopebeat.model.units import duration
from slopebeat.plots.outing.lines import break_after
from slopebeat.plots.outing.overlay import Span
from slopebeat.plots.outing.x_scale import XScale


def idle_spans(track: Track, scale: XScale) -> list[Span]:
    """Pauses and gaps; along distance they take no room and become lines."""
    spans: list[Span] = []
    for i in break_after(track):
        start, end = (float(scale.to_x(t)) for t in (track.t_s[i], track.t_s[i + 1]))
        pause, gap = float(track.pause_s[i]), float(track.gap_s[i])
        if pause >= gap:
            spans.append(Span(start, end, tr("pause {time}").format(time=duration(pause)), tr("pause")))
        else:
            spans.append(Span(start, end, tr("gap {time}").format(time=duration(gap)), tr("gap")))
    return spans
