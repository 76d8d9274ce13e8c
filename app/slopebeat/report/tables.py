"""The tables of a report as words, ready for any format."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from slopebeat.analysis.response.decoupling import HalfComparison, Output
from slopebeat.analysis.response.grid import LeftOut
from slopebeat.analysis.response.terrain_fair import TerrainFair
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import GROUND, HEIGHT, SPEED, VERTICAL_SPEED, figure
from slopebeat.model.units import SECONDS_PER_HOUR, clock, duration, percent
from slopebeat.review.outing import Review
from slopebeat.review.present.messages import say
from slopebeat.review.present.names import key_name
from slopebeat.review.wording import begun, no_climb
from slopebeat.session.settings.display import minutes_seconds


@dataclass(frozen=True)
class Column:
    """Header, share of the table's width, and whether figures stand right.

    In the tables of columns below the header waits for its language, and ``{unit}`` for its unit.
    """

    header: str
    share: float
    right: bool = True


@dataclass(frozen=True)
class Table:
    """Rows of words under headers; ``foot`` says what was left out or how to read it."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    foot: str = ""


CLIMB_COLUMNS = (
    Column(mark("No."), 0.7),
    Column(mark("From"), 1.3),
    Column(mark("Gain\n{height}"), 0.9),
    Column(mark("Length\n{ground}"), 1.1),
    Column(mark("Grade\n%"), 1.0),
    Column(mark("Up\n{rise}"), 0.9),
    Column(mark("HR\ntop"), 0.8),
    Column(mark("Share\nabove"), 1.0),
    Column(mark("Band left\nafter"), 1.4),
)

EPISODE_COLUMNS = (
    Column(mark("From"), 1.2),
    Column(mark("Lasts"), 1.1),
    Column(mark("Side"), 1.15, right=False),
    Column(mark("Cause"), 1.9, right=False),
    Column(mark("Farthest\nbpm"), 1.3),
    Column(mark("Beyond\nbpm·min"), 1.3),
    Column(mark("Grade\n%"), 0.9),
    Column(mark("Back\nafter"), 1.15),
)

DECOUPLING_COLUMNS = (
    Column(mark("Output taken"), 1.4, right=False),
    Column(mark("Decoupling"), 1.9, right=False),
    Column(mark("First half"), 2.3, right=False),
    Column(mark("Second half"), 2.3, right=False),
    Column(mark("How far to trust it"), 5.3, right=False),
)


def worded(columns: tuple[Column, ...]) -> tuple[Column, ...]:
    """The columns with their headers in the language and the units in force."""
    units = {"height": HEIGHT.unit, "ground": GROUND.unit, "rise": VERTICAL_SPEED.unit}
    return tuple(replace(column, header=tr(column.header).format(**units)) for column in columns)


def climb_table(review: Review, most: int) -> Table:
    """The climbs of most gain, in order of time, with their numbers on the chart."""
    ranked = sorted(range(len(review.climbs)), key=lambda i: -review.climbs[i].gain_m)[:most]
    rows = []
    for i in sorted(ranked):
        climb = review.climbs[i]
        rows.append(
            (
                str(i + 1),
                clock(climb.start_s),
                HEIGHT.figure(climb.gain_m),
                GROUND.figure(climb.length_m),
                figure(_hundredfold(climb.grade_mean), 1),
                VERTICAL_SPEED.figure(_per_second(climb.vertical_speed_m_per_h)),
                figure(climb.hr_top_bpm),
                percent(climb.share_above),
                tr("at the foot") if climb.above_at_foot else minutes_seconds(climb.time_to_exit_s),
            )
        )
    foot = "" if rows else no_climb()
    left = len(review.climbs) - len(rows)
    if left > 0:
        foot = trn("{n} smaller climb not shown.", "{n} smaller climbs not shown.", left).format(n=left)
    return Table(tr("Climbs"), worded(CLIMB_COLUMNS), tuple(rows), foot)


def _hundredfold(share: float | None) -> float | None:
    return None if share is None else 100.0 * share


def _per_second(per_hour: float | None) -> float | None:
    return None if per_hour is None else per_hour / SECONDS_PER_HOUR


