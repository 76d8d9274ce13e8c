"""Ground gone before: the columns of places and of their passes, and what both are."""

from __future__ import annotations

from slopebeat.analysis.ground.equal_speed import pass_sd_bpm
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import MASS, MISSING, TEMPERATURE, figure
from slopebeat.model.numerics import REACH_95
from slopebeat.model.way import CLIMB
from slopebeat.review.ground.ground import NotCompared, PassRow, PlaceRow, not_compared
from slopebeat.review.ground.words import group_name, place_name
from slopebeat.review.present import kinds
from slopebeat.review.present.figure import PROJECT_CHOICE, Explanation, Figure, Topic, in_files, on_screen


def _interval(row: PlaceRow) -> str:
    change = row.groups[0].change
    if change is None:
        return ""
    return tr("{low} to {high}").format(low=figure(change.low_bpm), high=figure(change.high_bpm))


def _of_place(key: str, field: str, kind: kinds.Kind, name: str = "", line: str = "") -> Figure:
    return in_files(key, name, line, kind=kind, json=field, get=lambda i, row: getattr(row.place, field))


PLACE_FIGURES: tuple[Figure, ...] = (
    on_screen(
        "ground.place",
        mark("Place"),
        mark("A climb of 30 m and more or a stretch of 500 m and more, gone in the same direction."),
        mark(
            "Places are found by geometry, from the positions of the recordings: ways that run together in "
            "one direction, within what receivers are off. A place is cut once and kept; an outing that "
            "goes over it from end to end has passed it. On foot long stretches are cut into pieces of "
            "about a kilometre, on a bike of about three."
        ),
        mark("A method of this program."),
        mark(
            "On invented outings whose truth is known 99.9 % of the ground gone before is found and 99 % of "
            "what is said is right, with positions off by 3 to 5 m; at 8 to 10 m 97 to 98 % is found. Paths "
            "nearer than about 15 m to one another cannot be told apart."
        ),
        get=lambda i, row: place_name(row.place),
        kind=kinds.WORDS,
    ),
    _of_place("ground.kind", "kind", kinds.WORDS),
    _of_place("ground.length", "length_m", kinds.WAYS, mark("Length"), mark("Along the way.")),
    _of_place(
        "ground.gain",
        "gain_m",
        kinds.HEIGHTS,
        mark("Gain"),
        mark("How much higher its end is than its beginning."),
    ),
    on_screen(
        "ground.times",
        mark("Passes"),
        mark("How often the place was gone over in all."),
        get=lambda i, row: len(row.passes),
        json="times",
    ),
    on_screen(
        "ground.days",
        mark("Days to\ncompare"),
        mark(
            "Days of one sport and source of work with a heart rate at equal speed: of those that have most."
        ),
        get=lambda i, row: row.groups[0].days,
        json="days",
    ),
    on_screen(
        "ground.change",
        mark("Later half,\nbpm"),
        mark(
            "Heart rate at equal speed in the later half of the days less that in the earlier; from three "
            "days on."
        ),
        get=lambda i, row: getattr(row.groups[0].change, "change_bpm", None),
        kind=kinds.BARE_BPM,
    ),
    on_screen(
        "ground.interval",
        mark("95 %\ninterval"),
        mark("Where it holds no change (0), none can be told."),
        get=lambda i, row: _interval(row),
        kind=kinds.Kind(str),
    ),
    on_screen(
        "ground.last",
        mark("Last\npass"),
        mark("The day of the latest pass."),
        get=lambda i, row: row.last_day.isoformat(),
        kind=kinds.WORDS,
        json="last_day",
    ),
    on_screen(
        "ground.number",
        mark("No."),
        mark("Number of the place in this library; it says nothing of where it lies."),
        json="number",
    ),
)
"""The row is a place with its passes."""

NOT_COMPARED_WORDS = {
    NotCompared.NO_HEART_RATE: mark("no trusted heart rate"),
    NotCompared.STOOD: mark("stood over a tenth of it"),
    NotCompared.NO_EFFORT: mark("speed not known"),
}


def _equal(row: PassRow) -> str:
    """With the interval of a single pass, which is wide."""
    if row.equal_bpm is None:
        return MISSING
    reach = REACH_95 * pass_sd_bpm(1)
    return f"{figure(row.equal_bpm)} ± {figure(reach)}"


def _measured(key: str, name: str, line: str, field: str, kind: kinds.Kind) -> Figure:
    return on_screen(
        key, name, line, kind=kind, json=field, get=lambda i, row: getattr(row.kept.figures, field)
    )


