"""Read XML a part at a time: the tree of each part is built, reported and dropped before the next."""

from __future__ import annotations

from collections.abc import Collection
from typing import Protocol
from xml.etree.ElementTree import Element, ParseError, TreeBuilder, XMLParser

from slopebeat.files.limits import LONGEST_TEXT, MOST_POINT_BYTES
from slopebeat.files.progress import Ticker
from slopebeat.files.source import Source
from slopebeat.files.xml.head import check_depth, leading_space, plain_name
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.message import Message, message

_PART_BYTES = 1 << 14  # small enough that the next part finds the memory of the last in the cache
_MOST_PART_BYTES = 1 << 22
_MOST_NAMES = 10_000  # different names remembered; real files have a few dozen


class Listener(Protocol):
    """What is reported of a document, in its order; names are plain ones, the root's parent is ""."""

    def started(self, name: str, parent: str, element: Element) -> None:
        """An element begins, its attributes are there."""

    def ended(self, name: str, parent: str, text: str) -> None:
        """An element ends; ``text`` is what stands in it before any other element."""

    def points_ended(self, points: list[Element]) -> None:
        """Points that are whole, one after another."""


class PlainNames(dict[str, str]):
    """Plain names of elements by their full ones, each worked out once."""

    def __missing__(self, tag: str) -> str:
        if len(self) >= _MOST_NAMES:
            self.clear()
        name = self[tag] = plain_name(tag)
        return name


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
        self._names: list[str] = []
        self._fed_bytes = 0
        self._point_bytes = 0
        self._plain = PlainNames()
        self._builder = TreeBuilder()
        self._parser = XMLParser(target=self._builder)

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
                before = self._open[-1:]
                self._feed(data[at : at + size])
                ticker.tick(at / len(data))
                at += size
                # The parser begins anew at a comment it has not seen the end of, so it gets ever more of one.
                stuck = self._open[-1:] == before and not any(map(len, before))
                size = min(2 * size, _MOST_PART_BYTES) if stuck else _PART_BYTES
            self._finish(self._parser.close())
        except ParseError as error:
            self._tell_before_damage()
            return (message("xml.breaks_off", line=error.position[0]),)
        except (LookupError, ValueError):
            # expat's answer to an encoding it does not know or cannot stream
            return (message("xml.encoding"),)
        return ()

    def _feed(self, part: bytes) -> None:
        """Parse a part and tell what is whole with it."""
        self._parser.feed(part)
        self._fed_bytes = min(len(part), _PART_BYTES)
        # Asked early, the builder answers with the tree so far and builds on.
        self._tell_whole(self._builder.close())

    def _tell_before_damage(self) -> None:
        """Tell what was whole when the document broke off, its last point too where that was whole."""
        builder = self._builder
        try:
            innermost = builder.end("")
        except IndexError:  # No element is open: the document had ended, or never began.
            root = builder.close()
            if root is not None:
                self._finish(root)
            return
        # With a point started behind it, the last element of those that are reported is whole for certain.
        innermost.append(Element(next(iter(self._point_names))))
        self._tell_whole(builder.close())

    def _tell_whole(self, root: Element | None) -> None:
        """Tell and drop every element that is whole: all but the last at each level down to the newest."""
        if root is None:
            return
        if not self._open:
            self._begin(root)
        level = 0
        while True:
            element = self._open[level]
            children = list(element)
            if children:
                self._tell_children(level, children[:-1])
                del element[:-1]
            if not children or self._is_point(children[-1], len(self._open)):
                return
            level += 1
            if level == len(self._open):
                self._begin(children[-1])

    def _tell_children(self, level: int, children: list[Element]) -> None:
        """Tell whole children of the open element at ``level``; the first may have begun in a part before."""
        if not children:
            return
        self._point_bytes = 0
        if len(self._open) > level + 1:
            started = children[0]
            self._tell_children(level + 1, list(started))
            self._end()
            children = children[1:]
        points: list[Element] = []
        names = self._plain
        for child in children:
            if names[child.tag] in self._point_names:
                points.append(child)
                continue
            if points:
                self._listener.points_ended(points)
                points = []
            self._begin(child)
            self._tell_children(len(self._open) - 1, list(child))
            self._end()
        if points:
            self._listener.points_ended(points)

    def _finish(self, root: Element) -> None:
        self._tell_whole(root)
        if self._open:
            self._tell_children(0, list(root))
            self._end()

    def _is_point(self, element: Element, depth: int) -> bool:
        """Whether the newest element is a point, which is waited for until it is whole."""
        if self._plain[element.tag] not in self._point_names:
            return False
        self._point_bytes += self._fed_bytes
        if self._point_bytes > MOST_POINT_BYTES:
            raise UnreadableFile(message("xml.large_point", most=MOST_POINT_BYTES))
        return True

    def _begin(self, element: Element) -> None:
        parent = self._names[-1] if self._names else ""
        name = self._plain[element.tag]
        self._open.append(element)
        self._names.append(name)
        check_depth(len(self._open))
        self._listener.started(name, parent, element)

    def _end(self) -> None:
        element, name = self._open.pop(), self._names.pop()
        parent = self._names[-1] if self._names else ""
        self._listener.ended(name, parent, (element.text or "")[:LONGEST_TEXT].strip())
