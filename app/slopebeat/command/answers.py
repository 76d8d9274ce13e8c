"""A review as JSON values and as a page of text for the terminal."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from slopebeat.analysis.account.climbs import Climb
from slopebeat.analysis.price.next_outing import INTERVAL_LEVEL, NextAnswers, NextOuting
from slopebeat.command.common import headers, table
from slopebeat.model.language import tr
from slopebeat.model.measures import SPEED, VERTICAL_SPEED
from slopebeat.model.message import Message
from slopebeat.model.track import CLIMBING_GRADE
from slopebeat.model.units import clock, percent
from slopebeat.review.answer import answer, cautions, why
from slopebeat.review.outing import Review
from slopebeat.review.present.account import ACCOUNT, ACCOUNT_FIGURES
from slopebeat.review.present.climbs import CLIMB_FIGURES
from slopebeat.review.present.decoupling import left_out, rows_of
from slopebeat.review.present.episodes import EPISODE_FIGURES, episode_rows
from slopebeat.review.present.figure import On, json_of, shown_on
from slopebeat.review.present.head import APART, head_line, head_values
from slopebeat.review.present.held import HELD_FIGURES, held_rows, held_sentence, in_band_by_ground
from slopebeat.review.present.hold import HOLD_FIGURES, known_rows
from slopebeat.review.words.names import no_climb, too_steep


def as_values(review: Review, warnings: tuple[str, ...] = ()) -> dict[str, Any]:
    """The answer as JSON values: seconds, metres, beats per minute; null for unknown."""
    account = review.account
    values: dict[str, Any] = head_values(review)
    values |= {} if account is None else json_of(ACCOUNT_FIGURES, 0, account)
    values |= _extension(review)
    if review.causes is not None:
        values["causes_s"] = review.causes.seconds
    values |= {
        "climbs": [json_of(CLIMB_FIGURES, i, each) for i, each in enumerate(review.climbs)],
        "episodes": [json_of(EPISODE_FIGURES, i, each) for i, each in enumerate(episode_rows(review))],
        "decoupling": _decoupling(review),
        "drift_test": _drift_test(review),
        "ceiling": [json_of(HOLD_FIGURES, i, each) for i, each in enumerate(known_rows(review))],
        "ceiling_too_steep_from_grade": None if review.ceiling is None else review.ceiling.gentlest_too_steep,
        "in_band_by_ground_s": in_band_by_ground(review),
        "climbs_held": _held(review),
        "marks": [
            {"start_s": m.start_s, "end_s": m.end_s, "channel": str(m.channel), "reason": str(m.reason)}
            for m in review.marks
            if m.counts
        ],
        "warnings": [*warnings, *review.warnings],
    }
    plain: dict[str, Any] = _plain(values)
    return plain


def _extension(review: Review) -> dict[str, Any]:
    """How much longer, with its interval; nothing without a band."""
    longer = review.extension
    if longer is None:
        return {}
    return {
        "coverage": None if review.account is None else review.account.coverage,
        "yield": longer.yield_share,
        "target_s": longer.target_s,
        "needed_s": longer.needed_s,
        "extra_s": longer.extra_s,
        "missing_s": longer.missing_s,
        "more_s": longer.more_s,
        "extension": _next_outings(review.next_outings),
    }


def _next_outings(answers: NextAnswers | None) -> dict[str, Any]:
    """What the next outing may give, gone as usual and with the mean kept in the middle of the band.

    An answer that holds a share in band but no length says why in its ``reason``; one that holds nothing is
    null, and its reason stands beside it. The ends at the top are those of going as usual.
    """
    if answers is None:
        return {}
    usual = _next_outing(answers.as_usual)
    names = ("yield_low", "yield_high", "needed_low_s", "needed_high_s")
    return {
        **{name: None if usual is None else usual[name] for name in names},
        "next_as_usual": usual,
        "next_as_usual_reason": answers.as_usual.reason,
        "next_aimed": _next_outing(answers.aimed),
        "next_aimed_reason": answers.aimed.reason,
        "off_bpm": answers.as_usual.off_bpm,
        "outings": answers.as_usual.outings,
    }


def _next_outing(answer: NextOuting) -> dict[str, Any] | None:
    if answer.share is None:
        return None
    share, needed = answer.share, answer.needed_s
    return {
        "yield_low": share.low,
        "yield": share.middle,
        "yield_high": share.high,
        "needed_low_s": None if needed is None else needed.low,
        "needed_s": None if needed is None else needed.middle,
        "needed_high_s": None if needed is None else needed.high,
        "interval_percent": 100.0 * INTERVAL_LEVEL,
        "reason": answer.reason,
    }


def _drift_test(review: Review) -> dict[str, Any] | None:
    """The outing as a test of the band's upper edge; null without a band."""
    found = review.drift_test
    if found is None:
        return None
    return {name: getattr(found, name) for name in ("outcome", "percent", "threshold_percent", "reasons")}


def _held(review: Review) -> dict[str, Any] | None:
    """The same outing with its climbs held; None where that cannot be told."""
    held = review.held
    if held is None:
        return None
    return {
        "aimed_bpm": held.aimed_bpm,
        "in_band_s": held.in_band_s[0],
        "in_band_interval_80_s": list(held.in_band_s[1:]),
        "recorded_s": held.recorded_s,
        "climbs": [json_of(HELD_FIGURES, i, row) for i, row in enumerate(held_rows(review))],
    }


