"""Read XML a part at a time: what is whole in each part is reported and dropped before the next."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Protocol, cast
from xml.etree.ElementTree import Element, ParseError, XMLPullParser

from slopebeat.files.limits import LONGEST_TEXT, MOST_POINT_BYTES
from slopebeat.files.progress import Ticker
from slopebeat.files.source import Source
from slopebeat.files.xml.head import check_depth, leading_space, plain_name
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.message import Message, message

_PART_BYTES = 1 << 13  # small enough that the next part finds the memory of the last in the cache
_MOST_PART_BYTES = 1 << 22


class Listener(Protocol):
    """What is reported of a document, in its order; names are plain ones, the root's parent is ""."""

    def started(self, name: str, parent: str, element: Element) -> None:
        """An element begins, its attributes are there."""

    def ended(self, name: str, parent: str, text: str) -> None:
        """An element ends; ``text`` is what stands in it before any other element."""

    def points_ended(self, points: list[Element]) -> None:
        """Points that are whole, one after another."""


class DocumentParts:
    """Tells a listener of a document, keeping no more of it in memory than a part and what is open.

    ``root_name`` must have passed the document: the parser here expands entities.

    Parameters
    ----------
    point_names : plain names of the elements reported in one piece.
    """

    def __init__(self, point_names: Collection[str], listener: Listener) -> None:
        self._point_names = frozenset(point_names)
        self._listener = listener
        self._open: list[Element] = []
        self._names: list[str] = [""]
        self._points: list[Element] = []
        """Whole and not yet told."""
        self._depth_in_point = 0
        self._point_bytes = 0
        self._parser: XMLPullParser[Element] = XMLPullParser(("start", "end"))

    def read(self, source: Source, ticker: Ticker) -> tuple[Message, ...]:
        """Tell all of a document.

        Returns
        -------
        What to say when the document broke off or was malformed, else nothing.

        Raises
        ------
        UnreadableFile
            When elements are nested too deep, or a point is larger than any can be.
        """
        data = source.data
        at, size = leading_space(data), _PART_BYTES
        try:
            while at < len(data):
                told = self._feed(data[at : at + size])
                ticker.tick(at / len(data))
                at += size
                # The parser begins anew at a comment it has not seen the end of, so it gets ever more of one.
                size = _PART_BYTES if told else min(2 * size, _MOST_PART_BYTES)
            self._parser.close()
            self._tell()
        except ParseError as error:
            self._tell_points()
            return (message("xml.breaks_off", line=error.position[0]),)
        except (LookupError, ValueError):
            # expat's answer to an encoding it does not know or cannot stream
            return (message("xml.encoding"),)
        return ()

    def _feed(self, part: bytes) -> bool:
        """Parse a part and tell what is whole with it; whether there was any element in it."""
        self._parser.feed(part)
        told = self._tell()
        self._tell_points()
        if self._open:
            # All is told but a point that has only begun, which is the last there is.
            del self._open[-1][: len(self._open[-1]) - bool(self._depth_in_point)]
        if self._depth_in_point:
            self._point_bytes += min(len(part), _PART_BYTES)
            if self._point_bytes > MOST_POINT_BYTES:
                raise UnreadableFile(message("xml.large_point", most=MOST_POINT_BYTES))
        return told

    def _tell(self) -> bool:
        """Tell what the parser has found; what is inside a point is told with it."""
        event, depth = "", self._depth_in_point
        # Of these two events each is a word and an element; others are made otherwise.
        for event, element in cast("Iterator[tuple[str, Element]]", self._parser.read_events()):
            if depth:
                depth += 1 if event == "start" else -1
                if not depth:
                    self._points.append(element)
            elif event == "end":
                self._end()
            elif self._open and plain_name(element.tag) in self._point_names:
                depth, self._point_bytes = 1, 0
            else:
                self._begin(element)
        self._depth_in_point = depth
        return bool(event)

    def _tell_points(self) -> None:
        if self._points:
            self._listener.points_ended(self._points)
            self._points = []

    def _begin(self, element: Element) -> None:
        self._tell_points()
        name = plain_name(element.tag)
        self._listener.started(name, self._names[-1], element)
        self._open.append(element)
        self._names.append(name)
        check_depth(len(self._open))

    def _end(self) -> None:
        self._tell_points()
        element, name = self._open.pop(), self._names.pop()
        self._listener.ended(name, self._names[-1], (element.text or "")[:LONGEST_TEXT].strip())
        if self._open:
            del self._open[-1][:]
