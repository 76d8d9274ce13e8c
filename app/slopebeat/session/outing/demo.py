"""The demo outings and the aim of their invented athlete."""

from __future__ import annotations

import json
from pathlib import Path

from slopebeat.model.bands import BandMethod
from slopebeat.model.language import mark
from slopebeat.model.people import Aim
from slopebeat.session.outing.aim import BandChoice, Entered

DEMO_AIM = Entered(
    BandChoice(method=BandMethod.HR_MAX, hr_max_bpm=187), Aim(target_s=45 * 60.0, body_mass_kg=72.0)
)
"""The invented athlete of the demo outings."""

DEMO_NOTE = mark(
    "Demo outings of an invented hut warden and trail patrol. Their band is 60-70 % of a maximal heart rate "
    "of 187 bpm; yours is kept apart and comes back with your own recording."
)
"""Goes through the language when it is shown."""

NAMES = ("hut_supply_hike.fit", "forest_road_patrol.tcx", "lake_shore_walk.gpx")


def demo_files() -> tuple[Path, ...]:
    """The demo files that are installed, beside the package or at the top of the source tree."""
    package = Path(__file__).resolve().parents[2]
    for folder in (package / "samples", package.parent.parent / "samples"):
        found = tuple(folder / name for name in NAMES if (folder / name).is_file())
        if found:
            return found
    return ()


def demo_load(file_name: str) -> tuple[float, float | None]:
    """Load in kg and the second it was set down, as the truth beside a demo outing tells them."""
    for path in demo_files():
        truth = path.parent / "truth" / f"{path.stem}.json"
        if path.name == file_name and truth.is_file():
            load = json.loads(truth.read_text(encoding="utf-8")).get("load")
            if load:
                return float(load["load_kg"]), float(load["carried_until_s"])
    return 0.0, None