def episode_table(review: Review, most: int) -> Table:
    """The episodes farthest and longest out of band, in order of time."""
    episodes, causes = review.episodes, review.causes
    ranked = sorted(range(len(episodes)), key=lambda i: -episodes[i].bpm_minutes)[:most]
    rows = []
    for i in sorted(ranked):
        episode = episodes[i]
        cause = None if causes is None else causes.main_cause(review.track, episode.start_s, episode.end_s)
        rows.append(
            (
                clock(episode.start_s),
                minutes_seconds(episode.end_s - episode.start_s),
                key_name(episode.direction),
                tr("not known") if cause is None else key_name(cause),
                figure(episode.peak_bpm),
                figure(episode.bpm_minutes),
                figure(_hundredfold(episode.grade)),
                minutes_seconds(episode.return_s),
            )
        )
    foot = "" if rows else tr("The band was never left for 10 s or more.")
    if not np.isfinite(review.track.hr_bpm).any():
        foot = tr("Not known without heart rate.")
    left = len(episodes) - len(rows)
    if left > 0:
        foot = trn("{n} smaller episode not shown.", "{n} smaller episodes not shown.", left).format(n=left)
    return Table(tr("Out of band"), worded(EPISODE_COLUMNS), tuple(rows), foot)


def decoupling_table(review: Review) -> Table:
    """The plain rows and the terrain-fair one; positive = heart rate rose for the same output."""
    found = review.decoupling
    work = tr("recorded power") if found.work.output is Output.POWER else tr("work rate")
    rows = (_plain(tr("speed"), found.pace), _plain(work, found.work), _fair(review.terrain_fair))
    foot = tr(
        "Positive: the heart rate rose for the same output. Only the terrain-fair row may be compared from "
        "one terrain to another. Left out of the first two rows: {plain}; of the last: {fair}."
    ).format(plain=_left_out(found.pace.excluded_s), fair=_left_out(review.terrain_fair.excluded_s))
    title = tr("Decoupling, second half against first")
    return Table(title, worded(DECOUPLING_COLUMNS), rows, foot)


def _plain(name: str, row: HalfComparison) -> tuple[str, ...]:
    share = tr("not known") if row.percent is None else f"{figure(row.percent, 1)} %"
    first = _output(row.first_output, row.first_hr_bpm, row.output)
    second = _output(row.second_output, row.second_hr_bpm, row.output)
    return name, share, first, second, f"{begun(key_name(row.verdict))}. {say(row.reason)}".strip()


def _fair(row: TerrainFair) -> tuple[str, ...]:
    share = tr("not known") if row.percent is None else f"{figure(row.percent, 1)} %"
    if row.interval_percent is not None:
        share += "\n" + _interval(row.interval_percent)
    trust = f"{begun(key_name(row.status))}. {say(row.reason)}".strip()
    if row.drift_bpm_per_h is not None:
        trust += " " + _drift(row.drift_bpm_per_h, row.drift_interval_bpm_per_h)
    same = [
        "" if bpm is None else tr("same work at {bpm} bpm").format(bpm=figure(bpm))
        for bpm in (row.first_hr_bpm, row.second_hr_bpm)
    ]
    return tr("terrain-fair"), share, *same, trust


def _interval(ends: tuple[float, float]) -> str:
    low, high = (figure(end, 1) for end in ends)
    return tr("95 %: {low} to {high}").format(low=low, high=high)


def _drift(drift: float, interval: tuple[float, float] | None) -> str:
    if interval is None:
        return tr("Drift {drift} bpm/h.").format(drift=figure(drift, 1))
    return tr("Drift {drift} bpm/h ({interval}).").format(
        drift=figure(drift, 1), interval=_interval(interval)
    )


def _output(value: float | None, hr_bpm: float | None, of: Output) -> str:
    if value is None:
        return ""
    shown = SPEED.text(value) if of is Output.SPEED else f"{figure(value, 2)} W/kg"
    return tr("{output} at {bpm} bpm").format(output=shown, bpm=figure(hr_bpm))


def _left_out(excluded_s: dict[LeftOut, float]) -> str:
    parts = [f"{key_name(name)} ({duration(s)})" for name, s in excluded_s.items() if s >= 1]
    return ", ".join(parts) or tr("nothing")