PASS_FIGURES: tuple[Figure, ...] = (
    on_screen(
        "pass.day",
        mark("Date"),
        mark("Local day of the outing."),
        get=lambda i, row: row.day.isoformat(),
        kind=kinds.WORDS,
        json="day",
    ),
    _measured(
        "pass.moving",
        mark("Moving"),
        mark("Time over the place without standing and pauses."),
        "moving_s",
        kinds.LASTS,
    ),
    _measured("pass.speed", mark("Speed"), mark("Length over moving time."), "speed_mps", kinds.SPEEDS),
    _measured(
        "pass.vertical",
        mark("Vertical"),
        mark("Gain over moving time, on climbs."),
        "climb_m_per_h",
        kinds.HOURLY_RISES,
    ),
    on_screen(
        "pass.hr",
        mark("Heart rate\nthere"),
        mark("Mean after the first minute; never to be read without the speed."),
        mark(
            "Trusted heart rate while moving, from a minute after the beginning of the place on: before "
            "that it still answers what was before."
        ),
        PROJECT_CHOICE,
        mark("A fitter person goes faster, and the heart rate stays: by itself it hides progress."),
        get=lambda i, row: row.kept.figures.hr_bpm,
        kind=kinds.BARE_BPM,
        json="hr_bpm",
    ),
    on_screen(
        "pass.equal",
        mark("at equal\nspeed"),
        mark("What the heart rate would have been at the usual speed of this place, with its 95 % interval."),
        mark(
            "The slope of heart rate on how fast it was gone is taken between neighbouring days at the same "
            "places, all places together: on a bike on the logarithm of speed, with a power meter on the "
            "power, on foot on the work rate, both late and smoothed as a heart answers them. Usual is the "
            "middle of all passes over the place of that sport and source of work. An outing's own slope is "
            "never used."
        ),
        mark("A method of this program, with a stated expectation of the slope where days are few."),
        mark(
            "The interval says how far one pass differs from other days where nothing changes. On foot it is "
            "checked on invented outings only."
        ),
        get=lambda i, row: row.equal_bpm,
        words=_equal,
        kind=kinds.BARE_BPM,
        json="hr_equal_speed_bpm",
    ),
    on_screen(
        "pass.not_compared",
        mark("Not compared,\nas"),
        mark("Why the heart rate of the pass is not set beside the others."),
        get=lambda i, row: not_compared(row.kept),
        words=lambda row: tr(NOT_COMPARED_WORDS[why]) if (why := not_compared(row.kept)) else "",
        kind=kinds.WORDS,
        json="not_compared",
    ),
    _measured(
        "pass.into",
        mark("Into the\nouting"),
        mark("When the place was reached, pauses among it."),
        "start_s",
        kinds.AT,
    ),
    _measured(
        "pass.stopped",
        mark("Stopped"),
        mark("Standing and pauses at the place; over a tenth of it, its heart rate is not compared."),
        "stopped_s",
        kinds.LASTS,
    ),
    on_screen(
        "pass.load",
        mark("Load"),
        mark("Carried at the beginning of the place."),
        get=lambda i, row: row.kept.figures.load_kg or None,
        kind=kinds.Kind(MASS.figure, MASS),
        json="load_kg",
    ),
    on_screen(
        "pass.temperature",
        mark("Air"),
        mark("Mean temperature of the outing as its device measured it, on the arm or in the sun."),
        get=lambda i, row: row.kept.facts.temperature_c,
        kind=kinds.Kind(TEMPERATURE.figure, TEMPERATURE),
        json="temperature_c",
    ),
    on_screen(
        "pass.outing",
        mark("Outing"),
        mark("The outing the place was gone on."),
        get=lambda i, row: row.kept.title,
        kind=kinds.WORDS,
        json="outing",
    ),
    Figure(
        "pass.group",
        mark("Compared with"),
        mark("Passes of another sport or another source of work are kept apart."),
        get=lambda i, row: group_name(row.group),
        kind=kinds.WORDS,
    ),
)
"""The row is a pass over a place."""


def is_climb(row: PlaceRow) -> bool:
    """Whether a place is a climb."""
    return row.place.kind == CLIMB


def pass_columns(row: PlaceRow) -> tuple[Figure, ...]:
    """The columns of a place's passes: on climbs how quickly height was gained, elsewhere the speed."""
    other = "pass.speed" if is_climb(row) else "pass.vertical"
    return tuple(each for each in PASS_FIGURES if each.key != other)


LEVELS = Explanation(
    "ground.levels",
    mark("Levels of days"),
    mark("How much higher the heart was on a day than it usually is at the same places and speed."),
    mark(
        "The mean over all places gone on the day, each against its own level. The bar is what such a mean "
        "differs by, one standard deviation to each side, where nothing changes: 8 bpm at one place, 4.6 "
        "over five passes, 3.6 over twenty. The sentence sets the later half of the days against the "
        "earlier half."
    ),
    mark("A method of this program; what days differ by was measured on one rider's two years."),
    mark(
        "A heart rate that falls has no cause in it: heat, sleep, a new sensor, wind and company move it, "
        "too. Read it beside the months."
    ),
)

SPLIT = Explanation(
    "ground.split",
    mark("Kept apart"),
    mark("A change of sport or of the source of work splits a place: its two parts are not compared."),
    mark(
        "Bicycles differ in what they roll and how one sits on them; a recording tells them apart only as "
        "far as its sport does."
    ),
)

GONE = Explanation(
    "ground.gone",
    mark("Gone before"),
    mark("Stretches of this way that an earlier outing went over in the same direction."),
    mark(
        "Up to 500 m between two places that one earlier outing went over one after the other count as "
        "gone, too."
    ),
    PROJECT_CHOICE,
)

GROUND = Topic("ground", mark("Same ground"), (*PLACE_FIGURES, *PASS_FIGURES, LEVELS, SPLIT, GONE))
