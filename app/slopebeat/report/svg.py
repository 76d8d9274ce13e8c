"""A scene as SVG."""

from __future__ import annotations

import numpy as np

from slopebeat.report.shapes import Array, Path, Rect, Scene, Shape, Text
from slopebeat.report.words import markup

FONTS = "system-ui, 'Segoe UI', 'Helvetica Neue', Arial, 'DejaVu Sans', sans-serif"
"""Fonts of the reader's own machine: nothing is fetched."""

DASH = "2.4 1.6"


def svg(scene: Scene, standalone: bool = True) -> str:
    """The scene as an ``svg`` element; ``standalone`` makes it a file of its own."""
    space = ' xmlns="http://www.w3.org/2000/svg"' if standalone else ""
    size = f' width="{_n(scene.width)}pt" height="{_n(scene.height)}pt"' if standalone else ""
    head = (
        f'<svg{space}{size} viewBox="0 0 {_n(scene.width)} {_n(scene.height)}" role="img" '
        f'font-family="{FONTS}"><title>{markup(scene.title)}</title>'
    )
    described = f"<desc>{markup(scene.description)}</desc>" if scene.description else ""
    body = "".join(_shape(shape) for shape in scene.shapes)
    prolog = '<?xml version="1.0" encoding="UTF-8"?>\n' if standalone else ""
    return f"{prolog}{head}{described}{body}</svg>" + ("\n" if standalone else "")


def _shape(shape: Shape) -> str:
    if isinstance(shape, Path):
        return _path(shape)
    return _rect(shape) if isinstance(shape, Rect) else _text(shape)


def _path(path: Path) -> str:
    if not path.parts:
        return ""
    closed = "Z" if path.fill else ""
    data = "".join(f"M{_points(part)}{closed}" for part in path.parts)
    look = f' fill="{path.fill or "none"}"'
    if path.stroke:
        look += f' stroke="{path.stroke}" stroke-width="{_n(path.width)}" stroke-linejoin="round"'
        look += f' stroke-dasharray="{DASH}"' if path.dashed else ""
    return f'<path d="{data}"{look}/>'


def _points(part: Array) -> str:
    """Hundredths of a point without trailing zeros, all put into one text: a chart has thousands."""
    values = np.round(part.ravel(), 2).tolist()
    return " ".join(["%g"] * len(values)) % tuple(values)


def _rect(rect: Rect) -> str:
    place = f'x="{_n(rect.x)}" y="{_n(rect.y)}" width="{_n(rect.width)}" height="{_n(rect.height)}"'
    edge = f' stroke="{rect.stroke}" stroke-width="{_n(rect.line)}"' if rect.stroke else ""
    return f'<rect {place} fill="{rect.fill or "none"}"{edge}/>'


def _text(text: Text) -> str:
    weight = ' font-weight="600"' if text.bold else ""
    return (
        f'<text x="{_n(text.x)}" y="{_n(text.y)}" font-size="{_n(text.size)}" fill="{text.colour}" '
        f'text-anchor="{text.anchor.value}"{weight}>{markup(text.text)}</text>'
    )


def _n(value: float) -> str:
    return f"{round(float(value), 2):g}"
