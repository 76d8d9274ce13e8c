"""Write how well each figure held into the help: ``python tests/benchmarks/held_to.py``.

What is written, ``resources/guide/measured.json``, is read from what the benchmarks printed, as the chapter
of ``trust.py`` is; no number in it is typed by hand. A test holds it to the kept tables.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from pathlib import Path

import trust

TARGET = trust.ROOT / "resources" / "guide" / "measured.json"

Evidence = dict[str, tuple[str, dict[str, str]]]
"""By its kind the day it was measured and the figures a sentence names."""


def evidence() -> Evidence:
    """All of it, from the tables that are kept."""
    return {**_next_outings(), **_predicted(), **_same_ground(), **_months(), **_simulated()}


def _next_outings() -> Evidence:
    """The athlete with most outings: the shares of the next one, and the time until the target."""
    found: Evidence = {}
    for kind, made in (("share", trust.coming), ("clock", trust.on_the_clock)):
        table = made()
        who, sport = _most(table.rows)
        rows = {row[2]: row for row in table.rows if row[:2] == (who, sport)}
        named = {"who": who}
        for short, gone in (("usual", "as usual"), ("kept", "mean kept")):
            _, _, _, cases, error, simplest, holds = rows[gone]
            named |= {f"{short}_cases": cases, short: error, f"{short}_simplest": simplest}
            named[f"{short}_holds"] = holds
        found[kind] = (table.day, named)
    return found


def _predicted() -> Evidence:
    """Time on a way, minutes in band on it, and heart rate, of the athlete with most outings."""
    table = trust.predicted()
    rows = {row[2]: row for row in table.rows}
    usual, known, heart = rows["time.as usual"], rows["time.mean known"], rows["heart"]
    _, lines = trust.kept("real_months")
    minutes = re.findall(
        r"minutes in band: mean error\s+(\S+), interval held\s+(\d+) %\s+\(median share x rule of thumb "
        r"(\S+)\)",
        "\n".join(lines),
    )
    if len(minutes) != 2:
        raise trust.Missing("minutes in band of plans")
    return {
        "time": (table.day, {"who": usual[0], **_pair("usual", usual), **_pair("known", known)}),
        "minutes": (
            table.day,
            {
                "who": usual[0],
                "cases": usual[3],
                **{
                    f"{short}{name}": value
                    for short, (error, holds, simplest) in zip(("usual", "known"), minutes, strict=True)
                    for name, value in (("", error), ("_simplest", simplest), ("_holds", f"{holds} %"))
                },
            },
        ),
        "heart": (
            table.day,
            {"who": heart[0], "cases": heart[3], "error": heart[4], "simplest": heart[5]},
        ),
    }


def _pair(short: str, row: Sequence[str]) -> dict[str, str]:
    _, _, _, cases, error, simplest, holds = row
    return {
        f"{short}_cases": cases,
        short: error,
        f"{short}_simplest": simplest,
        f"{short}_holds": holds,
    }


def _same_ground() -> Evidence:
    table = trust.same_ground()
    who, _, _, passes, error, there, everywhere = max(table.rows, key=lambda row: int(row[3]))
    named = {"who": who, "passes": passes, "error": error, "there": there, "everywhere": everywhere}
    return {"ground": (table.day, named)}


def _months() -> Evidence:
    """A lasting change, after each number of weeks."""
    table = trust.months()
    rows = [row for row in table.rows if row[2] == "lasting"]
    weeks = list(dict.fromkeys(row[0] for row in rows))
    named = {"weeks": _listed(weeks)}
    for course in ("still", "wanders", "changes"):
        called = [row[3].removesuffix(" %") for row in rows if row[1] == course]
        named[course] = _listed(called)
    held = [int(row[4].removesuffix(" %")) for row in rows]
    return {"months": (table.day, {**named, "low": str(min(held)), "high": str(max(held))})}


def _listed(each: Sequence[str]) -> str:
    return ", ".join(each)


def _simulated() -> Evidence:
    """Decoupling, causes, speed to hold and climbs held, in the life-like world and in the harsh one."""
    table = trust.simulated()
    fair = {}
    for row in table.rows:
        if row[1] == "all":
            short = row[0].lower()
            fair |= {short: row[4], f"{short}_speed": row[2], f"{short}_holds": row[5]}
    _, lines = trust.kept("life_like")
    text = " ".join(line.strip() for line in lines)
    causes = re.findall(r"causes: (\d+) % of seconds named rightly", text)
    hold = re.findall(r"the interval holds (\d+) %, median error (\S+) %", text)
    climbs = re.findall(
        r"in-band share off by (\S+) points \(left as it was (\S+)\); the 80 % interval holds (\d+) %", text
    )
    worlds = ("life", "harsh")
    if not len(causes) == len(hold) == len(climbs) == len(worlds):
        raise trust.Missing("causes, speed to hold and climbs of two worlds")
    return {
        "decoupling": (table.day, fair),
        "causes": (table.day, dict(zip(worlds, causes, strict=True))),
        "hold": (
            table.day,
            {
                name: value
                for world, (holds, error) in zip(worlds, hold, strict=True)
                for name, value in ((world, error), (f"{world}_holds", f"{holds} %"))
            },
        ),
        "held": (
            table.day,
            {
                name: value
                for world, (error, left, holds) in zip(worlds, climbs, strict=True)
                for name, value in ((world, error), (f"{world}_left", left), (f"{world}_holds", f"{holds} %"))
            },
        ),
    }


def _most(rows: Sequence[Sequence[str]]) -> tuple[str, str]:
    """Athlete and sport with most cases."""
    row = max(rows, key=lambda each: int(each[3]))
    return row[0], row[1]


def source(found: Evidence) -> str:
    return json.dumps(found, indent=1, ensure_ascii=False) + "\n"


def write(target: Path = TARGET) -> None:
    target.write_text(source(evidence()), encoding="utf-8")


if __name__ == "__main__":
    write()
