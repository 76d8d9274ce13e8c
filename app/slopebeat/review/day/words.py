"""A day in parts in plain sentences."""

from __future__ import annotations

from slopebeat.analysis.day.drift import DayDrift
from slopebeat.model.language import tr, trn
from slopebeat.model.units import duration
from slopebeat.review.answer import counted_sentences
from slopebeat.review.day.day import Day
from slopebeat.review.present.account import sums
from slopebeat.review.present.decoupling import bend_sentence, signed_bpm


def day_title(day: Day) -> str:
    """When the day began and of how many parts it is."""
    text = trn("Outing in {n} part, {start}", "Outing in {n} parts, {start}", len(day.parts))
    return text.format(n=len(day.parts), start=day.parts[0].recording.start_text)


def day_answer(day: Day) -> tuple[str, ...]:
    """What the day was worth; the first sentence says most."""
    if day.account is None or day.extension is None:
        return (tr("Set a band for every part to see what counted over the day."),)
    return counted_sentences(day.account.parts, day.extension)


def day_sums(day: Day) -> str:
    """How the account adds up to the span of the day."""
    return "" if day.account is None else sums(day.account.parts, day.account.all_between_s)


def day_span(day: Day) -> str:
    """How long the day was, and how much of it lay between parts."""
    between = sum(day.between_s)
    return tr("{span} from first to last record, {between} of it between parts").format(
        span=duration(day.span_s), between=duration(between)
    )


def drift_sentences(drift: DayDrift) -> tuple[str, ...]:
    """What the heart rate did over the day at unchanged work."""
    if drift.bpm_per_h is None or drift.interval_bpm_per_h is None:
        return (
            tr(
                "How the heart rate drifted over the day cannot be told: in no part could it be fitted to "
                "work for half an hour or more."
            ),
        )
    low, high = (signed_bpm(each) for each in drift.interval_bpm_per_h)
    fitted = [number for number, each in enumerate(drift.parts, 1) if each is not None]
    figures = {"drift": signed_bpm(drift.bpm_per_h), "low": low, "high": high}
    if len(fitted) == 1 < len(drift.parts):
        text = tr(
            "In part {n}, the only one that could be fitted to work, the heart rate changed by {drift} bpm "
            "an hour at unchanged work (95 %: {low} to {high}). Of the other parts nothing is known."
        )
        sentences = [text.format(n=fitted[0], **figures)]
    else:
        text = tr(
            "Over the day the heart rate changed by {drift} bpm an hour at unchanged work (95 %: {low} to "
            "{high}). Each part was set against its own usual work and its own level; {n} of {all} parts "
            "could be fitted."
        )
        sentences = [text.format(n=len(fitted), all=len(drift.parts), **figures)]
    if drift.disagree:
        sentences.append(
            tr("The parts drifted differently, so the interval is wider than each would ask for.")
        )
    if drift.bend is not None:
        sentences.append(bend_sentence(drift.bend))
    return tuple(sentences)
