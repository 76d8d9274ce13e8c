"""The samples are what their generator makes, to the byte, and the generator owes nothing to the program."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from generator import scenarios
from make_samples import truth_text

STEMS = ("hut_supply_hike", "forest_road_patrol", "lake_shore_walk")
LARGEST_BYTES = 600_000
LARGEST_ARCHIVE_BYTES = 1_000_000


@pytest.mark.parametrize("stem", STEMS)
def test_a_fresh_generation_equals_the_file_and_its_truth(samples_folder: Path, stem: str) -> None:
    if stem == "hut_supply_hike":
        pytest.importorskip("garmin_fit_sdk", reason="the FIT sample is written by the official SDK")
    sample = getattr(scenarios, stem)()
    assert sample.encode() == (samples_folder / sample.file_name).read_bytes()
    assert truth_text(sample) == (samples_folder / "truth" / f"{stem}.json").read_text()


def test_every_scenario_has_its_file_and_its_truth_and_nothing_else_lies_there(samples_folder: Path) -> None:
    files = {p.name for p in samples_folder.iterdir() if p.suffix in (".fit", ".tcx", ".gpx")}
    assert {Path(name).stem for name in files} == {s.__name__ for s in scenarios.SCENARIOS} == set(STEMS)
    assert {p.stem for p in (samples_folder / "truth").iterdir()} == set(STEMS)


def test_the_files_stay_small(samples_folder: Path) -> None:
    for path in samples_folder.rglob("*"):
        # An archive holds half a year of one person's outings, not one outing.
        limit = LARGEST_ARCHIVE_BYTES if path.suffix == ".zip" else LARGEST_BYTES
        assert not path.is_file() or path.stat().st_size < limit, path.name


def test_the_generator_imports_nothing_of_the_program(samples_folder: Path) -> None:
    users = {"from_python.py", "make_coach_library.py"}  # one shows the program, one fills a library with it
    sources = [path for path in samples_folder.rglob("*.py") if path.name not in users]
    assert len(sources) > 8
    for path in sources:
        for node in ast.walk(ast.parse(path.read_text())):
            names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom) and node.level == 0:
                names.append(node.module or "")
            assert not any(name.split(".")[0] == "slopebeat" for name in names), path.name
