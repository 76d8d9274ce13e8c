"""How a bicycle rolls, told from the kind of riding: the resistances its work is modelled with."""

from __future__ import annotations

import numpy as np

from slopebeat.analysis.response.work_rate import RoadLoad
from slopebeat.model.recording import Recording, Sport
from slopebeat.model.track import Track

ROAD = RoadLoad(cda_m2=0.32, crr=0.006)
"""A road bike [project choice]: typical drag areas are 0.28-0.38 m2 and rolling 0.003-0.006, from memory."""

TRAIL = RoadLoad(cda_m2=0.45, crr=0.015)
"""Forest roads and trails [project choice]: upright 0.40-0.55 m2 from memory; off-road tyres 0.021 on average
by the virtual-elevation method, gravel less."""

ROAD_WORDS = ("road", "track", "virtual", "indoor", "spin")
TRAIL_WORDS = ("mountain", "gravel", "cyclocross", "trail", "downhill", "bmx", "off_road", "mixed")
"""Parts of the words in files."""

ROAD_MPS = 5.0
"""Where no word tells: a usual speed of 18 km/h or more is road riding [project choice]."""


def road_load_of(recording: Recording, track: Track) -> RoadLoad:
    """Resistances by sport, by the file's words on the kind of riding, else by the usual speed."""
    if recording.sport is Sport.MOUNTAIN_BIKING or any(word in recording.said for word in TRAIL_WORDS):
        return TRAIL
    if any(word in recording.said for word in ROAD_WORDS):
        return ROAD
    known = track.moving & np.isfinite(track.speed_mps)
    fast = known.any() and float(np.median(track.speed_mps[known])) >= ROAD_MPS
    return ROAD if fast else TRAIL
