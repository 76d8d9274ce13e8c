"""What is said of ground that was gone before, in words."""

from __future__ import annotations

from slopebeat.analysis.ground.equal_speed import LEAST_DAYS, POWER, Halves, pass_sd_bpm
from slopebeat.model.evidence import POWER as BY_METER
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import GROUND, HEIGHT, figure
from slopebeat.model.way import CLIMB, Place
from slopebeat.review.ground.ground import (
    NEAR_END_M,
    GroundReview,
    Group,
    GroupAtPlace,
    GroupLevels,
    PlaceRow,
)
from slopebeat.review.ground.repeated import RepeatedGround
from slopebeat.review.words.names import change_interval, on_way, sentence_start, sport_name

BESIDE_MONTHS = mark(
    "Beside the months, not instead of them: here the same ground is compared, so what a cost curve gets "
    "wrong about it cancels. Where the ground is as the curve has it, the months say more, as they use "
    "every outing."
)

EXAMPLES = (1, 5, 20)
"""Places a day for which it is said what days differ by [project choice]."""


def place_name(place: Place) -> str:
    """A place by what it is like: nothing that is kept of it says where it lies."""
    length = GROUND.text(place.length_m)
    if place.kind == CLIMB and place.gain_m is not None:
        return tr("Climb of {gain} over {length}").format(gain=HEIGHT.text(place.gain_m), length=length)
    return tr("Stretch of {length}").format(length=length)


def group_name(group: Group) -> str:
    """Whose heart rates are compared: the sport and, on a bike, where the work rate comes from."""
    sport = sport_name(group.sport)
    if not group.on_bike:
        return sport
    if group.work_source == BY_METER:
        return tr("{sport} with a power meter").format(sport=sport)
    return tr("{sport} without a power meter").format(sport=sport)


def days_alone() -> str:
    """What days differ by where nothing changes: one place says little."""
    amounts = [figure(pass_sd_bpm(count), 1 if count > 1 else 0) for count in EXAMPLES]
    return tr(
        "Heart rate at equal speed differs from day to day by {one} bpm at one place, by {five} bpm over "
        "five passes of a day and by {twenty} bpm over twenty: one place alone says little."
    ).format(one=amounts[0], five=amounts[1], twenty=amounts[2])


def place_sentences(row: PlaceRow) -> tuple[str, ...]:
    """What can be said of a place, and how its passes are kept apart."""
    sentences = [_at_place(group) for group in row.groups[:1]]
    if len(row.groups) > 1:
        parts = [
            tr("{group} {times}").format(group=group_name(each.group), times=times(each.passes))
            for each in row.groups
        ]
        sentences.append(
            tr("Kept apart, as the sport or the source of work changed: {parts}.").format(
                parts="; ".join(parts)
            )
        )
    return tuple(sentences)


def times(count: int) -> str:
    """How often: ``once``, ``7 times``."""
    return trn("once", "{n} times", count).format(n=count)


def _at_place(group: GroupAtPlace) -> str:
    if group.days < LEAST_DAYS or group.change is None:
        return _too_few(group.group, group.days)
    text = tr("{group}, {days} from {first} to {last}: {change} One day at one place differs by {sd} bpm.")
    return text.format(
        group=sentence_start(group_name(group.group)),
        days=_days(group.days),
        first=group.first_day.isoformat(),
        last=group.last_day.isoformat(),
        change=halves_sentence(group.change, group.group),
        sd=figure(pass_sd_bpm(1)),
    )


def _days(count: int) -> str:
    return trn("{n} day", "{n} days", count).format(n=count)


def _too_few(group: Group, days: int) -> str:
    return tr("{group}: {days} to compare; nothing is said of fewer than {least}.").format(
        group=sentence_start(group_name(group)), days=_days(days), least=_days(LEAST_DAYS)
    )


def halves_sentence(change: Halves, group: Group) -> str:
    """The later half of the days against the earlier, with its interval and what would have shown."""
    return tr("{moved} ({interval}); {verdict}. With so many days about {seen} bpm would show.").format(
        moved=halves_words(change, group),
        interval=change_interval(change.low_bpm, change.high_bpm, figure),
        verdict=tr("a change") if change.clear else tr("no change can be told"),
        seen=figure(change.seen_bpm),
    )


def halves_words(change: Halves, group: Group) -> str:
    """How far the later half of the days lies from the earlier."""
    size = figure(abs(change.change_bpm))
    equal = tr("at equal power") if group.effort_from == POWER else tr("at equal speed")
    if size == "0":
        text = tr("{equal} heart rate was the same in the later half of the days")
    elif change.change_bpm < 0.0:
        text = tr("{equal} heart rate was {bpm} bpm lower in the later half of the days")
    else:
        text = tr("{equal} heart rate was {bpm} bpm higher in the later half of the days")
    return text.format(equal=equal, bpm=size)


def level_sentence(levels: GroupLevels) -> str:
    """What all places of a group say together."""
    if levels.change is None:
        return _too_few(levels.group, len(levels.days))
    return tr("{group}, {days} on ground gone before: {change}").format(
        group=sentence_start(group_name(levels.group)),
        days=_days(len(levels.days)),
        change=halves_sentence(levels.change, levels.group),
    )


def ground_sentences(ground: GroundReview) -> tuple[str, ...]:
    """What is said over all places, then what to know of it."""
    if not ground.places:
        none = tr(
            "No ground was gone more than once yet, in the same direction for at least 500 m or up a climb."
        )
        return (none, *_left_out(ground))
    sentences = [level_sentence(each) for each in ground.levels]
    return (*sentences, days_alone(), tr(BESIDE_MONTHS), *_left_out(ground))


def _left_out(ground: GroundReview) -> tuple[str, ...]:
    if not ground.left_out:
        return ()
    text = trn(
        "{n} place within {reach} of where outings begin or end is left out, as you chose.",
        "{n} places within {reach} of where outings begin or end are left out, as you chose.",
        ground.left_out,
    )
    return (text.format(n=ground.left_out, reach=on_way(NEAR_END_M)),)


def repeated_sentence(gone: RepeatedGround, whole_m: float) -> str:
    """How much of an outing's way was gone before; empty where nothing was."""
    count = len(gone.stretches)
    if not count:
        return ""
    text = trn(
        "{n} stretch of this way was gone before, {gone} of {whole}.",
        "{n} stretches of this way were gone before, {gone} of {whole}.",
        count,
    )
    length = min(gone.length_m, whole_m)
    return text.format(n=count, gone=GROUND.figure(length, 1), whole=GROUND.text(whole_m, 1))
