"""One action of the window as data."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class ActionRow:
    """One action: menu, words, shortcut, name of the method it calls, and what it does in a whole sentence.

    Texts are marked ones; the shortcut is Qt's portable text. ``room`` names the part of the window that has
    the method, where that part is made with the first of its acts.
    """

    menu: str
    words: str
    shortcut: str
    slot: str
    tip: str
    room: str = ""
