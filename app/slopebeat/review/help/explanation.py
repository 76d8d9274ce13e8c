"""One figure explained: what a hover says, and what the help says at length."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Explanation:
    """What a figure is. All texts are marked English ones, looked up where they are shown.

    Attributes
    ----------
    key : how code and links name it.
    name : as on screen. line : one sentence, shown on hovering.
    text : definition and formula at length. source : where the definition comes from.
    limits : what the figure does not say.
    """

    key: str
    name: str
    line: str
    text: str = ""
    source: str = ""
    limits: str = ""


@dataclass(frozen=True)
class Topic:
    """A group of figures that stand together on screen."""

    key: str
    name: str
    entries: tuple[Explanation, ...]
