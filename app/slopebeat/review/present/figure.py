"""A figure, said once: what the window, the report, the commands, JSON, CSV and the help read."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Flag, auto
from functools import partial
from typing import Any

from slopebeat.model.language import mark, tr
from slopebeat.model.measures import Measure, pace_in_force
from slopebeat.review.present import kinds

PROJECT_CHOICE = mark("A choice of this program; no published value is known.")


class On(Flag):
    """Where a figure is shown to people; the help explains every one that has a hint."""

    NOTHING = 0
    WINDOW = auto()
    DETAIL = auto()
    REPORT = auto()
    TERMINAL = auto()
    ALL = WINDOW | REPORT | TERMINAL


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
    name: str = ""
    line: str = ""
    text: str = ""
    source: str = ""
    limits: str = ""


@dataclass(frozen=True)
class Figure(Explanation):
    """One figure of a row: a column of tables, a part of an account, a figure under the cursor.

    Attributes
    ----------
    kind : how it is written. get : its value from the number of a row, from 0, and the row; by default the
        row's attribute of its name in JSON or of ``field``. ``field`` may be a way of several, ``week.iso``;
        None anywhere on it is None at its end.
    json, csv : its names there; empty where it is not there. on : where else.
    words : its text from the row, where that is not the value written.
    leads : whether CSV has it before all others, as what tells rows apart.
    """

    kind: kinds.Kind = kinds.COUNT
    json: str = ""
    csv: str = ""
    on: On = On.WINDOW
    get: Callable[[int, Any], Any] | None = None
    field: str = ""
    words: Callable[[Any], str] | None = None
    leads: bool = False

    def value(self, index: int, row: Any) -> Any:
        """The value of a row, SI; None where it is unknown."""
        if self.get is not None:
            return self.get(index, row)
        for name in (self.field or self.json).split("."):
            row = None if row is None else getattr(row, name)
        return row

    def text_of(self, index: int, row: Any) -> str:
        """The value as shown, without its unit."""
        return self.words(row) if self.words is not None else self.kind.write(self.value(index, row))

    @property
    def unit(self) -> str:
        """The sign of the unit in force."""
        return self.kind.unit.unit if isinstance(self.kind.unit, Measure) else self.kind.unit

    @property
    def header(self) -> str:
        """The name in the language in force with its unit under it."""
        return f"{self._called}\n{self.unit}" if self.unit else self._called

    @property
    def caption(self) -> str:
        """The same on one line."""
        return f"{self._called} {self.unit}".rstrip()

    @property
    def _called(self) -> str:
        return tr("Pace") if self.kind is kinds.OWN_SPEEDS and pace_in_force() else tr(self.name)


shown_everywhere = partial(Figure, on=On.ALL)
on_screen = partial(Figure, on=On.WINDOW | On.TERMINAL)
in_tables = partial(Figure, on=On.WINDOW | On.REPORT)
in_files = partial(Figure, on=On.NOTHING)
"""Figures by where they are shown: a table that is seen in one place says so once for all of it."""


@dataclass(frozen=True)
class Topic:
    """A group of figures that stand together on screen."""

    key: str
    name: str
    figures: Sequence[Explanation]

    @property
    def entries(self) -> tuple[Explanation, ...]:
        """Those that are explained."""
        return tuple(each for each in self.figures if each.line)


def shown_on(where: On, figures: Sequence[Figure]) -> tuple[Figure, ...]:
    """The figures shown there, in their order."""
    return tuple(each for each in figures if where in each.on)


def json_of(figures: Sequence[Figure], index: int, row: Any) -> dict[str, Any]:
    """A row as JSON has it; values may be keys of an enumeration and NaN, which the writer turns."""
    return {each.json: each.value(index, row) for each in figures if each.json}


def aligned_lines(rows: Sequence[Sequence[str]], left: Sequence[int] = (0,), indent: str = "") -> list[str]:
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


def text_table(
    where: On,
    figures: Sequence[Figure],
    rows: Sequence[Any],
    left: Sequence[int] | None = None,
    indent: str = "",
    units_below: bool = True,
) -> list[str]:
    """Rows as lines under the heads of the figures shown there; words start alike where ``left`` is None."""
    shown = shown_on(where, figures)
    heads = headers([each.header if units_below else each.caption for each in shown])
    cells = [[each.text_of(i, row) for each in shown] for i, row in enumerate(rows)]
    words = [at for at, each in enumerate(shown) if each.kind.words]
    return aligned_lines([*heads, *cells], words if left is None else left, indent)


def csv_table(figures: Sequence[Figure], rows: Sequence[Any]) -> tuple[list[str], list[list[Any]]]:
    """Header and cells of rows as CSV has them."""
    there = sorted((each for each in figures if each.csv), key=lambda each: not each.leads)
    cells = [[_csv_cell(each, each.value(i, row)) for each in there] for i, row in enumerate(rows)]
    return [each.csv for each in there], cells


def _csv_cell(each: Figure, value: Any) -> Any:
    if value is None or each.kind.words:
        return value
    return value if isinstance(value, int) else float(value) * each.kind.csv_factor