def _decoupling(review: Review) -> dict[str, Any]:
    pace, work = review.decoupling.pace, review.decoupling.work
    return {
        "pace_percent": pace.percent,
        "work_percent": work.percent,
        "verdict": str(pace.verdict),
        "reason": pace.reason,
        "used_s": pace.used_s,
        "excluded_s": pace.excluded_s,
        **_terrain_fair(review),
    }


def _terrain_fair(review: Review) -> dict[str, Any]:
    fair = review.terrain_fair
    low, high = fair.interval_percent or (None, None)
    raw_low, raw_high = fair.raw_interval_percent or (None, None)
    drift_low, drift_high = fair.drift_interval_bpm_per_h or (None, None)
    return {
        "terrain_fair_percent": fair.percent,
        "terrain_fair_low": low,
        "terrain_fair_high": high,
        "terrain_fair_verdict": str(fair.status),
        "terrain_fair_reason": fair.reason,
        "raw_percent": fair.raw_percent,
        "raw_low": raw_low,
        "raw_high": raw_high,
        "drift_bpm_per_h": fair.drift_bpm_per_h,
        "drift_low_bpm_per_h": drift_low,
        "drift_high_bpm_per_h": drift_high,
        "lag_s": fair.tau_s,
        "delay_s": fair.delay_s,
        "residual_rms_bpm": fair.residual_rms_bpm,
    }


def _plain(value: Any) -> Any:
    """JSON values only: no NumPy types, null instead of NaN, keys instead of enumerations and sentences."""
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, Message):
        return value.key
    if isinstance(value, str):
        return str(value)
    if isinstance(value, Sequence):
        return [_plain(item) for item in value]
    if isinstance(value, bool | int) or value is None:
        return value
    number = float(value)
    return number if math.isfinite(number) else None


def as_text(review: Review, warnings: tuple[str, ...] = ()) -> str:
    """The answer as a page of text for the terminal."""
    lines = [_heading(review), "", answer(review), why(review), ""]
    lines += _account_lines(review)
    lines += [
        "",
        *_climb_lines(review.climbs),
        *_ceiling_lines(review),
        *_held_lines(review),
        "",
        *_decoupling_lines(review),
    ]
    doubts = [*warnings, *review.warnings]
    if doubts:
        lines += ["", tr("What to know about this recording"), *(f"  {text}" for text in doubts)]
    return "\n".join([*lines, "", *cautions(0, 2)])


def _heading(review: Review) -> str:
    name = review.recording.title or review.recording.file_name or tr("Outing")
    return f"{name}{APART}{head_line(review, On.TERMINAL)}"


def _account_lines(review: Review) -> list[str]:
    account = review.account
    if account is None:
        return []
    rows = [(tr(each.name), each.text_of(0, account)) for each in shown_on(On.TERMINAL, ACCOUNT_FIGURES)]
    title = f"{tr(ACCOUNT.name)}, {tr('Band {band}').format(band=review.aim.band)}"
    standing = tr("of the recorded time moving {moving}, standing {standing}").format(
        moving=clock(account.moving_s), standing=clock(account.stop_s)
    )
    return [title, *table(rows, indent="  "), f"  {standing}"]


def _climb_lines(climbs: Sequence[Climb]) -> list[str]:
    if not climbs:
        return [no_climb()]
    shown = shown_on(On.TERMINAL, CLIMB_FIGURES)
    heads = headers([each.header for each in shown])
    rows = [[each.text_of(i, climb) for each in shown] for i, climb in enumerate(climbs)]
    return [tr("Climbs"), *table((*heads, *rows), left=(), indent="  ")]


def _ceiling_lines(review: Review) -> list[str]:
    """What to hold next time on the climbing grades."""
    held = [
        tr("{grade}: {speed} ({rise})").format(
            grade=percent(row.grade),
            speed=SPEED.text(row.speed_mps),
            rise=VERTICAL_SPEED.text(row.vertical_mps),
        )
        for row in known_rows(review)
        if row.grade > CLIMBING_GRADE
    ]
    found = review.ceiling
    steep = too_steep(found.gentlest_too_steep, review.track.on_bike) if found else ""
    said = ["", steep] if steep else []
    if not held:
        return said
    lines = [held[i : i + 4] for i in range(0, len(held), 4)]
    title = tr("To stay in band on a climb, hold under")
    return ["", title, *("  " + "   ".join(line) for line in lines), *said]


def _held_lines(review: Review) -> list[str]:
    """How to go each climb next time, and what that would have counted."""
    rows = [(f"{row.number + 1}", row.how) for row in held_rows(review)]
    return ["", held_sentence(review), *table(rows, left=(1,), indent="  ")] if rows else []


def _decoupling_lines(review: Review) -> list[str]:
    rows = [
        [each.name, each.figure, f"({each.interval})" if each.interval else "", each.trust]
        for each in rows_of(review)
    ]
    title = tr("Decoupling, second half against first (positive: heart rate rose for the same output)")
    excluded = left_out(review.decoupling.pace.excluded_s)
    return [title, *table(rows, left=(0, 3), indent="  "), f"  {excluded}"]
