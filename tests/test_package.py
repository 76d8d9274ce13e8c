"""What is handed out: built as an archive and a wheel, installed elsewhere, and started there.

The wheel is built from the unpacked archive, so that the archive is known to be whole. Libraries are those
of the Python that runs the tests; nothing is fetched.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import sysconfig
import tarfile
import venv
import zipfile
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

import pytest

from helpers.patience import WAIT_S

ROOT = Path(__file__).resolve().parent.parent
LEAST_SETUPTOOLS = 77
"""As pyproject.toml asks."""

NEEDED = ("app", "resources", "samples", "pyproject.toml", "README.md", "LICENSE")

BUILD = "import sys; from setuptools import build_meta; print(getattr(build_meta, sys.argv[1])(sys.argv[2]))"

DEMO = """
import sys
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
import slopebeat
from slopebeat.window.shell.app import open_window
app = QApplication([])
window = open_window([])
def seen():
    review = window.session.outing.review
    print(slopebeat.__file__)
    print(review.recording.file_name, round(review.account.in_band_s))
    QTimer.singleShot(0, app.quit)
window.session.outing.reviewed.connect(seen)
window.open_demo()
QTimer.singleShot(50_000, app.quit)
app.exec()
window.help.show_guide()
print(len(window.help.page.browser.toPlainText()))
window.session.close()
"""


@dataclass(frozen=True)
class Installed:
    """A copy in an environment of its own; ``wheel`` and ``archive`` are what it came from."""

    python: Path
    wheel: Path
    archive: Path
    folder: Path

    def run(self, *words: str) -> str:
        """What a command of the copy says, run far from the project; a failure shows what went wrong."""
        outside = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
        done = subprocess.run(
            words, cwd=self.folder, env=outside, capture_output=True, text=True, timeout=WAIT_S, check=False
        )
        assert done.returncode == 0, done.stderr
        return done.stdout


def _build(hook: str, source: Path, target: Path) -> Path:
    """An archive or a wheel of a source tree, by the hook of PEP 517."""
    target.mkdir(exist_ok=True)
    done = subprocess.run(
        [sys.executable, "-c", BUILD, hook, str(target)],
        cwd=source,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return target / done.stdout.splitlines()[-1]


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Installed:
    found = int(metadata.version("setuptools").split(".")[0])
    if found < LEAST_SETUPTOOLS:
        pytest.skip(f"setuptools {found} is older than the {LEAST_SETUPTOOLS} that building needs")
    folder = tmp_path_factory.mktemp("package")
    source = folder / "source"
    source.mkdir()
    skipped = shutil.ignore_patterns("__pycache__", "*.egg-info", "screenshots")
    for name in NEEDED:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, source / name, ignore=skipped)
        else:
            shutil.copy2(ROOT / name, source / name)
    archive = _build("build_sdist", source, folder / "dist")
    with tarfile.open(archive) as packed:
        packed.extractall(folder / "unpacked", filter="data")
    (unpacked,) = (folder / "unpacked").iterdir()
    wheel = _build("build_wheel", unpacked, folder / "dist")
    venv.create(folder / "environment", symlinks=os.name != "nt")
    python = folder / "environment" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    pip = [sys.executable, "-m", "pip", "--python", str(python), "--disable-pip-version-check", "--quiet"]
    # Bytecode is made of what is started, not of every module there is.
    subprocess.run([*pip, "install", "--no-index", "--no-deps", "--no-compile", str(wheel)], check=True)
    place = subprocess.run(
        [python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"],
        capture_output=True,
        text=True,
        check=True,
    ).stdout.strip()
    # Libraries of this Python, behind what was installed; editable installs in it are not followed.
    Path(place, "libraries.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    return Installed(python, wheel, archive, folder)


def test_the_wheel_holds_every_module_and_resource(installed: Installed) -> None:
    inside = set(zipfile.ZipFile(installed.wheel).namelist())
    modules = {path.relative_to(ROOT / "app").as_posix() for path in (ROOT / "app").glob("slopebeat/**/*.py")}
    assert modules - inside == set()
    wanted = [*(ROOT / "resources").glob("icons/*"), *(ROOT / "resources").glob("locale/*/LC_MESSAGES/*.mo")]
    wanted += [path for path in (ROOT / "resources" / "guide").rglob("*") if path.is_file()]
    wanted += list((ROOT / "resources" / "desktop").iterdir())
    wanted += [path for kind in ("fit", "gpx", "tcx") for path in (ROOT / "samples").glob(f"*.{kind}")]
    wanted += [*(ROOT / "samples" / "truth").iterdir(), *(ROOT / "samples" / "demo_library").iterdir()]
    missing = {f"slopebeat/{path.relative_to(ROOT).as_posix()}" for path in wanted} - inside
    assert missing == set()
    assert len(wanted) > 15


def test_nothing_else_is_in_it(installed: Installed) -> None:
    inside = zipfile.ZipFile(installed.wheel).namelist()
    kept = ("slopebeat/", f"{'-'.join(installed.wheel.name.split('-')[:2])}.dist-info/")
    assert [name for name in inside if not name.startswith(kept)] == []
    assert [name for name in inside if "__pycache__" in name or "screenshots" in name] == []
    assert any(name.endswith("LICENSE") for name in inside)


def test_the_command_says_its_version(installed: Installed) -> None:
    script = installed.python.with_name("slopebeat")
    assert installed.run(str(script), "--version").strip() == f"slopebeat {_version()}"


def test_a_sample_that_came_with_it_is_reviewed(installed: Installed) -> None:
    script = installed.python.with_name("slopebeat")
    where = "import slopebeat.samples as s; print(list(s.__path__)[0])"
    samples = Path(installed.run(str(installed.python), "-c", where).strip())
    assert samples.is_relative_to(installed.folder)
    sample = samples / "lake_shore_walk.gpx"
    said = installed.run(str(script), "review", str(sample), "--band", "112-131", "--json", "-")
    assert json.loads(said)
    assert sample.is_file()


def test_the_demo_opens_from_there(installed: Installed) -> None:
    place, outing, guide = installed.run(str(installed.python), "-c", DEMO).splitlines()
    assert Path(place).is_relative_to(installed.folder)
    name, in_band_s = outing.rsplit(" ", 1)
    truth = json.loads((ROOT / "samples" / "truth" / f"{Path(name).stem}.json").read_text(encoding="utf-8"))
    # The generator knows every second of the outing; 1 % is what reading and cleaning may differ by.
    assert int(in_band_s) == pytest.approx(truth["seconds"]["in_band"], rel=0.01)
    assert int(guide) > 2000


def _version() -> str:
    line = next(
        line
        for line in (ROOT / "pyproject.toml").read_text(encoding="utf-8").splitlines()
        if "version =" in line
    )
    return line.split('"')[1]
