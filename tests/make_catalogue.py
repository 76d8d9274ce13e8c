"""Collect the texts of the program and bring every translation in step with them.

    python tests/make_catalogue.py

Writes ``resources/locale/slopebeat.pot`` (all texts of the code), ``LANGUAGE/LC_MESSAGES/slopebeat.po``
(those translated; what is translated stays, what the code no longer says goes) and the compiled ``.mo``
beside it, which the program reads. Running it again changes nothing: no dates, no lines, one order.
"""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterable, Iterator
from functools import cache
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

ROOT = Path(__file__).resolve().parent.parent
CODE = ROOT / "app" / "slopebeat"
LOCALE = ROOT / "resources" / "locale"
TEMPLATE = LOCALE / "slopebeat.pot"
LANGUAGES = ("de",)

KEYWORDS = {"tr": 1, "mark": 1, "trn": 2, "Action": 2}
"""How many texts a call names."""

APART = {"Action"}
"""Calls whose texts are looked up one by one, not as one text for one thing and for several."""

_WORDS = re.compile(rf"\b({'|'.join(KEYWORDS)})\b")

PLURALS = {"de": "nplurals=2; plural=(n != 1);"}


class Steady(Catalog):
    """A catalogue whose heading says nothing that changes by itself: no date, no version of a tool."""

    @property  # type: ignore[misc]  # Babel's own has a setter that nobody needs here
    def mime_headers(self) -> list[tuple[str, str]]:
        code = "" if self.locale is None else str(self.locale)
        headers = [("Project-Id-Version", "slopebeat"), ("Language", code)]
        if code:
            headers.append(("Plural-Forms", PLURALS[code]))
        content = ("Content-Type", "text/plain; charset=utf-8")
        return [*headers, ("MIME-Version", "1.0"), content, ("Content-Transfer-Encoding", "8bit")]


def steady(code: str | None, messages: Iterable[Message]) -> Steady:
    """A catalogue of these messages, in the order of their texts, with the files they are said in."""
    made = Steady(locale=code, header_comment="# Texts of Slopebeat.", fuzzy=False)
    for message in sorted(messages, key=lambda each: (each.id,) if isinstance(each.id, str) else each.id):
        if message.id:
            files = sorted({(name.replace("\\", "/"), 0) for name, _ in message.locations})
            flags = message.flags & {"fuzzy"}
            made.add(message.id, message.string, files, flags, user_comments=message.user_comments)
            made[key_of(message)].flags = set(flags)  # A percent sign is no mark of a format here.
    return made


def key_of(message: Message) -> str:
    """What a message is looked up by: its text, or that for one thing."""
    return message.id if isinstance(message.id, str) else message.id[0]


def extracted() -> Steady:
    """Every text the code passes to ``tr``, ``trn`` and ``mark``.

    The syntax tree is read, because Babel's own reader sees no call inside an f-string.
    """
    found = Catalog()
    for path in sorted(CODE.rglob("*.py")):
        for text in texts_in(path.read_text(encoding="utf-8")):
            found.add(text, None, [(path.relative_to(CODE).as_posix(), 0)])
    return steady(None, found)


@cache
def calls_in(code: str) -> tuple[tuple[str, ast.Call], ...]:
    """Every call in a module that names a text, with the name it is called by."""
    if not _WORDS.search(code):
        return ()  # Taking it apart takes longer than looking for the words.
    return tuple(
        (node.func.id, node)
        for node in ast.walk(ast.parse(code))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in KEYWORDS
    )


def texts_in(code: str) -> Iterator[str | tuple[str, ...]]:
    """The texts of one module; those for one thing and for several as a pair."""
    for name, call in calls_in(code):
        named = call.args[: KEYWORDS[name]]
        texts = tuple(str(each.value) for each in named if isinstance(each, ast.Constant))
        if name in APART:
            yield from texts
        elif texts and all(texts):
            yield texts[0] if len(texts) == 1 else texts


def po_path(code: str) -> Path:
    return LOCALE / code / "LC_MESSAGES" / "slopebeat.po"


def translated(code: str) -> Catalog:
    """The translation as it is kept; an empty one where there is none yet."""
    path = po_path(code)
    if not path.is_file():
        return Catalog(locale=code)
    with path.open("rb") as stream:
        return read_po(stream, locale=code)


def updated(code: str, template: Catalog) -> Steady:
    """The translation with exactly the texts of the template; a changed text is a new one."""
    known = {key_of(message): message for message in translated(code)}
    messages = []
    for message in template:
        old = known.get(key_of(message))
        kept = old is not None and old.id == message.id
        string = old.string if old is not None and kept else None
        flags = old.flags if old is not None and kept else ()
        comments = old.user_comments if old is not None and kept else ()
        messages.append(Message(message.id, string, message.locations, flags, user_comments=comments))
    return steady(code, messages)


def as_po(catalogue: Catalog) -> bytes:
    out = BytesIO()
    write_po(out, catalogue, width=0, sort_output=True, include_lineno=False)
    return out.getvalue()


def as_mo(catalogue: Catalog) -> bytes:
    out = BytesIO()
    write_mo(out, catalogue)
    return out.getvalue()


def main() -> int:
    template = extracted()
    LOCALE.mkdir(parents=True, exist_ok=True)
    TEMPLATE.write_bytes(as_po(template))
    for code in LANGUAGES:
        catalogue = updated(code, template)
        path = po_path(code)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(as_po(catalogue))
        path.with_suffix(".mo").write_bytes(as_mo(catalogue))
        done = sum(is_translated(message) for message in catalogue if message.id)
        print(f"{code}: {done} of {len(catalogue)} texts translated")
    return 0


def is_translated(message: Message) -> bool:
    strings = (message.string,) if isinstance(message.string, str) else message.string or ()
    return bool(strings) and all(strings)


if __name__ == "__main__":
    sys.exit(main())
