"""The weeks of an athlete, phases side by side, and the week of every athlete: their columns."""

from __future__ import annotations

from slopebeat.model.language import mark, tr
from slopebeat.model.units import MISSING
from slopebeat.review.present import kinds
from slopebeat.review.present.figure import PROJECT_CHOICE, Figure, Topic, in_files, on_screen
from slopebeat.review.week.words import (
    above_words,
    apart_words,
    edges_words,
    entry_words,
    in_band_with,
    in_band_words,
    iso_words,
    last_words,
    met_words,
    minutes,
    phase_words,
    sessions_words,
    to_review_words,
    verdict_words,
)

MINUTES = kinds.number_of(0, "min", 1 / 60)

WEEK_FIGURES: tuple[Figure, ...] = (
    in_files(
        "week.athlete",
        mark("Athlete"),
        json="athlete",
        csv="athlete",
        kind=kinds.WORDS,
        leads=True,
    ),
    on_screen(
        "week.iso",
        mark("Week"),
        mark("Year and number of the week by ISO 8601, Monday to Sunday where the outing was."),
        "",
        mark("ISO 8601: a week belongs to the year that holds its Thursday."),
        json="week",
        csv="week",
        field="week.iso",
        words=lambda row: iso_words(row.week),
        kind=kinds.WORDS,
        leads=True,
    ),
    in_files(
        "week.monday",
        json="monday",
        csv="monday",
        kind=kinds.WORDS,
        leads=True,
        get=lambda _, row: row.week.monday.isoformat(),
    ),
    on_screen(
        "week.outings",
        mark("Outings"),
        mark("All of the week, those counted apart too."),
        json="outings",
        csv="outings",
        field="week.outings",
    ),
    on_screen(
        "week.in_band",
        mark("In band"),
        mark("Minutes in band of all outings, of those prescribed."),
        mark(
            "Each outing counts with the band that was in force on its day. The prescription is the one in "
            "force on the last day of the week. Minutes of short outings count too."
        ),
        PROJECT_CHOICE,
        json="in_band_s",
        csv="in_band_min",
        field="week.in_band_s",
        words=lambda row: in_band_words(row.week),
        kind=MINUTES,
    ),
    on_screen(
        "week.above",
        mark("Above"),
        mark("Minutes above the band; too much is what is over the limit you set."),
        mark(
            "How much is too much is for you and the athlete to say: common practice has no source for a "
            "figure. Without a limit there is no verdict."
        ),
        mark("Common practice, no source."),
        json="above_s",
        csv="above_min",
        field="week.above_s",
        words=lambda row: above_words(row.week),
        kind=MINUTES,
    ),
    on_screen(
        "week.below",
        mark("Below"),
        mark("Minutes below the band."),
        json="below_s",
        csv="below_min",
        field="week.below_s",
        words=lambda row: MISSING if row.week.unknown else minutes(row.week.below_s),
        kind=MINUTES,
    ),
    on_screen(
        "week.sessions",
        mark("Sessions"),
        mark("Outings with at least 20 minutes in band, of those prescribed."),
        "",
        PROJECT_CHOICE,
        json="sessions",
        csv="sessions",
        field="week.sessions",
        words=lambda row: sessions_words(row.week),
    ),
    on_screen(
        "week.met",
        mark("Prescription"),
        mark("Whether all that was in force on the last day of the week was done."),
        mark(
            "Outings before the first band, with too little heart rate and recordings under 20 minutes are "
            "counted apart: a week with nothing else, or with minutes that are not known, has not failed. "
            "Neither has one that is under way."
        ),
        PROJECT_CHOICE,
        json="met",
        csv="met",
        field="week.met",
        words=lambda row: met_words(row.week),
        kind=kinds.WORDS,
    ),
    on_screen(
        "week.mean_in_band",
        mark("Mean of 4\nin band"),
        mark("Minutes in band a week, over four weeks of which this is the last."),
        mark("Weeks without outings count, breaks of more than four weeks do not; then it begins anew."),
        PROJECT_CHOICE,
        json="mean_in_band_s",
        csv="mean_in_band_min",
        field="week.mean_in_band_s",
        kind=MINUTES,
    ),
    on_screen(
        "week.mean_above",
        mark("Mean of 4\nabove"),
        mark("Minutes above the band a week, over the same four weeks."),
        "",
        PROJECT_CHOICE,
        json="mean_above_s",
        csv="mean_above_min",
        field="week.mean_above_s",
        kind=MINUTES,
    ),
    Figure(
        "week.edges",
        mark("In band with\nan edge 3 bpm off"),
        mark("Minutes in band with the upper edge lower to higher, then the lower edge higher to lower."),
        mark(
            "How much hangs on the band being right: every second is counted again with one edge moved by 3 "
            "bpm. Where the figures lie far apart, find the band before judging the week."
        ),
        PROJECT_CHOICE,
        get=lambda _, row: in_band_with(row.week, "above_upper_up_s"),
        words=lambda row: edges_words(row.week),
        kind=kinds.WORDS,
    ),
    on_screen(
        "week.most_above",
        mark("Most above"),
        mark("The outing that made most of the minutes above the band."),
        json="most_above",
        csv="most_above",
        words=lambda row: row.most_above or "",
        kind=kinds.WORDS,
    ),
    Figure(
        "week.apart",
        mark("Counted apart"),
        mark("Outings that tell nothing of the week, each with the reason."),
        get=lambda _, row: len(row.apart),
        words=apart_words,
        kind=kinds.WORDS,
    ),
    Figure(
        "week.phases",
        mark("Phase"),
        mark("Blocks, camps and illness that hold some day of the week."),
        json="phases",
        csv="phases",
        get=lambda _, row: ", ".join(each.text or each.kind.value for each in row.phases),
        words=phase_words,
        kind=kinds.WORDS,
    ),
    *(
        in_files(f"week.{name}", json=name, csv=csv, field=f"week.{path}", kind=kind)
        for name, csv, path, kind in (
            ("recorded_s", "recorded_min", "recorded_s", MINUTES),
            ("no_hr_s", "no_hr_min", "no_hr_s", MINUTES),
            ("prescribed_minutes", "prescribed_min", "prescription.minutes_per_week", kinds.number_of()),
            ("prescribed_sessions", "prescribed_sessions", "prescription.sessions_per_week", kinds.COUNT),
            ("most_above_minutes", "most_above_min", "prescription.most_above_minutes", kinds.number_of()),
            ("missing_s", "missing_min", "missing_s", MINUTES),
            ("missing_sessions", "missing_sessions", "missing_sessions", kinds.COUNT),
            ("too_much_above", "too_much_above", "too_much_above", kinds.WORDS),
            ("over", "over", "over", kinds.WORDS),
            ("break_weeks", "break_weeks", "break_weeks", kinds.COUNT),
            ("above_upper_down_s", "above_upper_down_min", "edges_off.above_upper_down_s", MINUTES),
            ("above_upper_up_s", "above_upper_up_min", "edges_off.above_upper_up_s", MINUTES),
            ("below_lower_down_s", "below_lower_down_min", "edges_off.below_lower_down_s", MINUTES),
            ("below_lower_up_s", "below_lower_up_min", "edges_off.below_lower_up_s", MINUTES),
        )
    ),
)
"""The row is a :class:`WeekRow`."""


