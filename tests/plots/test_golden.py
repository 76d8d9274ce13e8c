"""Every plot looks as stored; fonts may differ, a missing curve, fill or colour may not.

The stored pictures were looked at when they were made; ``python tests/make_golden.py`` draws them anew.
"""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from helpers.golden_pictures import FOLDER, differences, draw, pixels
from slopebeat.plots.colours import LIGHT

NAMES = (
    "account_bar",
    "ceiling",
    "elevation",
    "heart",
    "lactate",
    "months_series",
    "months_weeks",
    "notes_lane",
    "plan",
    "route_profile",
    "speed",
)
MOST_BYTES = 15_000

INKS = {
    "account_bar": ("in_band", "above_fill", "below_fill"),
    "elevation": ("ground",),
    "heart": ("in_band", "above", "above_fill", "below", "below_fill", "band_fill"),
    "plan": ("above",),
    "speed": ("idle",),
}
"""Colours without which a plot says nothing, by their names among the colours."""


@pytest.fixture(scope="module")
def drawn(qapp: QApplication, tmp_path_factory: pytest.TempPathFactory) -> dict[str, QImage]:
    """All plots, drawn once; it comes before the folders of each test, so it has its own."""
    with pytest.MonkeyPatch.context() as patch:
        for name in ("CONFIG", "DATA", "CACHE", "STATE"):
            patch.setenv(f"XDG_{name}_HOME", str(tmp_path_factory.mktemp(name.lower())))
        return draw()


def stored(name: str) -> QImage:
    image = QImage(str(FOLDER / f"{name}.png"))
    assert not image.isNull(), f"{name} is not stored; python tests/make_golden.py"
    return image


def test_every_plot_has_a_picture_and_every_picture_a_plot(drawn: dict[str, QImage]) -> None:
    assert sorted(drawn) == sorted(NAMES) == sorted(path.stem for path in FOLDER.glob("*.png"))
    assert all(path.stat().st_size < MOST_BYTES for path in FOLDER.glob("*.png"))


@pytest.mark.parametrize("name", NAMES)
def test_a_plot_looks_as_stored(drawn: dict[str, QImage], name: str) -> None:
    assert differences(pixels(stored(name)), pixels(drawn[name])) == []


@pytest.mark.parametrize(("name", "ink"), [(name, ink) for name, inks in INKS.items() for ink in inks])
def test_a_picture_without_one_of_its_colours_is_told(name: str, ink: str) -> None:
    """What a curve or fill that was not drawn would look like: its pixels are those of the ground."""
    whole = pixels(stored(name))
    bare = whole.copy()
    colour, panel = (_rgb(getattr(LIGHT, each)) for each in (ink, "panel"))
    gone = (np.abs(whole - colour) <= 8).all(axis=2)
    assert gone.sum() > 0
    bare[gone] = panel
    found = differences(whole, bare)
    assert any(each.startswith("lost") for each in found), found


@pytest.mark.parametrize("name", NAMES)
def test_a_picture_without_its_lines_is_told_and_a_moved_one_is_not(name: str) -> None:
    whole = pixels(stored(name))
    assert differences(whole, np.full_like(whole, 255)) != []
    moved = np.roll(whole, 1, axis=0)
    moved[0] = whole[0]
    assert differences(whole, moved) == []


def _rgb(name: str) -> np.ndarray:
    return np.array([int(name[i : i + 2], 16) for i in (1, 3, 5)], dtype=np.int16)
