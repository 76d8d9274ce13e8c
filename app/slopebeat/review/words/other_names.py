"""Names on screen of the keys that months, planned ways and lactate tests have, and one outing has not."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from typing import Any

from slopebeat.analysis.band.lactate import Method
from slopebeat.analysis.months.choice import Terrain
from slopebeat.analysis.months.weeks import Apart
from slopebeat.analysis.route.plan import StrategyName
from slopebeat.model.language import mark

OTHER_NAMES: Mapping[type[Enum], Mapping[Any, str]] = {
    Method: {
        Method.LOWER_FIXED: mark("1.0 mmol/L"),
        Method.UPPER_FIXED: mark("1.9 mmol/L"),
        Method.BASELINE: mark("baseline + 0.5 mmol/L"),
        Method.LOG_LOG: mark("break of the log-log lines"),
    },
    Terrain: {
        Terrain.GENTLE: mark("gentle ground"),
        Terrain.MIXED: mark("mixed ground"),
        Terrain.STEEP: mark("steep ground"),
    },
    Apart: {
        Apart.NO_BAND: mark("no band in force"),
        Apart.NO_HEART_RATE: mark("too little heart rate"),
        Apart.SHORT: mark("recorded under 20 min"),
    },
    StrategyName: {
        StrategyName.USUAL: mark("as usual"),
        StrategyName.HOLD: mark("heart rate held"),
    },
}
"""Marked texts, by kind of key; ``key_name`` of ``names`` looks here after its own."""
