"""Numbers at axes are written as the language in force writes them, along every side."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QApplication

from slopebeat.model import measures
from slopebeat.plots.chart import ThemedAxis, ValueAxis


@pytest.mark.parametrize("kind", [ThemedAxis, ValueAxis])
@pytest.mark.parametrize(("sign", "words"), [(",", ["−1,5", "0,5"]), (".", ["−1.5", "0.5"])])
def test_an_axis_writes_the_decimal_sign_and_a_true_minus(
    qapp: QApplication, kind: type[ThemedAxis], sign: str, words: list[str]
) -> None:
    before = measures.decimal_sign()
    measures.use_decimal_sign(sign)
    try:
        axis = kind("bottom" if kind is ThemedAxis else "left")
        assert axis.tickStrings([-1.5, 0.5], 1.0, 0.5) == words
    finally:
        measures.use_decimal_sign(before)
