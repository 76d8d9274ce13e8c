"""Tables of pandas out of rows; units are in the names of their columns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from slopebeat.review.present.figure import Figure, json_of
from slopebeat.review.values import plain

if TYPE_CHECKING:
    import pandas as pd


def names_of(figures: Sequence[Figure]) -> tuple[str, ...]:
    """The columns of a table of figures."""
    return tuple(each.json for each in figures if each.json)


def figure_table(figures: Sequence[Figure], rows: Sequence[Any]) -> pd.DataFrame:
    """A table with a row for each of ``rows``, named as in JSON."""
    return table(names_of(figures), [json_of(figures, index, row) for index, row in enumerate(rows)])


def table(names: Sequence[str], rows: Sequence[Mapping[str, Any]]) -> pd.DataFrame:
    """A table of these columns, also where there is no row; unknown numbers are NaN, words are text."""
    import pandas as pd

    columns = {name: [plain(row[name]) for row in rows] for name in names}
    return pd.DataFrame({name: _column(values) for name, values in columns.items()})


def _column(values: list[Any]) -> Any:
    """Numbers as floats where one is unknown: pandas would keep objects where none is known."""
    known = [value for value in values if value is not None]
    if len(known) < len(values) and not any(isinstance(value, str | bool) for value in known):
        return np.array([np.nan if value is None else value for value in values], dtype=float)
    return values
