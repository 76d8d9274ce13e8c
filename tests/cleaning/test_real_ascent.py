"""Ascent against what the recording devices themselves summed up."""

from __future__ import annotations

from pathlib import Path

from slopebeat.cleaning.clean import clean
from slopebeat.files.reading import read_recordings


def test_ascent_is_near_the_devices_own_on_most_recordings(
    recordings: Path, index: dict[str, dict[str, str]]
) -> None:
    ratios = {}
    for name, row in index.items():
        if not row["device_ascent_m"]:
            continue
        ascents = [clean(r).elevation.ascent_m or 0.0 for r in read_recordings(recordings / name)]
        ratios[name] = sum(ascents) / float(row["device_ascent_m"])
    near = [name for name, ratio in ratios.items() if abs(ratio - 1.0) <= 0.15]
    assert len(ratios) >= 10
    assert len(near) >= 0.8 * len(ratios), ratios
