"""Tables as lines of plain text."""

from __future__ import annotations

from collections.abc import Sequence


def table(rows: Sequence[Sequence[str]], left: Sequence[int] = (0,), indent: str = "") -> list[str]:
    """Rows as lines; the columns numbered in ``left`` start alike, all others end alike."""
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    lines = []
    for row in rows:
        cells = [
            cell.ljust(width) if number in left else cell.rjust(width)
            for number, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append((indent + "  ".join(cells)).rstrip())
    return lines


def headers(names: Sequence[str]) -> list[list[str]]:
    """Names of several lines as rows of a table, standing on the last of them."""
    lines = [name.split("\n") for name in names]
    deepest = max(len(each) for each in lines)
    padded = [[""] * (deepest - len(each)) + each for each in lines]
    return [list(row) for row in zip(*padded, strict=True)]
