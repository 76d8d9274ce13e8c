"""The report of months: what changed, weeks and figures as pictures, and every outing left out."""

from __future__ import annotations

from collections.abc import Sequence

from slopebeat.analysis.months.weeks import LEAST_SESSION_S
from slopebeat.model.language import tr, trn
from slopebeat.model.people import Athlete
from slopebeat.report.months.charts import series_chart, weeks_chart
from slopebeat.report.months.story import Part, Picture, Section, Story
from slopebeat.review.cautions import cautions
from slopebeat.review.months.changes import DECOUPLING, LEVEL, YIELD, left_out_lists, named_sentences
from slopebeat.review.months.months import Months, Series

DRAWN = (LEVEL, DECOUPLING, YIELD)
"""Figures with a picture, in this order."""


def months_story(athlete: Athlete, months: Months, notes: Sequence[str] = ()) -> Story:
    """Everything the page of the months says of an athlete."""
    parts: list[Part] = [Section(tr("Verdicts"), months.sentences)]
    meanwhile = tuple(text for each in months.changes for text in named_sentences(each, months.outings))
    if meanwhile:
        parts.append(Section(tr("What else changed meanwhile"), meanwhile))
    if months.weeks:
        parts.append(Picture(tr("Minutes in band per week"), weeks_chart(months.weeks)))
        least = tr("A session is an outing with at least {minutes} minutes in band.")
        parts.append(Section("", (least.format(minutes=f"{LEAST_SESSION_S / 60:.0f}"),)))
    for figure in DRAWN:
        parts += [Picture(each.title, series_chart(months, each)) for each in _series(months, figure.name)]
    for head, rows in left_out_lists(months.changes, months.not_drawn, months.outings):
        parts.append(Section(head, tuple(f"{each.title}: {each.reason}" for each in rows)))
    if notes:
        parts.append(Section(tr("What to know about these figures"), tuple(notes)))
    return Story(
        tr("Months of {name}").format(name=athlete.name), _facts(months), tuple(parts), cautions(0, 2)
    )


def _series(months: Months, name: str) -> list[Series]:
    """Of one figure; with more than one point, the one with most outings first."""
    found = [each for each in months.series if each.figure.name == name and each.outing.size > 1]
    return sorted(found, key=lambda each: -each.outing.size)


def _facts(months: Months) -> str:
    outings = trn("{n} outing", "{n} outings", len(months.outings)).format(n=len(months.outings))
    span = trn("{outings} in {n} week", "{outings} in {n} weeks", len(months.weeks))
    told = span.format(outings=outings, n=len(months.weeks))
    if not months.weeks:
        return told
    return f"{told}  ·  {months.weeks[0].iso} – {months.weeks[-1].iso}"
