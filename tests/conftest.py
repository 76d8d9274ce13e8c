"""What every test stands on: isolated folders, no stray log lines, and the real recordings."""

from __future__ import annotations

import csv
import gc
import gettext
import logging
import os
from collections.abc import Generator, Iterator
from itertools import count
from pathlib import Path

import pytest
from hypothesis import HealthCheck
from hypothesis import settings as hypothesis_settings
from PySide6.QtWidgets import QApplication

from helpers.own_home import use_home
from helpers.shares import plugins_for
from helpers.workers_here import USERS, WorkersHere
from slopebeat.library import connections
from slopebeat.model import language, measures
from slopebeat.review.imports.pool import Workers
from slopebeat.session.garbage import collect_what_is_due

ROOT = Path(__file__).resolve().parent.parent
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
RECORDINGS = ROOT.parent / "shared" / "recordings"
_HOMES = count()
OF_THE_PROGRAM = connections.SYNCHRONOUS

# No test may fail because the machine is slow: time is for the benchmarks.
# Half the library's usual number of examples: each run draws others, and long sweeps stand in ``fuzz``.
hypothesis_settings.register_profile(
    "untimed", deadline=None, max_examples=50, suppress_health_check=[HealthCheck.too_slow]
)
hypothesis_settings.load_profile("untimed")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--keep-seconds", action="store_true", help="keep what each file took, for the shares")


def pytest_configure(config: pytest.Config) -> None:
    for plugin in plugins_for(config):
        config.pluginmanager.register(plugin)


def pytest_collection() -> None:
    """As in the program, no thread at work collects what is left of a window.

    From here on, as rewriting assertions makes much that is no garbage: it takes a third less without.
    """
    gc.disable()


def pytest_collection_finish() -> None:
    """What is loaded stays to the end: a collection need not go through a million objects of it each time."""
    gc.freeze()


def pytest_sessionfinish() -> None:
    gc.enable()


@pytest.fixture(autouse=True)
def _own_folders(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """No test sees or changes the settings and data of the person who runs it."""
    # Not by mktemp, which looks through the folders of all tests before for a number that is free.
    home = tmp_path_factory.getbasetemp() / "homes" / str(next(_HOMES))
    home.mkdir(parents=True)
    use_home(home, monkeypatch)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol() -> Generator[None, object, object]:
    """What needs no fixture of its own, which would cost a third of a millisecond for each test.

    English, metric and with a point, whatever the machine is set to and whatever a test chose; and what has
    become garbage is collected between tests.
    """
    _show_alike()
    result = yield
    _show_alike()
    collect_what_is_due()
    return result


@pytest.fixture(scope="session", autouse=True)
def _application(qapp: QApplication) -> None:
    """One application for the whole run, whichever test comes first.

    An axis made without one ends the process, and a command that draws makes one that can show no window.
    """


@pytest.fixture(scope="session", autouse=True)
def _work_here() -> Iterator[None]:
    """Imports start no processes where those are not the subject; see ``workers_here``."""
    with pytest.MonkeyPatch.context() as patch:
        for user in USERS:
            patch.setattr(f"{user}.Workers", WorkersHere)
        yield


@pytest.fixture(scope="session", autouse=True)
def _no_wait_for_the_disk() -> Iterator[None]:
    """No test cuts the power, and to outlast less than that a commit need not wait."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(connections, "SYNCHRONOUS", "OFF")
        yield


@pytest.fixture
def real_commits(monkeypatch: pytest.MonkeyPatch) -> None:
    """A test that asks for this has libraries that wait for the disk as the program's do."""
    monkeypatch.setattr(connections, "SYNCHRONOUS", OF_THE_PROGRAM)


@pytest.fixture
def real_workers(monkeypatch: pytest.MonkeyPatch) -> None:
    """A test that asks for this lets imports start processes of their own."""
    for user in USERS:
        monkeypatch.setattr(f"{user}.Workers", Workers)


class OnlyTexts(gettext.NullTranslations):
    """English; a key that is shown in place of its name fails the test."""

    def gettext(self, message: str) -> str:
        assert type(message) is str, f"{message!r} is a key; its name is shown by key_name"
        return message


def _show_alike() -> None:
    language.use_language(language.SOURCE_LANGUAGE)
    language.use_catalogue(OnlyTexts())
    measures.use_system(measures.System.METRIC)
    measures.use_decimal_sign(".")
    measures.use_pace(False)


@pytest.fixture(autouse=True)
def _quiet_log(caplog: pytest.LogCaptureFixture) -> Iterator[None]:
    """A warning in the log that a test did not ask for fails it; a test that expects one clears it."""
    yield
    stray = [r for r in caplog.get_records("call") if r.levelno >= logging.WARNING]
    assert not stray, f"unexpected log lines: {[r.getMessage() for r in stray]}"


@pytest.fixture(scope="session")
def recordings() -> Path:
    """Folder of real recordings; they are people's tracks and stay outside the project."""
    if not RECORDINGS.is_dir():
        pytest.skip("the folder of real recordings is not beside the project")
    return RECORDINGS


@pytest.fixture(scope="session")
def index(recordings: Path) -> dict[str, dict[str, str]]:
    """Independent counts of the recordings by file name."""
    with (recordings / "INDEX.csv").open(newline="", encoding="utf-8") as table:
        return {row["file"]: row for row in csv.DictReader(table)}
