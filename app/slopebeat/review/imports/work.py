"""What the worker processes do: read a file, review its activities, and hand back what the library keeps."""

from __future__ import annotations

from dataclasses import dataclass, replace

from slopebeat.cleaning.clean import clean
from slopebeat.files.progress import Progress
from slopebeat.files.reading import read
from slopebeat.library.imports import IncomingOuting
from slopebeat.library.outings import Original, OutingFacts, packed
from slopebeat.library.results import Inputs, Result, StaleOuting, input_key
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.marks import Mark, MarkState
from slopebeat.model.people import Ground
from slopebeat.model.recording import Recording, Sport, local_day
from slopebeat.review.duplicates import Trace, trace_of
from slopebeat.review.earlier import BY_EARLIER
from slopebeat.review.evidence import evidence_of
from slopebeat.review.ground.way import way_of
from slopebeat.review.imports.sources import printable
from slopebeat.review.outing import measure_recording
from slopebeat.review.summary import COMPUTATION_VERSION, summarise


@dataclass(frozen=True)
class Order:
    """A file to read and review: its bytes, read from the disk or an archive only once, and their hash."""

    name: str
    file_name: str
    data: bytes
    content_hash: str
    inputs: Inputs
    load_kg: float = 0.0
    load_until_s: float | None = None


@dataclass(frozen=True)
class ReadOutcome:
    """What came of an order: what to keep, or a sentence on why there is nothing.

    ``traces`` and ``proposed``, the marks of cleaning, are those of each arrival.
    """

    original: Original | None = None
    arrivals: tuple[IncomingOuting, ...] = ()
    problem: str | None = None
    traces: tuple[Trace, ...] = ()
    proposed: tuple[tuple[Mark, ...], ...] = ()


@dataclass(frozen=True)
class ReviewAgain:
    """An outing to review again from the file kept of it."""

    stale: StaleOuting
    data: bytes


def read_and_review(order: Order, progress: Progress) -> ReadOutcome:
    """Carry out one order; ``progress`` stops the reading by raising Cancelled."""
    try:
        recordings = read(order.data, progress, order.file_name, order.content_hash).recordings
        made = [
            _arrival(_named(recording, order), index, order) for index, recording in enumerate(recordings)
        ]
    except UserError as problem:
        return ReadOutcome(problem=str(problem))
    if not made:
        return ReadOutcome(problem=tr("{file} holds no activity.").format(file=order.file_name))
    arrivals, proposed = zip(*made, strict=True)
    traces = tuple(trace_of(recording) for recording in recordings)
    original = packed(order.data, order.content_hash)
    return ReadOutcome(original, arrivals, traces=traces, proposed=proposed)


def review_again(again: ReviewAgain, progress: Progress) -> Result | str:
    """The result of an outing as it has to be now, or a sentence on why there is none."""
    outing = again.stale.outing
    try:
        recordings = read(again.data, progress, outing.file_name).recordings
        if outing.activity >= len(recordings):
            text = tr("{file} holds no activity number {number} any more.")
            return text.format(file=outing.file_name, number=outing.activity + 1)
        review = measure_recording(
            recordings[outing.activity], again.stale.aim, _own(again.stale.marks), again.stale.notes
        )
    except UserError as problem:
        return str(problem)
    return Result(
        summarise(review),
        COMPUTATION_VERSION,
        again.stale.input_key,
        evidence_of(review),
        way_of(review, again.stale.notes),
    )


def _own(marks: tuple[Mark, ...] | None) -> tuple[Mark, ...] | None:
    """Decided marks without what earlier outings merely propose: that must not feed on later ones."""
    if marks is None:
        return None
    return tuple(m for m in marks if m.reason not in BY_EARLIER or m.state is not MarkState.PROPOSED)


def _named(recording: Recording, order: Order) -> Recording:
    title = printable(recording.title or order.file_name)
    return replace(recording, title=title, file_name=order.file_name)


def _arrival(recording: Recording, index: int, order: Order) -> tuple[IncomingOuting, tuple[Mark, ...]]:
    """What to keep of a recording, and the marks cleaning proposes on it."""
    # Only where the file does not say which ground's band holds does it take the cleaning to tell.
    cleaned = clean(recording) if recording.sport is Sport.UNKNOWN else None
    on_bike = recording.sport.on_bike if cleaned is None else cleaned.track.on_bike
    ground = Ground.BIKE if on_bike else Ground.FOOT
    day = local_day(recording.start_utc, recording.utc_offset_s)
    aim = order.inputs.aim(ground, day, order.load_kg, order.load_until_s)
    review = measure_recording(recording, aim, cleaned=cleaned)
    key = input_key(aim, ground)
    result = Result(summarise(review), COMPUTATION_VERSION, key, evidence_of(review), way_of(review))
    facts = OutingFacts(
        index,
        recording.start_utc,
        recording.utc_offset_s,
        str(recording.sport),
        on_bike,
        recording.title,
    )
    return IncomingOuting(facts, result, order.load_kg, order.load_until_s), review.marks
