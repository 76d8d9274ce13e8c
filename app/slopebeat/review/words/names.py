"""Names on screen of the keys of ``analysis`` and of ``model``."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from typing import Any

from slopebeat.analysis.account.causes import Cause
from slopebeat.analysis.account.episodes import Direction
from slopebeat.analysis.band.drift_test import DriftTestOutcome
from slopebeat.analysis.band.lactate import Method
from slopebeat.analysis.months.trend import PMethod
from slopebeat.analysis.months.choice import Terrain
from slopebeat.analysis.response.decoupling import Output, Verdict
from slopebeat.analysis.response.fit import FitStatus
from slopebeat.analysis.response.grid import LeftOut
from slopebeat.analysis.route.plan import StrategyName
from slopebeat.model.language import mark, tr
from slopebeat.model.people import PhaseKind
from slopebeat.model.recording import Sport
from slopebeat.model.sentences import names

NAMES: Mapping[type[Enum], Mapping[Any, str]] = {
    **names.NAMES,
    Cause: {
        Cause.STEEP_CLIMB: mark("steep climb"),
        Cause.FAST_CLIMB: mark("climb too fast"),
        Cause.TOO_FAST: mark("too fast"),
        Cause.SURGE: mark("surge"),
        Cause.DRIFT: mark("drift"),
        Cause.USUAL_TOO_HIGH: mark("usual effort too high"),
        Cause.MORE_THAN_WORK: mark("more than the work"),
        Cause.DESCENT: mark("descent"),
        Cause.STOP: mark("stop"),
        Cause.WARM_UP: mark("warm-up"),
        Cause.EASY_GROUND: mark("easy ground"),
        Cause.EASY_CLIMB: mark("easy on a climb"),
        Cause.USUAL_TOO_LOW: mark("usual effort too low"),
        Cause.LESS_THAN_WORK: mark("less than the work"),
        Cause.CANNOT_TELL: mark("cannot tell"),
        Cause.SENSOR_DOUBT: mark("sensor doubt"),
    },
    Direction: {
        Direction.ABOVE: mark("above"),
        Direction.BELOW: mark("below"),
    },
    LeftOut: {
        LeftOut.WARM_UP: mark("first 10 minutes"),
        LeftOut.STOPS: mark("stops"),
        LeftOut.NO_HEART_RATE: mark("no or marked heart rate"),
        LeftOut.NO_OUTPUT: mark("no output"),
        LeftOut.NO_WORK: mark("no work rate"),
        LeftOut.RESTART: mark("after a pause or gap"),
        LeftOut.SURPRISES: mark("out of all pattern"),
    },
    Output: {
        Output.SPEED: mark("speed"),
        Output.WORK_RATE: mark("work rate"),
        Output.POWER: mark("recorded power"),
    },
    DriftTestOutcome: {
        DriftTestOutcome.UNDER: mark("the upper edge sits under the drift threshold"),
        DriftTestOutcome.OVER: mark("the upper edge sits over the drift threshold"),
        DriftTestOutcome.NOT_A_TEST: mark("this outing is no drift test"),
    },
    Method: {
        Method.LOWER_FIXED: mark("1.0 mmol/L"),
        Method.UPPER_FIXED: mark("1.9 mmol/L"),
        Method.BASELINE: mark("baseline + 0.5 mmol/L"),
        Method.LOG_LOG: mark("break of the log-log lines"),
    },
    PMethod: {
        PMethod.EXACT: mark("exact"),
        PMethod.NORMAL: mark("normal approximation"),
        PMethod.TIES: mark("normal approximation, because equal values have no exact table"),
        PMethod.NONE: mark("too few points"),
    },
    Terrain: {
        Terrain.GENTLE: mark("gentle ground"),
        Terrain.MIXED: mark("mixed ground"),
        Terrain.STEEP: mark("steep ground"),
    },
    PhaseKind: {
        PhaseKind.BLOCK: mark("block"),
        PhaseKind.CAMP: mark("camp"),
        PhaseKind.ILLNESS: mark("illness"),
    },
    Verdict: {
        Verdict.STEADY: mark("steady enough"),
        Verdict.TERRAIN: mark("terrain decides"),
        Verdict.TOO_SHORT: mark("too short"),
        Verdict.NO_DATA: mark("no data"),
    },
    FitStatus: {
        FitStatus.USABLE: mark("usable"),
        FitStatus.UNDECIDED: mark("undecided"),
        FitStatus.TOO_SHORT: mark("too short"),
        FitStatus.LITTLE_HEART_RATE: mark("too little heart rate"),
        FitStatus.NO_WORK: mark("no work rate"),
        FitStatus.NO_RESPONSE: mark("heart rate did not follow work"),
        FitStatus.NO_DATA: mark("no data"),
    },
    StrategyName: {
        StrategyName.USUAL: mark("as usual"),
        StrategyName.HOLD: mark("heart rate held"),
    },
}
"""Marked texts, by kind of key: keys of two kinds may be spelled alike."""


def key_name(key: Enum) -> str:
    """The name of a key in the language in force."""
    return tr(NAMES[type(key)][key])


def sport_name(kept: str) -> str:
    """The name of a sport by the key a library keeps; one of a later version is shown as it is."""
    try:
        return key_name(Sport(kept))
    except ValueError:
        return kept
