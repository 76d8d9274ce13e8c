"""Every figure on screen, explained: the texts of hovers and of the help come from here."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

from slopebeat.model.language import mark, tr
from slopebeat.review.cautions import CAUTIONS
from slopebeat.review.day.rows import DAY
from slopebeat.review.help.held import how_it_held
from slopebeat.review.help.topics import ANSWER, ENTERED, MONTHS, PLANNING
from slopebeat.review.present.account import ACCOUNT
from slopebeat.review.present.climbs import CLIMBS
from slopebeat.review.present.cursor import CURSOR
from slopebeat.review.present.decoupling import DECOUPLING
from slopebeat.review.present.episodes import EPISODES
from slopebeat.review.present.figure import Explanation, Topic
from slopebeat.review.present.ground import GROUND
from slopebeat.review.present.held import HELD
from slopebeat.review.present.hold import HOLD
from slopebeat.review.present.listed import LIBRARY
from slopebeat.review.present.price import PRICE
from slopebeat.review.present.shared_ground import SHARED
from slopebeat.review.present.stretch import STRETCHES
from slopebeat.review.present.way import WAY
from slopebeat.review.present.weeks import WEEK

TOPICS: tuple[Topic, ...] = (
    ACCOUNT,
    ANSWER,
    ENTERED,
    CURSOR,
    CLIMBS,
    HELD,
    EPISODES,
    HOLD,
    DECOUPLING,
    STRETCHES,
    DAY,
    LIBRARY,
    MONTHS,
    GROUND,
    SHARED,
    PRICE,
    WEEK,
    PLANNING,
    WAY,
)

ENTRIES: Mapping[str, Explanation] = {entry.key: entry for topic in TOPICS for entry in topic.entries}

HEADING = mark("The figures explained")


def hint(key: str) -> str:
    """The sentence a hover shows, marked: it goes through ``tr`` where it is shown.

    Raises
    ------
    KeyError
        For a figure that is not explained.
    """
    return ENTRIES[key].line


def key_of(hover: str) -> str | None:
    """The figure whose hover says or begins this in the language in force; None when it is none of them."""
    lines = ((tr(entry.line), key) for key, entry in ENTRIES.items() if entry.line)
    matching = [(len(line), key) for line, key in lines if hover.startswith(line)]
    longest = max(matching, default=(0, None), key=lambda each: each[0])
    return longest[1]


def page() -> str:
    """All figures as one HTML page in the language in force; each has an anchor of its key."""
    links = " · ".join(f'<a href="#{topic.key}">{_html(topic.name)}</a>' for topic in TOPICS)
    parts = [f"<h1>{_html(HEADING)}</h1>", f"<p>{links}</p>"]
    for topic in TOPICS:
        parts.append(f'<h2><a name="{topic.key}"></a>{_html(topic.name)}</h2>')
        parts += [_entry(entry) for entry in topic.entries]
    parts += [f"<p><i>{_html(caution)}</i></p>" for caution in CAUTIONS]
    return "\n".join(parts)


def _entry(entry: Explanation) -> str:
    name = " ".join(tr(entry.name).split())
    parts = [f'<a name="{entry.key}"></a><b>{escape(name)}</b>', _html(entry.line)]
    if entry.text:
        parts.append(_html(entry.text))
    if entry.limits:
        parts.append(f"<i>{_html(mark('What it does not say:'))}</i> {_html(entry.limits)}")
    if entry.source:
        parts.append(f"<i>{_html(mark('Source:'))}</i> {_html(entry.source)}")
    if held := how_it_held(entry.key):
        parts.append(f"<i>{_html(mark('How well it held:'))}</i> {escape(held, quote=False)}")
    return f"<p>{'<br/>'.join(parts)}</p>"


def _html(text: str) -> str:
    return escape(tr(text), quote=False)
