"""Decoupling: its rows in words, what they come to in a sentence, and the values JSON has of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from operator import attrgetter

from slopebeat.analysis.day.drift import Bend
from slopebeat.analysis.response.decoupling import HalfComparison, Output, TerrainFair, Verdict
from slopebeat.analysis.response.fit import FitStatus
from slopebeat.analysis.response.grid import TimeLeftOut
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import SPEED, figure
from slopebeat.model.units import clock, duration, known
from slopebeat.review.outing import Review
from slopebeat.review.present import kinds
from slopebeat.review.present.figure import (
    PROJECT_CHOICE,
    Explanation,
    Figure,
    Topic,
    in_files,
    in_tables,
    shown_everywhere,
)
from slopebeat.review.words.messages import say
from slopebeat.review.words.names import key_name, sentence_start


@dataclass(frozen=True)
class DecouplingRow:
    """One row in words; ``tip`` explains what is compared.

    ``interval`` is empty where there is none. ``trust`` begins with the ``verdict``. ``answers`` is False
    where the figure is no answer and is shown small.
    """

    name: str
    tip: str
    figure: str
    interval: str
    first: str
    second: str
    used: str
    verdict: str
    trust: str
    answers: bool

    @property
    def with_interval(self) -> str:
        """The figure, in brackets where it is no answer, with its interval on a line of its own."""
        shown = self.figure if self.answers else f"({self.figure})"
        return f"{shown}\n{self.interval}".strip()


ROW_FIGURES: tuple[Figure, ...] = (
    shown_everywhere(
        "halves.output",
        mark("Output taken"),
        mark("What the heart rate is compared with."),
        kind=kinds.WORDS,
        field="name",
    ),
    shown_everywhere(
        "halves.figure",
        mark("Decoupling"),
        mark("Positive: the heart rate rose for the same output in the second half."),
        mark(
            "With r = mean output / mean heart rate of a half, decoupling = 100 (r1 - r2) / r1. The "
            "halves are of moving time; the first 10 minutes, stops and marked heart rate are left out."
        ),
        mark("Common practice; no limit of it is validated by any study found."),
        mark("The halves of an outing on hills are never the same ground: read the verdict."),
        kind=kinds.WORDS,
        field="with_interval",
    ),
    in_tables(
        "halves.first",
        mark("First half"),
        mark("Mean output and mean heart rate of the first half."),
        kind=kinds.WORDS,
        field="first",
    ),
    in_tables(
        "halves.second",
        mark("Second half"),
        mark("Mean output and mean heart rate of the second half."),
        kind=kinds.WORDS,
        field="second",
    ),
    Figure(
        "halves.used",
        mark("Used and left out"),
        mark("Time that entered, where the halves meet, and what did not enter."),
        kind=kinds.WORDS,
        field="used",
    ),
    shown_everywhere(
        "halves.trust",
        mark("How far to trust it"),
        mark("Whether the figure can be read as a drift of the heart."),
        mark(
            "Terrain decides when more than 20 % of the time was on grades over 3 %, or when ground or "
            "work of the halves differed by more than 3 to 4 %. Too short means halves under 20 "
            "minutes. No verdict hides a figure."
        ),
        PROJECT_CHOICE,
        kind=kinds.WORDS,
        field="trust",
    ),
)
"""The columns; their row is a :class:`DecouplingRow`."""

PACE = Explanation("halves.pace", mark("On speed"), mark("Mean speed per heart beat, as convention has it."))
WORK = Explanation(
    "halves.work", mark("On work rate"), mark("Mean work rate per heart beat; it counts the slope.")
)
FAIR = Explanation(
    "terrain_fair",
    mark("Terrain-fair"),
    mark(
        "A fit of the heart rate to work and slope with its lag: what the same work cost early and "
        "late. Only this row may be compared from one terrain to another. Below it the 95 % "
        "interval."
    ),
    mark(
        "Heart rate = b0 + d time + b1 L(work) + b2 L(climbing) + b3 L(sinking) + a (L200(work) - "
        "L(work)) + error, on means of half a minute. L follows with a delay and a time constant "
        "found in the fit, L200 with one of 200 s: a part of the answer comes slowly. Errors are "
        "remembered for seconds to hours. Decoupling = 100 (1 - early / late), both for the mean "
        "work of the outing. The drift d is given in bpm per hour. After 30 s and more of pause "
        "or gap as much again is left out, at most 3 minutes. Undecided means that the interval "
        "is wider than 8 points: the figure is then no answer, and shown small. Figures kept for "
        "months are computed without what is known of drifts beforehand."
    ),
    mark("A definition of this program, checked against simulated outings of known drift."),
    mark(
        "It needs half an hour of moving with a trusted heart rate. Heat and drink are in the "
        "drift; the fit cannot tell them apart. Of a way up and then down it can tell little: the "
        "cost of ground is known to about a tenth only, and that is part of the interval."
    ),
)

DECOUPLING = Topic(
    "decoupling",
    mark("Decoupling"),
    (
        *ROW_FIGURES,
        PACE,
        WORK,
        FAIR,
        Explanation(
            "terrain_fair.known",
            mark("Known beforehand"),
            mark("What the fit assumes of any heart, before it reads the recording."),
            mark(
                "Mean and standard deviation of each. Time constant 57.6 s, between 38 and 86 s for two in "
                "three; delay 0, 5, 10 or 15 s alike. Drift 3 (3) bpm per hour. Heart rate standing, ten "
                "minutes in, 75 (30) bpm. Work has no assumption of its own. What climbing and sinking "
                "cost beyond the work computed: 0 (12) % of the cost of climbing. Slow part 20 (15) % of "
                "the answer. Added to the interval: 0.3 points, 0.1 for each hour, and 10 % of what ground "
                "moved the heart rate by between the halves."
            ),
            mark(
                "Time constant: Hunt 2015, doi:10.1186/s12938-015-0112-7, 57.6 (23.6) s; delay: Hunt and "
                "Wang 2024, F1000Research 13:894, a first-order answer with a dead time is adequate; slow "
                "part: doi:10.1186/s12938-021-00875-7, two parts fit better than one. Drift: about what "
                "was measured indoors, 2 % in half an hour at 22 °C (Lafrenz 2008, "
                "doi:10.1249/MSS.0b013e3181666ed7) and 9 bpm in two hours (Stevenson 2022, "
                "doi:10.1007/s00421-022-05036-9). All other numbers are choices of this program, made on "
                "simulated outings and checked on others."
            ),
            mark(
                "Who drifts much more than 6 bpm per hour, as in heat (11 % in half an hour at 35 °C), is "
                "read one to two points low by this row."
            ),
        ),
        Explanation(
            "drift_test",
            mark("Steady-hour check"),
            mark("An hour at the upper edge on level ground, judged by its decoupling."),
            mark(
                "When the heart rate drifts little at the upper edge, the edge is taken to be low enough. "
                "The limit is yours; 5 % is common practice without a source."
            ),
            mark("Common practice, no source; no study found validates it."),
            mark("Days alone differ by about 4 points: repeat the test before changing the band."),
        ),
    ),
)


def rows_of(review: Review) -> list[DecouplingRow]:
    """The two plain rows and the terrain-fair one."""
    found = review.decoupling
    work = tr("On recorded power") if found.work.output is Output.POWER else tr(WORK.name)
    return [
        _plain(tr(PACE.name), tr(PACE.line), found.pace),
        _plain(work, tr(WORK.line), found.work),
        _terrain_fair(review.terrain_fair, review.bend),
    ]


def _plain(name: str, tip: str, row: HalfComparison) -> DecouplingRow:
    verdict = f"{sentence_start(key_name(row.verdict))}."
    return DecouplingRow(
        name,
        tip,
        signed(row.percent),
        "",
        _output(row.first_output, row.first_hr_bpm, row.output),
        _output(row.second_output, row.second_hr_bpm, row.output),
        _used(row.used_s, row.split_s, row.excluded_s),
        verdict,
        f"{verdict} {say(row.reason)}".strip(),
        row.verdict is Verdict.STEADY,
    )


def _terrain_fair(row: TerrainFair, bend: Bend | None) -> DecouplingRow:
    """Fitted heart rate for one and the same work, early and late."""
    verdict, interval = f"{sentence_start(key_name(row.status))}.", ""
    trust = f"{verdict} {say(row.reason)}".strip()
    if row.interval_percent is not None:
        low, high = (figure(end, 1) for end in row.interval_percent)
        interval = tr("{low} to {high}").format(low=low, high=high)
    if (response := row.response).drift_bpm_per_h is not None:
        trust += f" {_drift(response.drift_bpm_per_h, response.drift_interval_bpm_per_h)}"
    if bend is not None:
        trust += f" {bend_sentence(bend)}"
    return DecouplingRow(
        tr(FAIR.name),
        tr(FAIR.line),
        signed(row.percent),
        interval,
        _same_work(row.first_hr_bpm),
        _same_work(row.second_hr_bpm),
        _used(response.used_s, None, response.excluded_s),
        verdict,
        trust,
        row.status is FitStatus.USABLE,
    )


def _drift(drift_bpm_per_h: float, interval: tuple[float, float] | None) -> str:
    drift = figure(drift_bpm_per_h, 1)
    if interval is None:
        return tr("Drift {drift} bpm/h.").format(drift=drift)
    low, high = (figure(end, 1) for end in interval)
    return tr("Drift {drift} bpm/h (95 %: {low} to {high}).").format(drift=drift, low=low, high=high)


def signed(percent: float | None) -> str:
    """Percent with its sign, which says whether the heart rate rose."""
    if percent is None or not known(percent):
        return tr("not known")
    return f"{'+' if percent > 0.0 else ''}{figure(percent, 1)} %"


def _output(value: float | None, hr_bpm: float | None, of: Output) -> str:
    if value is None:
        return ""
    shown = f"{SPEED.figure(value, 2)} {SPEED.unit}" if of is Output.SPEED else f"{figure(value, 2)} W/kg"
    return tr("{output}\nat {bpm} bpm").format(output=shown, bpm=figure(hr_bpm))


def _same_work(hr_bpm: float | None) -> str:
    return "" if hr_bpm is None else tr("the same work\nat {bpm} bpm").format(bpm=figure(hr_bpm))


def _used(used_s: float, split_s: float | None, excluded_s: Mapping[TimeLeftOut, float]) -> str:
    used = tr("{time} used").format(time=duration(used_s))
    if split_s is not None:
        used = tr("{time} used, halves meet at {split}").format(time=duration(used_s), split=clock(split_s))
    return f"{used}\n{left_out(excluded_s)}"


def left_out(excluded_s: Mapping[TimeLeftOut, float]) -> str:
    """What did not enter a row, each with its time."""
    out = [
        f"{key_name(reason)}: {duration(seconds)}" for reason, seconds in excluded_s.items() if seconds >= 1
    ]
    return tr("left out: {parts}").format(parts=", ".join(out)) if out else tr("nothing left out")


def _value(json: str, path: str) -> Figure:
    """A value of a review under its name in JSON."""
    return in_files(f"decoupling.{json}", json=json, field=path)


def _end(json: str, path: str, end: int) -> Figure:
    """One end, 0 or 1, of an interval there may be none of."""
    found = attrgetter(path)
    return in_files(
        f"decoupling.{json}",
        json=json,
        get=lambda _, review: None if found(review) is None else found(review)[end],
    )


DECOUPLING_VALUES: tuple[Figure, ...] = (
    _value("pace_percent", "decoupling.pace.percent"),
    _value("work_percent", "decoupling.work.percent"),
    _value("verdict", "decoupling.pace.verdict"),
    _value("reason", "decoupling.pace.reason"),
    _value("used_s", "decoupling.pace.used_s"),
    _value("excluded_s", "decoupling.pace.excluded_s"),
    _value("terrain_fair_percent", "terrain_fair.percent"),
    _end("terrain_fair_low", "terrain_fair.interval_percent", 0),
    _end("terrain_fair_high", "terrain_fair.interval_percent", 1),
    _value("terrain_fair_verdict", "terrain_fair.status"),
    _value("terrain_fair_reason", "terrain_fair.reason"),
    _value("raw_percent", "terrain_fair.raw_percent"),
    _end("raw_low", "terrain_fair.raw_interval_percent", 0),
    _end("raw_high", "terrain_fair.raw_interval_percent", 1),
    _value("drift_bpm_per_h", "response.drift_bpm_per_h"),
    _end("drift_low_bpm_per_h", "response.drift_interval_bpm_per_h", 0),
    _end("drift_high_bpm_per_h", "response.drift_interval_bpm_per_h", 1),
    _value("drift_early_bpm_per_h", "bend.early_bpm_per_h"),
    _value("drift_late_bpm_per_h", "bend.late_bpm_per_h"),
    _value("lag_s", "response.tau_s"),
    _value("delay_s", "response.delay_s"),
    _value("residual_rms_bpm", "response.residual_rms_bpm"),
)
"""Everything JSON says of decoupling; the row is the review. An interval that is not there is null."""


def decoupling_sentence(review: Review) -> str:
    """Whether the heart rate rose for the same work; else why that cannot be known, and what the rows are."""
    fair = review.terrain_fair
    if fair.status is FitStatus.USABLE and fair.percent is not None and fair.interval_percent is not None:
        rise = _rise(fair.percent, fair.interval_percent)
        return rise if review.bend is None else f"{rise} {bend_sentence(review.bend)}"
    steady = any(row.verdict is Verdict.STEADY for row in (review.decoupling.pace, review.decoupling.work))
    if steady:
        then = tr("The ground was even enough to read the halves as they are.")
    else:
        then = tr("The figures in small print are no answer.")
    return f"{_why_not(fair)} {then}"


def bend_sentence(bend: Bend) -> str:
    """How a drift that was not even changed."""
    text = tr(
        "The drift was not even: {early} bpm an hour in the first half of the time, {late} in the second."
    )
    return text.format(early=signed_bpm(bend.early_bpm_per_h), late=signed_bpm(bend.late_bpm_per_h))


def signed_bpm(bpm: float) -> str:
    """Beats a minute with the sign of a rise."""
    return f"{'+' if bpm >= 0.05 else ''}{figure(bpm, 1)}"


def _rise(percent: float, interval_percent: tuple[float, float]) -> str:
    """By its interval: a rise, a fall, or neither."""
    low, high = interval_percent
    if low > 0.0:
        text = tr("For the same work the heart rate rose by {percent} % (95 %: {low} to {high} %).")
    elif high < 0.0:
        percent, low, high = -percent, -high, -low
        text = tr("For the same work the heart rate fell by {percent} % (95 %: {low} to {high} %).")
    else:
        text = tr(
            "For the same work no change of the heart rate can be told: {percent} % "
            "(95 %: {low} to {high} %)."
        )
    return text.format(percent=figure(percent, 1), low=figure(low, 1), high=figure(high, 1))


def _why_not(fair: TerrainFair) -> str:
    if fair.status is FitStatus.UNDECIDED and fair.interval_percent is not None:
        low, high = fair.interval_percent
        text = tr("Whether the heart rate rose for the same work is undecided: {low} to {high} % (95 %).")
        return text.format(low=figure(low, 1), high=figure(high, 1))
    text = tr("Whether the heart rate rose for the same work cannot be told. {reason}")
    return text.format(reason=say(fair.reason)).strip()