PHASE_FIGURES: tuple[Figure, ...] = (
    on_screen(
        "phases.name",
        mark("Phase"),
        mark("Blocks, camps and illness, and the days of none from the first outing on."),
        mark("A week is seven days of the phase; a phase of some days counts for that share of a week."),
        PROJECT_CHOICE,
        mark("What changed from one phase to another need not come from the phase."),
        get=lambda _, row: tr("no phase") if row.phase is None else entry_words(row.phase),
        kind=kinds.WORDS,
    ),
    on_screen(
        "phases.from",
        mark("From"),
        get=lambda _, row: "" if row.phase is None else row.phase.first_day.isoformat(),
        kind=kinds.WORDS,
    ),
    on_screen("phases.days", mark("Days"), json="days"),
    on_screen("phases.outings", mark("Outings"), json="outings"),
    on_screen("phases.in_band", mark("In band\na week"), json="in_band_s", kind=MINUTES),
    on_screen("phases.above", mark("Above\na week"), json="above_s", kind=MINUTES),
    on_screen("phases.sessions", mark("Sessions\na week"), json="sessions", kind=kinds.number_of(1)),
    on_screen("phases.share", mark("Share\nin band"), json="share", kind=kinds.SHARE),
)
"""The row is a :class:`PhaseRow`."""


BOARD_FIGURES: tuple[Figure, ...] = (
    Figure(
        "board.athlete",
        mark("Athlete"),
        mark("By name; Enter opens the first outing that is to be reviewed."),
        field="athlete.name",
        kind=kinds.WORDS,
    ),
    Figure(
        "board.in_band",
        mark("In band\nmin"),
        mark("Minutes in band of the week, of those prescribed."),
        field="week.in_band_s",
        words=lambda row: in_band_words(row.week),
    ),
    Figure(
        "board.above",
        mark("Above\nmin"),
        mark("Minutes above the band, beside those in it."),
        field="week.above_s",
        words=lambda row: above_words(row.week),
    ),
    Figure(
        "board.sessions",
        mark("Sessions"),
        mark("Outings that hold at least 20 minutes in band."),
        field="week.sessions",
        words=lambda row: sessions_words(row.week),
    ),
    Figure(
        "board.met",
        mark("Prescription"),
        mark("Whether what is in force this week was done."),
        get=lambda _, row: met_words(row.week),
        kind=kinds.WORDS,
    ),
    Figure(
        "board.last",
        mark("Last outing"),
        mark("The latest up to the end of the week."),
        get=lambda _, row: row.last.outing.start_utc.timestamp() if row.last else None,
        words=last_words,
        kind=kinds.WORDS,
    ),
    Figure(
        "board.verdict",
        mark("Steady or drifted"),
        mark("Terrain-fair decoupling of that outing, with 5 % as the limit of steady."),
        text=mark(
            "Steady where all of the 95 % interval lies under 5 %, drifted where all of it lies over, else "
            "it cannot be told from this outing."
        ),
        source=mark("5 % is common practice, no source."),
        get=lambda _, row: verdict_words(row.last.summary) if row.last else None,
        words=lambda row: verdict_words(row.last.summary) if row.last else MISSING,
        kind=kinds.WORDS,
    ),
    Figure(
        "board.notes",
        mark("New\nnotes"),
        mark("Written or changed since the outing was ticked off."),
        field="new_notes",
    ),
    Figure(
        "board.doubts",
        mark("Doubts"),
        mark("Doubtful stretches of the week nobody has decided on."),
        field="doubts",
    ),
    Figure(
        "board.coverage",
        mark("Trusted\nheart rate"),
        mark("Share of the recorded time with trusted heart rate."),
        field="coverage",
        kind=kinds.SHARE,
    ),
    Figure(
        "board.to_review",
        mark("To\nreview"),
        mark("Outings of the week that nobody has ticked off yet."),
        get=lambda _, row: len(row.to_review),
        words=to_review_words,
    ),
)
"""The row is an :class:`AthleteWeek`."""

WEEK = Topic("week", mark("The week"), (*BOARD_FIGURES, *WEEK_FIGURES, *PHASE_FIGURES))
