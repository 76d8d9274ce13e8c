"""The answer for one recording as a page of text for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from slopebeat.analysis.account.climbs import Climb
from slopebeat.model.language import tr
from slopebeat.model.measures import SPEED, VERTICAL_SPEED
from slopebeat.model.recording import title_of
from slopebeat.model.track import CLIMBING_GRADE
from slopebeat.model.units import clock, percent
from slopebeat.review.answer import answer, why
from slopebeat.review.cautions import cautions
from slopebeat.review.outing import Review
from slopebeat.review.present.account import ACCOUNT, ACCOUNT_FIGURES
from slopebeat.review.present.climbs import CLIMB_FIGURES
from slopebeat.review.present.decoupling import left_out, rows_of
from slopebeat.review.present.figure import On, aligned_lines, shown_on, text_table
from slopebeat.review.present.head import APART, head_line
from slopebeat.review.present.held import held_rows, held_sentence
from slopebeat.review.present.hold import known_rows
from slopebeat.review.words.names import no_climb, too_steep


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
    name = title_of(review.recording) or tr("Outing")
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
    return [title, *aligned_lines(rows, indent="  "), f"  {standing}"]


def _climb_lines(climbs: Sequence[Climb]) -> list[str]:
    if not climbs:
        return [no_climb()]
    return [tr("Climbs"), *text_table(On.TERMINAL, CLIMB_FIGURES, climbs, indent="  ")]


def _ceiling_lines(review: Review) -> list[str]:
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
    about_steep = ["", steep] if steep else []
    if not held:
        return about_steep
    lines = [held[i : i + 4] for i in range(0, len(held), 4)]
    title = tr("To stay in band on a climb, hold under")
    return ["", title, *("  " + "   ".join(line) for line in lines), *about_steep]


def _held_lines(review: Review) -> list[str]:
    rows = [(f"{row.number + 1}", row.how) for row in held_rows(review)]
    return ["", held_sentence(review), *aligned_lines(rows, left=(1,), indent="  ")] if rows else []


def _decoupling_lines(review: Review) -> list[str]:
    rows = [
        [each.name, each.figure, f"({each.interval})" if each.interval else "", each.trust]
        for each in rows_of(review)
    ]
    title = tr("Decoupling, second half against first (positive: heart rate rose for the same output)")
    excluded = left_out(review.decoupling.pace.excluded_s)
    return [title, *aligned_lines(rows, left=(0, 3), indent="  "), f"  {excluded}"]
