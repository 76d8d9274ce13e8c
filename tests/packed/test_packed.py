"""The packed folder, started where no Python is found: ``python3 app/pack/build.py``, then this by hand.

It is not among the usual tests: the folder takes minutes to build.
"""

from __future__ import annotations

import json
import os
import re
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

import slopebeat
from helpers.patience import WAIT_S, wait_until

ROOT = Path(__file__).resolve().parents[2]
FOLDER = Path(os.environ.get("SLOPEBEAT_PACKED", ROOT / "dist" / "slopebeat"))
SAMPLES = ROOT / "samples"
MOST_BYTES = 250 * 2**20

pytestmark = [
    pytest.mark.skipif(not FOLDER.is_dir(), reason="python3 app/pack/build.py has not made the folder"),
    pytest.mark.skipif(not sys.platform.startswith("linux"), reason="untried on this system"),
]


@pytest.fixture
def bare(tmp_path: Path) -> dict[str, str]:
    """The environment of a machine without Python: no path to any, no variable of one, an empty home."""
    (tmp_path / "empty").mkdir()
    return {
        "HOME": str(tmp_path),
        "PATH": str(tmp_path / "empty"),
        "QT_QPA_PLATFORM": "offscreen",
        "LANG": "C.UTF-8",
    }


def run(bare: dict[str, str], *words: str | Path) -> str:
    """What the packed program says; a failure shows what went wrong."""
    done = subprocess.run(
        [FOLDER / "slopebeat", *words],
        env=bare,
        cwd=bare["HOME"],
        capture_output=True,
        text=True,
        timeout=WAIT_S,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def wait_for(found: Callable[[], bool], process: subprocess.Popen[bytes]) -> None:
    """Wait until something is so, as long as the program runs."""

    def come_true() -> bool:
        assert process.poll() is None, "the program ended"
        return found()

    wait_until(come_true)


def test_it_is_small_enough_and_holds_what_belongs_to_it() -> None:
    files = [path for path in FOLDER.rglob("*") if path.is_file() and not path.is_symlink()]
    assert sum(path.stat().st_size for path in files) < MOST_BYTES
    inside = FOLDER / "_internal" / "slopebeat"
    for name, pattern in (
        ("resources", "guide/**/*.*"),
        ("resources", "icons/*"),
        ("resources", "locale/*/LC_MESSAGES/*.mo"),
        ("resources", "desktop/*"),
        ("samples", "*.fit"),
        ("samples", "*.gpx"),
        ("samples", "*.tcx"),
        ("samples", "demo_library/*"),
    ):
        ours = {path.relative_to(ROOT) for path in (ROOT / name).glob(pattern) if path.is_file()}
        assert ours, pattern
        for path in ours:
            assert (inside / path).read_bytes() == (ROOT / path).read_bytes()
    assert (FOLDER / "LICENSE").is_file()
    assert {"PySide6_Essentials", "numpy", "scipy"} <= {path.name for path in (FOLDER / "licences").iterdir()}


def test_it_says_its_version(bare: dict[str, str]) -> None:
    assert run(bare, "--version").strip() == f"slopebeat {slopebeat.__version__}"


@pytest.mark.parametrize("name", ["hut_supply_hike.fit", "lake_shore_walk.gpx", "forest_road_patrol.tcx"])
def test_it_counts_what_the_program_with_python_counts(bare: dict[str, str], name: str) -> None:
    said = json.loads(run(bare, "review", SAMPLES / name, "--band", "112-131", "--json", "-"))
    here = slopebeat.review_outing(SAMPLES / name, band="112-131").values()
    assert said.keys() == here.keys()
    for part in ("in_band_s", "above_s", "below_s", "ascent_m"):
        assert said[part] == pytest.approx(here[part], rel=1e-9)
    assert said["decoupling"]["terrain_fair_percent"] == pytest.approx(
        here["decoupling"]["terrain_fair_percent"], rel=1e-4
    )


def test_it_writes_a_report_and_speaks_german(bare: dict[str, str], tmp_path: Path) -> None:
    report = tmp_path / "report.pdf"
    sample = SAMPLES / "lake_shore_walk.gpx"
    run(bare, "review", sample, "--band", "112-131", "--pdf", report, "--html", tmp_path / "report.html")
    assert report.read_bytes().startswith(b"%PDF-")
    german = run(bare, "review", sample, "--band", "112-131", "--language", "de")
    assert "im Bereich" in german


def test_worker_processes_fill_a_library(bare: dict[str, str], tmp_path: Path) -> None:
    library = tmp_path / "library.sqlite3"
    archive = SAMPLES / "demo_library" / "hut_warden.zip"
    truth = json.loads((archive.parent / "truth.json").read_text(encoding="utf-8"))
    run(bare, "import", archive, "--library", library, "--athlete", "Hut warden", "--band", "112-131")
    months = json.loads(run(bare, "months", "--library", library, "--json", "-"))
    assert months["outings"] == len(truth["archives"][archive.name]["outings"])
    # A plan asks more of the numeric libraries than all else does, and loads it late.
    told = ("--library", library, "--athlete", "Hut warden", "--ground", "foot", "--json", "-")
    plan = json.loads(run(bare, "plan", SAMPLES / "lake_shore_walk.gpx", *told))
    assert plan["ascent_m"] is not None


def test_its_window_opens_the_demo_and_nothing_of_another_python(
    bare: dict[str, str], tmp_path: Path
) -> None:
    state, data = (tmp_path / ".local" / name / "slopebeat" for name in ("state", "share"))
    demo = data / "demo_library.sqlite3"

    def is_filled() -> bool:
        if not demo.is_file():
            return False
        with closing(sqlite3.connect(f"file:{demo}?mode=ro", uri=True)) as library:
            try:
                return bool(library.execute("SELECT count(*) FROM result").fetchone()[0] > 2)
            except sqlite3.OperationalError:
                return False

    with subprocess.Popen(
        [FOLDER / "slopebeat", "--demo"], env=bare, cwd=tmp_path, stderr=subprocess.PIPE
    ) as process:
        try:
            # The library of the demo is built once its outing is drawn.
            wait_for(is_filled, process)
            maps = Path(f"/proc/{process.pid}/maps").read_text(encoding="utf-8")
        finally:
            process.send_signal(signal.SIGTERM)
            process.wait(WAIT_S)
    # What goes wrong in a window is logged and shown in it, and the window stays.
    assert list((state / "log").glob("error-*.log")) == []
    loaded = set(re.findall(r"/\S+", maps))
    own = {path for path in loaded if path.startswith(str(FOLDER.resolve()))}
    assert any("libpython" in path for path in own)
    others = [path for path in loaded - own if re.search(r"python|site-packages|PySide|numpy", path)]
    assert others == []


def test_the_icons_of_other_systems_are_read_by_what_reads_such_files(tmp_path: Path) -> None:
    """ICO by Qt; of ICNS the lengths of its elements are followed, as no reader of it is at hand here."""
    from PySide6.QtGui import QImageReader

    sys.path.insert(0, str(ROOT / "app" / "pack"))
    import recipe

    ico = recipe.icon_file("ico", tmp_path)
    reader = QImageReader(str(ico))
    assert reader.imageCount() == 2
    assert {(reader.jumpToImage(n), reader.read().width())[1] for n in range(2)} == {64, 256}
    icns = recipe.icon_file("icns", tmp_path)
    assert icns is not None
    data, at, kinds = icns.read_bytes(), 8, []
    assert int.from_bytes(data[4:8], "big") == len(data)
    while at < len(data):
        kinds.append(data[at : at + 4])
        assert data[at + 8 : at + 16] == b"\x89PNG\r\n\x1a\n"
        at += int.from_bytes(data[at + 4 : at + 8], "big")
    assert (kinds, at) == ([b"ic12", b"ic08"], len(data))
