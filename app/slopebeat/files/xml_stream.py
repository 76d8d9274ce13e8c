"""Read XML piece by piece, refusing entities and references to other files."""

from __future__ import annotations

import io
import itertools
from collections.abc import Iterator
from xml.etree.ElementTree import Element, ParseError

from defusedxml import DefusedXmlException
from defusedxml.ElementTree import iterparse

from slopebeat.files.progress import Ticker
from slopebeat.files.source import Source
from slopebeat.files.xml_head import check_depth, leading_space, plain_name
from slopebeat.files.xml_head import root_name as root_name
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.language import tr
from slopebeat.model.measures import counted

_TICK_EVERY_EVENTS = 256


class XmlStream:
    """Start and end of each element, with the names of those around it.

    Attributes
    ----------
    path : plain names from the root to the element at hand.
    damage : a sentence when the document broke off or was malformed, else None.
    """

    def __init__(self, source: Source, ticker: Ticker) -> None:
        self._source = source
        self._ticker = ticker
        self._data = source.data[leading_space(source.data) :]
        self.path: list[str] = []
        self.damage: str | None = None

    def __iter__(self) -> Iterator[tuple[bool, str, Element]]:
        """Yield ``(is_end, plain name, element)``; stops at the first damage.

        Raises
        ------
        UnreadableFile
            When the document defines entities or refers to other files.
        """
        stream = io.BytesIO(self._data)
        events = iterparse(stream, events=("start", "end"))
        for count in itertools.count():
            event = self._next(events)
            if event is None:
                return
            kind, element = event
            if count % _TICK_EVERY_EVENTS == 0:
                self._ticker.tick(stream.tell() / len(self._data))
            name = plain_name(element.tag)
            if kind == "start":
                self.path.append(name)
                check_depth(len(self.path))
                yield False, name, element
            else:
                yield True, name, element
                self.path.pop()

    def _next(self, events: Iterator[tuple[str, Element]]) -> tuple[str, Element] | None:
        """The next event; None at the end or at damage, which is then described."""
        try:
            return next(events, None)
        except DefusedXmlException:
            raise UnreadableFile(
                tr(
                    "{name} defines XML entities or refers to other files, which no "
                    "recording needs and which can do harm; it was not read."
                ).format(name=self._source.name)
            ) from None
        except ParseError as error:
            line, _column = error.position
            self.damage = tr(
                "The file breaks off or is malformed at line {line}; what came before was kept."
            ).format(line=counted(line))
        except (LookupError, ValueError):
            # expat's answer to an encoding it does not know or cannot stream
            self.damage = tr("The file's text encoding is not supported; what could be read was kept.")
        return None

    @property
    def parent(self) -> str:
        """Plain name of the element around the one at hand, "" for the root."""
        return self.path[-2] if len(self.path) > 1 else ""
