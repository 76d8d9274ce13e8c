"""What ground costs: the columns of the table, in the window, the letter, the terminal, JSON and CSV."""

from __future__ import annotations

from slopebeat.analysis.price.next_outing import NextOuting, NoLength
from slopebeat.model.language import mark, tr
from slopebeat.review.answer import length
from slopebeat.review.months.changes import group_words
from slopebeat.review.present import kinds
from slopebeat.review.present.figure import (
    PROJECT_CHOICE,
    Explanation,
    Figure,
    Topic,
    in_files,
    shown_everywhere,
)
from slopebeat.review.price.words import kind_words

NO_LENGTH_WORDS = {
    NoLength.OFF_BAND: mark("none: off the band"),
    NoLength.TOO_LONG: mark("none that is sensible"),
    NoLength.NO_HEART: mark("none: no heart rate"),
}


def no_length_words(answer: NextOuting) -> str:
    """Why there is no length, in a table."""
    return tr(NO_LENGTH_WORDS[answer.reason or NoLength.NO_HEART])


def _length(answer: NextOuting) -> str:
    return no_length_words(answer) if answer.needed_s is None else length(answer.needed_s)


def _way(key: str, way: str, name: str, line: str, text: str) -> tuple[Figure, ...]:
    """The figures of one way to go: the length as shown, and all ends for files."""
    ends = (("", "middle"), ("_low", "low"), ("_high", "high"))
    shown = shown_everywhere(
        key,
        name,
        line,
        text,
        PROJECT_CHOICE,
        kind=kinds.Kind(str, words=True),
        field=f"answers.{way}.needed_s.middle",
        words=lambda row: _length(getattr(row.answers, way)),
    )
    lengths = (
        in_files(
            f"{key}.clock{end}",
            kind=kinds.AT,
            field=f"answers.{way}.needed_s.{of}",
            json=f"{way}_clock{end}_s",
            csv=f"{way}_clock{end}_s",
        )
        for end, of in ends
    )
    shares = (
        in_files(
            f"{key}.share{end}",
            kind=kinds.SHARE,
            field=f"answers.{way}.share.{of}",
            json=f"{way}_share{end}",
            csv=f"{way}_share{end}_percent",
        )
        for end, of in ends
    )
    why = in_files(f"{key}.reason", field=f"answers.{way}.reason", kind=kinds.WORDS, json=f"{way}_no_length")
    return (shown, *lengths, *shares, why)


_AS_USUAL = _way(
    "price.as_usual",
    "as_usual",
    mark("Going as usual"),
    mark("Time on the clock for the prescribed minutes, with the mean heart rate where it usually lands."),
    mark(
        "Told from mean and spread of the heart rate of the outings so far; those of a kind are "
        "drawn towards all of the sport. In brackets the interval that should hold 80 % of next times."
    ),
)

_AIMED = _way(
    "price.aimed",
    "aimed",
    mark("With the mean\nkept in the band"),
    mark("The same with the mean heart rate kept in the middle of the band: what the ground itself costs."),
    mark(
        "The mean lands within some 4.5 bpm of the middle, as it does when one aims at it; the spread "
        "grows with the unevenness of the work. So the same minutes take longer where work is uneven, "
        "however well one aims: this is why sessions on terrain need extra time."
    ),
)

AS_USUAL, AIMED = _AS_USUAL[0], _AIMED[0]
"""Both ways to go, as columns have them."""

PRICE_FIGURES: tuple[Figure, ...] = (
    shown_everywhere(
        "price.sport",
        mark("Sport"),
        mark("Sports are never pooled; treadmill and trainer count with theirs."),
        kind=kinds.WORDS,
        json="sport",
        csv="sport",
        words=lambda row: group_words(row.sport),
        leads=True,
    ),
    shown_everywhere(
        "price.kind",
        mark("Kind of ground"),
        mark("By how uneven the work of its minutes was: steady, gentle, mixed, stop and go."),
        mark(
            "The standard deviation of the minutes' work over their mean: on foot under 0.20 steady, under "
            "0.30 gentle, under 0.45 mixed, above stop and go; on a bike 0.35, 0.45 and 0.60. It tells the "
            "spread of the heart rate far better than ascent for each kilometre does. Sessions without "
            "positions and without ground are indoors and count as steady. It is not the terrain of the "
            "list, which goes by grades."
        ),
        PROJECT_CHOICE,
        kind=kinds.WORDS,
        get=lambda _, row: str(row.kind),
        json="kind",
        csv="kind",
        words=kind_words,
        leads=True,
    ),
    shown_everywhere(
        "price.outings",
        mark("Outings"),
        mark("Of this kind with heart rate; the interval is told from all of the sport."),
        json="outings",
        csv="outings",
    ),
    in_files("price.indoors", json="indoors", csv="indoors"),
    in_files("price.variation", kind=kinds.number_of(2), field="variation", json="work_variation"),
    in_files("price.band.low", get=lambda _, row: row.band.lower_bpm, json="band_lower_bpm"),
    in_files("price.band.high", get=lambda _, row: row.band.upper_bpm, json="band_upper_bpm"),
    in_files("price.of_sport", field="answers.as_usual.outings", json="outings_of_sport"),
    in_files("price.off", field="answers.as_usual.off_bpm", json="mean_off_middle_bpm"),
    *_AS_USUAL,
    *_AIMED,
)
"""The row is a :class:`PricedGround`."""

ABOUT = Explanation(
    "price",
    mark("What ground costs"),
    mark(
        "How long the prescribed minutes in band take on each kind of ground, from the athlete's own outings."
    ),
    mark(
        "An outing is summed up by the mean and the spread of its trusted heart rate; both give the share "
        "of any band. Minutes in band come in spells, so the clock to the target differs more than the "
        "share of a whole outing does. Where none of the last ten means lay inside the band no length is "
        "given: going on for longer does not help."
    ),
    mark("A definition of this program; the normal distribution and Student's are standard statistics."),
)

AEROBIC_GAP = Explanation(
    "price.gap",
    mark("Aerobic gap"),
    mark("How far the hard threshold's heart rate lies over the upper edge of the band."),
    mark(
        "(Heart rate at the hard threshold - upper edge) / upper edge. The hard threshold is entered with a "
        "band, or is the heart rate at 4.0 mmol/L of a lactate step test (Heck et al. 1985, from memory); "
        "with it goes the range of that and of the modified largest distance from the chord (Bishop 1998), "
        "because methods disagree. Over a tenth is called a gap, in which the base is trained before "
        "anything harder."
    ),
    mark("The tenth is common practice, no source."),
    mark(
        "Lactate and maximal tests need medical clearance and a trained person. A new band changes the "
        "figure as well as training does."
    ),
)

PRICE = Topic("price", mark("What ground costs"), (ABOUT, *PRICE_FIGURES, AEROBIC_GAP))
