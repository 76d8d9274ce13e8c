"""Track points written alike, taken from the bytes of a document without building their tree.

A recorder writes its points one like another: the same elements in the same order, only the texts differ.
From one point a pattern is made that fits exactly such points; those behind it that fit are read by the
pattern. The point itself has gone through the XML parser, so its names are known and its prefixes bound; the
pattern repeats its markup letter by letter and allows for texts only characters that stand for themselves.
What fits is therefore as well formed as the point was, and means the same. All else is left to the parser.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass

from slopebeat.files.xml.head import leading_space, plain_name
from slopebeat.files.xml.points import POSITIONS, VALUE_NAME, UniformPoints, column_named

_LONGEST_POINT = 4096  # bytes; a point of a recorder has a few hundred
_FIRST_BYTES, _MOST_BYTES = 1 << 12, 1 << 16  # read at a time: little until it is known to be a run
_HEAD_BYTES = 1024  # the XML declaration is shorter
_MOST_PATTERNS = 64  # different ones remembered; a recorder has a handful

# A try costs about as much as a dozen points gain. Runs pay for the next tries; without, each part of the
# document that goes to the parser pays a share of one, ever less where tries keep failing.
_WORTH_A_TRY, _MOST_TRIES = 16, 8.0
_REGAINED, _LEAST_REGAINED = 0.25, 1 / 64

# Names end in no hyphen and texts hold no ">", so nothing a point consists of can end a comment, an
# instruction or a CDATA section: inside one of those it is no element to the parser, and that is seen.
_NAME = r"[A-Za-z_](?:[A-Za-z0-9_.-]*[A-Za-z0-9_.])?"
_NAME = rf"{_NAME}(?::{_NAME})?"
_SPACE = r"[\t\n\r ]"
_TEXT = r"[\t\n -%'-;=?-~]*+"
_QUOTED = {'"': r"[ !#-%'-;=?-~]*+", "'": r"[ -%(-;=?-~]*+"}
_ATTRIBUTE = (
    rf"{_SPACE}+{_NAME}{_SPACE}*={_SPACE}*(?:" + "|".join(f"{q}{_QUOTED[q]}{q}" for q in _QUOTED) + ")"
)
_TAG_INSIDE = rf"(?:{_ATTRIBUTE})*{_SPACE}*"

_START = re.compile(rf"<({_NAME}){_TAG_INSIDE}>")
_EMPTY = re.compile(rf"<({_NAME}){_TAG_INSIDE}/>")
_LEAF = re.compile(rf"(<({_NAME}){_TAG_INSIDE}>){_TEXT}(</\2{_SPACE}*>)")
_END = re.compile(rf"</{_NAME}{_SPACE}*>")
_GAP = re.compile(rf"{_SPACE}+")
_WRITTEN_ATTRIBUTE = re.compile(rf"({_SPACE}+({_NAME}){_SPACE}*={_SPACE}*)([\"'])(.*?)\3")

_ENCODING = re.compile(rb"""encoding\s*=\s*["']([A-Za-z0-9._-]+)["']""")
_PLAIN_ENCODINGS = (b"utf-8", b"us-ascii", b"iso-8859-1")  # in these ASCII stands for itself


class Pattern:
    """What fits points written like one.

    Parameters
    ----------
    expression : regular, with a group for each text that is read.
    columns : the column each group fills.
    """

    def __init__(self, expression: str, columns: tuple[str, ...]) -> None:
        self._columns = columns
        # What does not fit is taken as one piece, so that nothing can be skipped between two points.
        self._found = re.compile(rf"{_SPACE}*+{expression}|((?s:.+))").findall

    def runs(self, data: bytes, at: int) -> Iterator[tuple[UniformPoints, int]]:
        """Points that fit from ``at`` on, some at a time, each time with where they end."""
        size = _FIRST_BYTES
        while True:
            # Bytes beyond ASCII become characters that never fit, whatever the encoding.
            text = data[at : at + size].decode("latin-1")
            rows = self._found(text)
            rest = len(rows[-1][-1]) if rows else 0
            if rest:
                rows.pop()
            if not rows:
                return
            at += len(text) - rest
            yield (
                UniformPoints(len(rows), tuple(zip(self._columns, zip(*rows, strict=True), strict=False))),
                at,
            )
            size = min(2 * size, _MOST_BYTES)


@dataclass(frozen=True)
class OpenRun:
    """A point behind which others may be written alike: where it stands, and its pattern."""

    start: int
    end: int
    pattern: Pattern


@dataclass
class _Open:
    """An element of a point that is open; ``column`` is the one a value inside it would fill.

    ``taken`` is how many texts stood before it.
    """

    column: str | None
    taken: int


class _PatternMaker:
    """Makes the pattern of one point, going through it tag by tag."""

    def __init__(self) -> None:
        self._parts: list[str] = []
        self._columns: list[str] = []
        self._open: list[_Open] = []
        self._in_order = True

    def made(self, point: str) -> Pattern | None:
        """The pattern; None when the point is written in a way that needs the parser.

        That tags belong together is for the parser to see, which is given the point before it is used.
        """
        start = _START.match(point)
        if start is None:
            return None
        self._take_attributes(start[0])
        self._begin(start[1])
        at = start.end()
        while self._open:
            end = self._step(point, at)
            if end is None:
                return None
            at = end
        if not self._columns or not self._in_order:
            return None
        return Pattern("".join(self._parts), tuple(self._columns))

    def _take_attributes(self, tag: str) -> None:
        """Take the start tag of the point, the attributes of which hold its position in GPX."""
        at = 0
        for found in _WRITTEN_ATTRIBUTE.finditer(tag):
            column = POSITIONS.get(found[2])
            if column is None:
                continue
            quote = found[3]
            self._parts.append(re.escape(tag[at : found.start(4)]) + f"({_QUOTED[quote]})")
            self._columns.append(column)
            at = found.end(4)
        self._parts.append(re.escape(tag[at:]))

    def _step(self, point: str, at: int) -> int | None:
        """Take the tag, the white space or the element without others that stands at ``at``; its end."""
        if found := _LEAF.match(point, at):
            column = self._column_of(found[2])
            text = f"({_TEXT})" if column else _TEXT
            self._parts.append(re.escape(found[1]) + text + re.escape(found[3]))
            self._columns += [column] if column else []
            return found.end()
        found = _GAP.match(point, at)
        if found:
            pass
        elif found := _EMPTY.match(point, at):
            self._column_of(found[1])
        elif found := _START.match(point, at):
            self._begin(found[1])
        elif found := _END.match(point, at):
            self._open.pop()
        else:
            return None
        self._parts.append(re.escape(found[0]))
        return found.end()

    def _begin(self, name: str) -> None:
        self._column_of(name)
        self._open.append(_Open(column_named(_local(name)), len(self._columns)))

    def _column_of(self, name: str) -> str | None:
        """The column the text of an element fills, which begins inside those that are open."""
        local = _local(name)
        column = column_named(local)
        if plain_name(local) == VALUE_NAME and self._open:
            # Only the first value in an element counts for that, and where the element begins.
            around = self._open[-1]
            self._in_order &= around.column is None or around.taken == len(self._columns)
            column, around.column = around.column, None
        return column


class UniformRuns:
    """Finds where points written alike may begin, and gives up for a while where it seldom pays.

    Parameters
    ----------
    point_names : plain names of the points.
    ended : gets points that were written alike.
    """

    def __init__(
        self, data: bytes, point_names: Collection[str], ended: Callable[[UniformPoints], None]
    ) -> None:
        self.data = data
        self._ended = ended
        names = "|".join(map(re.escape, point_names))
        self._point = re.compile(rf"<((?:{_NAME}:)?(?:{names}))[\s>]".encode(), re.IGNORECASE)
        self._patterns: dict[str, Pattern | None] = {}
        self._credit = 1.0 if _is_plain(data) else -1.0
        self._regained = _REGAINED

    def next_run(self, at: int, end: int) -> OpenRun | None:
        """The next point that begins before ``end``, where reading on by the pattern is worth a try."""
        if self._credit < 0.0:
            return None
        if self._credit < 1.0:
            self._credit += self._regained
            return None
        while self._credit >= 1.0 and (found := self._point.search(self.data, at, end)):
            self._credit -= 1.0
            self._regained = max(self._regained / 2, _LEAST_REGAINED)
            start, at = found.span()
            last = self.data.find(b"</" + found[1], start, start + _LONGEST_POINT)
            last = self.data.find(b">", last, last + _LONGEST_POINT) if last >= 0 else last
            pattern = self._pattern(self.data[start : last + 1].decode("latin-1")) if last >= 0 else None
            if pattern is not None:
                return OpenRun(start, last + 1, pattern)
        return None

    def tell(self, points: UniformPoints) -> None:
        """Hand on points that fitted; the more there were, the more tries follow."""
        self._ended(points)
        self._credit = min(self._credit + points.count / _WORTH_A_TRY, _MOST_TRIES)
        if points.count >= _WORTH_A_TRY:
            self._regained = _REGAINED

    def _pattern(self, point: str) -> Pattern | None:
        # Points that differ in digits alone have one pattern.
        key = re.sub(r"(?<=[\">])[-+.:0-9TZ]+(?=[\"<])", "", point)
        if key not in self._patterns:
            if len(self._patterns) >= _MOST_PATTERNS:
                self._patterns.clear()
            self._patterns[key] = _PatternMaker().made(point)
        return self._patterns[key]


def line_breaks(data: bytes, start: int, end: int) -> int:
    """Line breaks in a part of a document, of which XML knows three kinds."""
    feeds, returns = data.count(b"\n", start, end), data.count(b"\r", start, end)
    return feeds + returns - (data.count(b"\r\n", start, end) if returns else 0)


def _local(name: str) -> str:
    return name.rpartition(":")[2]


def _is_plain(data: bytes) -> bool:
    """Whether ASCII characters of a document are certain to stand for themselves, with nothing declared."""
    begin = leading_space(data)
    head = data[begin : begin + _HEAD_BYTES].removeprefix(b"\xef\xbb\xbf")
    if b"\0" in head[:4] or not head.startswith(b"<") or b"<!DOCTYPE" in data:
        return False
    declaration = head[: head.find(b"?>") + 2] if head.startswith(b"<?xml") else b""
    if b"encoding" not in declaration:
        return True
    found = _ENCODING.search(declaration)
    return found is not None and found[1].lower() in _PLAIN_ENCODINGS
