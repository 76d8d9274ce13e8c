"""Look at the beginning of an XML document: its root element, and that it defines nothing harmful."""

from __future__ import annotations

import contextlib
from functools import lru_cache
from xml.parsers import expat

from slopebeat.files.limits import DEEPEST_XML
from slopebeat.files.source import Source
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.message import message

_BYTE_ORDER_MARK = b"\xef\xbb\xbf"
_HEAD_BYTES = 1 << 20  # a root element that begins later than this is not looked for
_MOST_NAMES = 10_000  # different names remembered; real files have a few dozen


@lru_cache(_MOST_NAMES)
def plain_name(tag: object) -> str:
    """An element's name without namespace, case, hyphens and underscores; "" for comments."""
    if not isinstance(tag, str):
        return ""
    return tag.rpartition("}")[2].lower().replace("_", "").replace("-", "")


class _RootFound(Exception):
    """Ends the reading once the root is known."""


def root_name(source: Source) -> str | None:
    """Plain name of the root element; None when the bytes are no XML.

    Entities can be defined only before the root element, so a document that passes here has none.

    Raises
    ------
    UnreadableFile
        When the document defines entities or refers to other files.
    """
    if not _may_be_xml(source.data):
        return None
    found: list[str] = []

    def start(tag: str, _attributes: dict[str, str]) -> None:
        found.append(plain_name(tag.rpartition(":")[2]))
        raise _RootFound

    parser = _guarded_parser(source.name)
    parser.StartElementHandler = start
    begin = leading_space(source.data)
    # LookupError and ValueError are expat's answer to an encoding it does not know or cannot stream.
    with contextlib.suppress(_RootFound, expat.ExpatError, LookupError, ValueError):
        parser.Parse(source.data[begin : begin + _HEAD_BYTES], False)
    return found[0] if found else None


def _guarded_parser(name: str) -> expat.XMLParserType:
    """A parser that refuses what can make a small document large or reach beyond it."""

    def refuse(*_args: object) -> None:
        raise UnreadableFile(message("xml.entities", name=name))

    parser = expat.ParserCreate()
    parser.SetParamEntityParsing(expat.XML_PARAM_ENTITY_PARSING_NEVER)
    parser.EntityDeclHandler = refuse
    parser.UnparsedEntityDeclHandler = refuse
    parser.ExternalEntityRefHandler = refuse  # type: ignore[assignment]
    return parser


def check_depth(depth: int) -> None:
    """Refuse what is nested deeper than any recording."""
    if depth > DEEPEST_XML:
        raise UnreadableFile(message("xml.too_deep", most=DEEPEST_XML))


def leading_space(data: bytes) -> int:
    """Bytes before the document: XML forbids white space there, careless writers write it all the same."""
    plain = data[:_HEAD_BYTES].removeprefix(_BYTE_ORDER_MARK)
    if not plain[:1].isspace():
        return 0
    return min(len(data), _HEAD_BYTES) - len(plain.lstrip())


def _may_be_xml(data: bytes) -> bool:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return True
    return data[:_HEAD_BYTES].removeprefix(_BYTE_ORDER_MARK).lstrip().startswith(b"<")
