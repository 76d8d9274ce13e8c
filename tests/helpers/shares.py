"""Which worker runs which test files, so that all end together and each imports only its own.

With ``--dist loadfile`` every worker imports every test module to number the same tests as the others, 12 s
of processor time in each (25 s where pytest has not kept the rewritten assertions yet). With ``--dist each``
and a share of the files for each worker that is done once, and what takes long is not left for the end.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping
from itertools import count
from pathlib import Path
from typing import Any

import pytest

TESTS = Path(__file__).resolve().parent.parent
SECONDS = TESTS / "seconds.json"
"""What each file took at a run of all tests; ``pytest -n auto --dist each --keep-seconds`` writes it."""

UNKNOWN_S = 0.5
"""A new file is taken to last so long; it runs in any case."""


def shares(files: Iterable[str], seconds: Mapping[str, float], workers: int) -> list[list[str]]:
    """Each file in one of ``workers`` shares: the longest first, each to the share that has least to do."""
    made: list[list[str]] = [[] for _ in range(workers)]
    busy = [0.0] * workers
    for file in sorted(files, key=lambda file: (-seconds.get(file, UNKNOWN_S), file)):
        least = busy.index(min(busy))
        made[least].append(file)
        busy[least] += seconds.get(file, UNKNOWN_S)
    return made


def all_files() -> list[str]:
    """Every test module, as it is named from the folder of the tests."""
    return [path.relative_to(TESTS).as_posix() for path in TESTS.rglob("test_*.py")]


def kept_seconds() -> dict[str, float]:
    return dict(json.loads(SECONDS.read_text(encoding="utf-8")))


class Handing:
    """Gives each worker the number of its share; one that takes the place of a crashed one has its share."""

    def __init__(self) -> None:
        self._free: list[int] = []
        self._next = count()
        self._collected = 0

    @pytest.hookimpl(optionalhook=True)
    def pytest_configure_node(self, node: Any) -> None:
        node.workerinput["share"] = self._free.pop() if self._free else next(self._next)

    @pytest.hookimpl(optionalhook=True)
    def pytest_testnodedown(self, node: Any) -> None:
        self._free.append(node.workerinput["share"])

    @pytest.hookimpl(optionalhook=True)
    def pytest_xdist_node_collection_finished(self, ids: list[str]) -> None:
        self._collected += len(ids)

    def pytest_sessionstart(self, session: pytest.Session) -> None:
        self._session = session

    def pytest_runtest_logstart(self) -> None:
        """How many there are in all, by which the share done is told; otherwise those of one worker."""
        self._session.testscollected = self._collected


class OwnShare:
    """In a worker: leaves out what is another's where folders are run; each runs a file that is named."""

    def __init__(self, share: int, workers: int) -> None:
        made = shares(all_files(), kept_seconds(), workers)
        self._others = {TESTS / file for part in made[:share] + made[share + 1 :] for file in part}

    def pytest_ignore_collect(self, collection_path: Path) -> bool | None:
        return True if collection_path in self._others else None


class KeptSeconds:
    """Adds up what the tests of each file take and keeps it."""

    def __init__(self) -> None:
        self._seconds: defaultdict[str, float] = defaultdict(float)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self._seconds[report.nodeid.partition("::")[0].removeprefix("tests/")] += report.duration

    def pytest_sessionfinish(self) -> None:
        kept = {file: round(seconds, 1) for file, seconds in sorted(self._seconds.items())}
        SECONDS.write_text(json.dumps(kept, indent=0) + "\n", encoding="utf-8")


def plugins_for(config: pytest.Config) -> list[object]:
    """What takes part in this process."""
    given = getattr(config, "workerinput", None)
    if given is not None:
        return [OwnShare(given["share"], given["workercount"])] if "share" in given else []
    taking_part: list[object] = [KeptSeconds()] if config.getoption("keep_seconds") else []
    if config.getoption("dist", "no") == "each":
        taking_part.append(Handing())
    return taking_part
