"""Pictures as a short list of shapes, which every way of writing them draws alike.

Lengths are points (1/72 inch), x to the right and y down, as in SVG and on a painter. Colours are
``#rrggbb``. Hatches are lines like any other, so that no format's own patterns come in between.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

PAGE_WIDTH_PT = 527.28
"""Width of a picture that fills an A4 page (595.28) between margins of 12 mm."""

HATCH_STEP_PT = 3.2
"""Distance of hatch lines along an axis [project choice]: two millimetres hold two lines in print."""


LETTER_EM = 0.6
"""Width of a letter in ems, on the wide side of common fonts [project choice]."""


def size_for(text: str, size: float, room: float) -> float:
    """The size at which a line fits its room: other languages take more words than the one it was cut for."""
    return min(size, room / (LETTER_EM * max(len(text), 1)))


class Anchor(Enum):
    """Which point of a text its x is."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, eq=False)
class Path:
    """Straight lines through points; each part is an array (n, 2). With ``fill`` every part is closed."""

    parts: tuple[Array, ...]
    stroke: str | None = None
    width: float = 0.7
    fill: str | None = None
    dashed: bool = False


@dataclass(frozen=True)
class Rect:
    """A rectangle."""

    x: float
    y: float
    width: float
    height: float
    fill: str | None = None
    stroke: str | None = None
    line: float = 0.5


@dataclass(frozen=True)
class Text:
    """One line of text; y is its baseline."""

    x: float
    y: float
    text: str
    size: float = 7.0
    colour: str = "#000000"
    anchor: Anchor = Anchor.START
    bold: bool = False


Shape = Path | Rect | Text


@dataclass(frozen=True, eq=False)
class Scene:
    """A picture: shapes in the order they are drawn, later ones on top.

    Attributes
    ----------
    title : what it shows, in a few words. description : the same for who cannot see it.
    """

    width: float
    height: float
    shapes: tuple[Shape, ...]
    title: str
    description: str = ""


@dataclass(frozen=True, eq=False)
class Picture:
    """A picture under a heading; without one it stands by itself."""

    title: str
    scene: Scene


class Hatch(Enum):
    """How a surface is hatched; says the same as its colour. The window hatches alike."""

    NONE = ""
    FALLING = "\\"
    RISING = "/"
    CROSSED = "x"


def hatch(box: Rect, kind: Hatch, ink: str, step: float = HATCH_STEP_PT) -> tuple[Path, ...]:
    """The hatch lines of a box, cut at its edges; nothing for no hatch or an empty box."""
    if kind is Hatch.NONE or box.width <= 0.0 or box.height <= 0.0:
        return ()
    left, top, right, bottom = box.x, box.y, box.x + box.width, box.y + box.height
    first = np.floor((left + top) / step) + 1
    sums = np.arange(first * step, right + bottom, step)
    x1, x2 = np.maximum(left, sums - bottom), np.minimum(right, sums - top)
    rising = np.stack([np.stack([x1, sums - x1], axis=1), np.stack([x2, sums - x2], axis=1)], axis=1)
    falling = rising.copy()
    falling[:, :, 1] = top + bottom - rising[:, :, 1]
    lines = {
        Hatch.RISING: list(rising),
        Hatch.FALLING: list(falling),
        Hatch.CROSSED: [*rising, *falling],
    }[kind]
    return (Path(tuple(lines), stroke=ink, width=0.45),) if lines else ()
