"""What other programs may rely on is written down, and stays so as long as the version does."""

from __future__ import annotations

import pkgutil
import re
import subprocess
import sys
from pathlib import Path

import pytest

import make_promise as promise
import slopebeat

ROOT = Path(__file__).resolve().parents[2]

UNITS = ("s", "m", "mps", "kg", "bpm", "deg", "rpm", "w", "c", "percent", "minutes", "utc", "day", "week")
WITH_UNIT = re.compile(rf"_({'|'.join(UNITS)})(_per_(kg|h|week))?$")

WITHOUT_UNIT = {
    # Shares of one, and rises over lengths.
    *("grade", "grade_mean", "grade_steepest", "exit_grade", "cause_grade", "share_above", "yield_share"),
    *("steep_share", "too_steep_probability", "work_variation"),
    *(f"{way}_share{end}" for way in ("as_usual", "aimed") for end in ("", "_low", "_high")),
    # Counts and numbers.
    *("outings", "unbanded", "sessions", "missing_sessions", "break_weeks", "doubts", "climb", "birth_year"),
    *("number", "times", "days", "indoors", "outings_of_sport"),
    # Flags, keys and words.
    *("moving", "on_bike", "on_climb", "above_at_foot", "met", "band_state", "cause", "channel", "direction"),
    *("reason", "ground", "method", "name", "outing_id", "sport", "title", "most_above", "week", "monday"),
    *("kind", "as_usual_no_length", "aimed_no_length"),
}


def test_what_is_offered_is_what_was_promised() -> None:
    target = promise.path_of(slopebeat.INTERFACE_VERSION)
    assert target.is_file(), f"python tests/make_promise.py writes {target.name}"
    promised = target.read_text(encoding="utf-8").splitlines()
    offered = promise.lines()
    assert sorted(set(promised) - set(offered)) == [], "taken away: raise the first number, or leave it"
    assert sorted(set(offered) - set(promised)) == [], "added: raise the second number"


def test_what_an_earlier_version_promised_holds_until_the_first_number_rises() -> None:
    offered, first = set(promise.lines()), slopebeat.INTERFACE_VERSION.split(".")[0]
    for path in promise.PROMISED.glob(f"{first}.*.txt"):
        assert set(path.read_text(encoding="utf-8").splitlines()) <= offered, path.name


def test_a_promise_cannot_be_written_over(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(promise, "PROMISED", tmp_path)
    assert promise.main() == 0
    assert promise.main() == 0, "the same again is no change"
    path = promise.path_of(slopebeat.INTERFACE_VERSION)
    path.write_text("name something_else\n", encoding="utf-8")
    assert promise.main() == 1
    assert path.read_text(encoding="utf-8") == "name something_else\n"


def test_every_number_in_a_table_has_its_unit_in_its_name() -> None:
    for table, names in promise.TABLES.items():
        for name in names:
            assert name in WITHOUT_UNIT or WITH_UNIT.search(f"_{name}"), f"{table}: {name}"


def test_no_name_is_that_of_a_package_which_would_take_its_place() -> None:
    inside = {module.name for module in pkgutil.iter_modules(slopebeat.__path__)}
    assert not inside & set(slopebeat.__all__)


def test_every_name_is_explained() -> None:
    for name in slopebeat.__all__:
        value = getattr(slopebeat, name)
        if not isinstance(value, str):
            assert value.__doc__, name
    for line in promise.lines():
        kind, part = line.split(" ", 1)
        if kind in ("attribute", "method"):
            owner, name = re.split(r"[:(]", part)[0].split(".")
            if not name.startswith("__"):
                assert getattr(getattr(slopebeat, owner), name).__doc__, part


def test_importing_it_loads_nothing_else() -> None:
    code = "import sys; before = set(sys.modules); import slopebeat; print(*set(sys.modules) - before)"
    ran = subprocess.run(
        [sys.executable, "-I", "-c", f"import sys; sys.path.insert(0, {str(ROOT / 'app')!r}); {code}"],
        capture_output=True,
        text=True,
        check=True,
    )
    # What of Python itself a start has loaded before differs from environment to environment.
    loaded = [name for name in ran.stdout.split() if name.partition(".")[0] not in sys.stdlib_module_names]
    assert loaded == ["slopebeat"]


def test_an_unknown_name_is_refused_as_modules_do() -> None:
    with pytest.raises(AttributeError, match="no attribute 'reviews'"):
        slopebeat.reviews  # noqa: B018
