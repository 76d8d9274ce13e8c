"""The months of an athlete whose outings are in a library."""

from __future__ import annotations

from datetime import date

from slopebeat.analysis.months.choice import Choice
from slopebeat.library.store import Library
from slopebeat.model.language import trn
from slopebeat.model.people import Athlete
from slopebeat.review.imports.recompute import recompute
from slopebeat.review.months.months import ChosenEvidence, Months, review_months
from slopebeat.review.summary import COMPUTATION_VERSION
from slopebeat.review.words.messages import say, stale_sentences


def months_of(library: Library, athlete: Athlete, choice: Choice) -> tuple[Months, tuple[str, ...]]:
    """The months of the outings chosen, and sentences on what is missing or damaged in them.

    Weeks run to today, or to the last day chosen where that is earlier.
    """
    results = library.results
    summaries, kept = results.summaries(athlete.identity), results.evidence(athlete.identity)
    if library.damage.found:
        # A result that cannot be read is computed anew from the file kept of it.
        recompute(library, athlete.identity, few_here=True)
        summaries, kept = results.summaries(athlete.identity), results.evidence(athlete.identity)
    taught = {each.identity: ChosenEvidence(each.evidence, each.teaches) for each in kept}
    teaching = {id(one): taught[identity] for identity, one in summaries.items() if identity in taught}
    missing = library.outings.count(athlete.identity) - len(summaries)
    stale = len(library.stale_outings(COMPUTATION_VERSION, athlete.identity)) - missing
    prescribed = library.inputs(athlete.identity).prescribed
    until = min(choice.last_day or date.max, date.today())
    months = review_months(summaries.values(), prescribed, choice, teaching, until=until)
    return months, (*map(say, library.damage.found), *_missing(missing), *stale_sentences(stale))


def _missing(count: int) -> tuple[str, ...]:
    """A sentence on outings whose figures are not there."""
    text = trn(
        "{n} outing is not reviewed yet and not in these figures.",
        "{n} outings are not reviewed yet and not in these figures.",
        count,
    )
    return (text.format(n=count),) if count > 0 else ()
