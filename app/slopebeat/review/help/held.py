"""How well a figure held, said on its page: from what benchmarks measured, or that it was not compared."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from slopebeat.model.codec import decode
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import decimal_sign
from slopebeat.review.help.guide import guide_folder

WHO = {"rider": mark("a rider"), "walker": mark("a walker")}

NEXT_SHARE = mark(
    "On real months of {who}, each outing foretold from the earlier ones alone ({day}): going as usual the "
    "share in band was off by {usual} points in {usual_cases} cases (the median share so far: "
    "{usual_simplest}) and the 80 % interval held in {usual_holds}; where the mean lay near the middle of "
    "the band off by {kept} points in {kept_cases} cases ({kept_simplest}), held in {kept_holds}."
)
NEXT_CLOCK = mark(
    "On real months of {who} ({day}) the time on the clock to 45 minutes in band was off by {usual} % going "
    "as usual (by the median share so far: {usual_simplest} %), the 80 % interval held in {usual_holds}; "
    "where the mean lay near the middle of the band {kept} % ({kept_simplest} %), held in {kept_holds}."
)
TIME = mark(
    "On {usual_cases} real outings of {who}, each foretold from the earlier ones alone ({day}): time off by "
    "{usual} % as usual (by the rule of thumb: {usual_simplest} %), the 80 % interval held in "
    "{usual_holds}; with the mean heart rate known {known} % ({known_simplest} %), held in {known_holds}."
)
MINUTES = mark(
    "On {cases} real outings of {who}, each foretold from the earlier ones alone ({day}): minutes in band "
    "off by {usual} as usual (by the median share and the rule of thumb: {usual_simplest}), the 80 % "
    "interval held in {usual_holds}; with the mean heart rate known {known}, held in {known_holds}."
)
HEART = mark(
    "On {cases} real outings of {who}, each foretold from the earlier ones alone ({day}): heart rate off by "
    "{error} bpm on the mean, by a straight line on work {simplest}."
)
PLACES = mark(
    "On {passes} passes over places gone before, on real months of {who} ({day}): heart rate foretold at "
    "equal speed off by {error} bpm, by the mean of earlier passes there {there}, by the mean of all "
    "{everywhere}."
)
MONTHS = mark(
    "In simulated months ({day}), after {weeks} weeks a lasting change was called in {still} % where "
    "nothing changed, in {wanders} % where fitness only wandered and in {changes} % where the heart rate "
    "fell; the 95 % interval held in {low} to {high} %. Of real months the truth is not known: there it was "
    "not compared with what happened next."
)
DECOUPLING = mark(
    "On simulated outings of known drift ({day}) off by {life} points in a life-like world and {harsh} in a "
    "harsh one, the row on speed by {life_speed} and {harsh_speed}; the 95 % interval held in {life_holds} "
    "and {harsh_holds}. On real outings it was not compared with what happened next."
)
CAUSES = mark(
    "On simulated outings ({day}) {life} % of the seconds were named rightly in a life-like world and "
    "{harsh} % in a harsh one. On real outings it was not compared with what happened next."
)
HOLD = mark(
    "On simulated outings ({day}) the speed was off by {life} % in the middle in a life-like world and "
    "{harsh} % in a harsh one; the interval held in {life_holds} and {harsh_holds}. On real outings it was "
    "not compared with what happened next."
)
CLIMBS = mark(
    "On simulated outings ({day}) the share in band of climbs held so was off by {life} points in a "
    "life-like world and {harsh} in a harsh one (left as it was: {life_left} and {harsh_left}); the 80 % "
    "interval held in {life_holds} and {harsh_holds}. On real outings it was not compared with what "
    "happened next."
)

SENTENCES: Mapping[str, str] = {
    "share": NEXT_SHARE,
    "clock": NEXT_CLOCK,
    "time": TIME,
    "minutes": MINUTES,
    "heart": HEART,
    "ground": PLACES,
    "months": MONTHS,
    "decoupling": DECOUPLING,
    "causes": CAUSES,
    "hold": HOLD,
    "held": CLIMBS,
}
"""By the kind of comparison in :func:`measured`."""

HELD: Mapping[str, tuple[str, ...]] = {
    "needed": ("share", "clock"),
    "price": ("share", "clock"),
    "price.as_usual": ("clock",),
    "price.aimed": ("clock",),
    "fitted": ("heart",),
    "causes": ("causes",),
    "episode.cause": ("causes",),
    "held.speed": ("held",),
    "hold.speed": ("hold",),
    "hold.interval": ("hold",),
    "terrain_fair": ("decoupling",),
    "list.terrain_fair": ("decoupling",),
    "months.decoupling": ("decoupling",),
    "months.level": ("months",),
    "months.verdict": ("months",),
    "ground.levels": ("ground",),
    "pass.equal": ("ground",),
    "shared.difference": ("ground",),
    "plan.time": ("time",),
    "plan.in_band": ("minutes",),
    "pace.total": ("time",),
    "pace.in_band": ("minutes",),
}
"""The kinds of comparison a figure was held to; all others were held to none."""

ENTERED = frozenset(
    {"start", "sport", "band", "target", "masses", "plan_view", "doubts", "notes", "terrain_fair.known"}
)
"""What is entered, a view or an assumption: no figure that could hold."""


@cache
def measured() -> Mapping[str, tuple[str, Mapping[str, str]]]:
    """The day and the figures of each kind of comparison, as ``tests/benchmarks/held_to.py`` writes them."""
    folder = guide_folder()
    if folder is None:
        return {}
    return decode((folder / "measured.json").read_bytes(), dict[str, tuple[str, dict[str, str]]])


def how_it_held(key: str) -> str:
    """How well the figure of this key held, in the language in force; empty for what is no figure."""
    if key in ENTERED:
        return ""
    kinds = [kind for kind in HELD.get(key, ()) if kind in measured()]
    if not kinds:
        return tr("Not compared with what happened next.")
    return " ".join(_said(kind) for kind in kinds)


def _said(kind: str) -> str:
    day, named = measured()[kind]
    figures = {name: value.replace(".", decimal_sign()) for name, value in named.items()}
    if "who" in named:
        figures["who"] = tr(WHO[named["who"]])
    return tr(SENTENCES[kind]).format(day=day, **figures)
