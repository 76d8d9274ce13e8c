"""Set up a fresh machine: a virtual environment, the package in it, and Qt's system libraries.

Uses only the standard library, because it runs before anything is installed.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import venv
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
ENVIRONMENT = ROOT / ".venv"
OLDEST_PYTHON = (3, 11)

LOCKS = {
    "": ROOT / "app" / "locked.txt",
    "test": ROOT / "app" / "locked-test.txt",
    "package": ROOT / "app" / "locked-package.txt",
}
"""What is installed, with hashes, for each extra; renewed by ``python tests/renew_locks.py``."""

BUILD_LOCK = ROOT / "app" / "locked-build.txt"
"""What builds this package, and those that are handed out as sources only."""

WHEELS = "SLOPEBEAT_WHEELS"
"""Variable that names a folder of wheels; else ``wheels`` beside pyproject.toml is taken where it is there.
With such a folder nothing is fetched."""

LOG = ENVIRONMENT / "installation.log"
"""What the installer said the last time."""

SHOWN_LINES = 20
"""So many of its lines at most are shown where it failed [project choice]."""

DEBIAN_PACKAGES = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libGLX.so.0": "libglx0",
    "libOpenGL.so.0": "libopengl0",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libfreetype.so.6": "libfreetype6",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libgthread-2.0.so.0": "libglib2.0-0",
    "libX11.so.6": "libx11-6",
    "libX11-xcb.so.1": "libx11-xcb1",
    "libxcb.so.1": "libxcb1",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render.so.0": "libxcb-render0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-shm.so.0": "libxcb-shm0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-util.so.1": "libxcb-util1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libwayland-client.so.0": "libwayland-client0",
    "libwayland-cursor.so.0": "libwayland-cursor0",
    "libwayland-egl.so.1": "libwayland-egl1",
}
"""Shared library to Debian package, for what Qt's wheels expect from the system."""

FONT_PACKAGE = "fonts-dejavu-core"


def prepare(extra: str = "", offscreen: bool = False) -> Path:
    """Make the environment with the package and an optional extra; return its Python.

    Exits with a sentence when something is missing that cannot be installed from here.
    """
    if sys.version_info < OLDEST_PYTHON:
        wanted = ".".join(map(str, OLDEST_PYTHON))
        sys.exit(f"Python {wanted} or newer is needed; this is {sys.version.split()[0]}.")
    python = _environment(extra)
    _install(python, extra)
    if sys.platform.startswith("linux"):
        _system_libraries(python, offscreen)
    return python


def _environment(extra: str) -> Path:
    python = ENVIRONMENT / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    # The installer takes a second to say that it works: it is only asked where there is something to install.
    works = ["-c", ""] if _is_installed(extra) else ["-m", "pip", "--version"]
    if python.exists() and _run([python, *works]) == 0:
        return python
    try:
        venv.create(ENVIRONMENT, with_pip=True, clear=True)
    except (OSError, subprocess.CalledProcessError) as problem:
        shutil.rmtree(ENVIRONMENT, ignore_errors=True)
        sys.exit(
            f"The virtual environment could not be made ({problem}). "
            "On Debian-like systems install it with: apt-get install python3-venv"
        )
    return python


def wheels() -> Path | None:
    """The folder everything is installed from where nothing may be fetched; None where there is none."""
    named = os.environ.get(WHEELS)
    if named:
        folder = Path(named).expanduser().absolute()
        if not folder.is_dir():
            sys.exit(f"{WHEELS} names {folder}, which is no folder.")
        return folder
    folder = ROOT / "wheels"
    return folder if folder.is_dir() else None


class ProgressLine:
    """One line that says what is done and how far it is; on a terminal it is written anew, else only once."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._over = sys.stdout.isatty()
        self._last = ""
        print(f"{text} ...", end="" if self._over else "\n", flush=True)

    def show(self, state: str) -> None:
        """Say how far it is."""
        if self._over and state != self._last:
            blank = " " * max(len(self._last) - len(state), 0)
            print(f"\r{self._text}: {state}{blank}", end="", flush=True)
            self._last = state

    def end(self, state: str) -> None:
        """It is over."""
        self.show(state)
        if self._over:
            print(flush=True)


class Installer:
    """pip with its own words in a log, and a count of what it has got."""

    def __init__(self, python: Path, lock: Path, say: Callable[[str], None]) -> None:
        self._call: list[str | Path] = [python, "-m", "pip", "install", "--disable-pip-version-check"]
        # Without a cache: nothing of the program is left outside its folder.
        self._call += ["--no-input", "--progress-bar", "off", "--no-cache-dir"]
        # Most of what is installed is never loaded; the rest is compiled when it first is, in seconds.
        self._call += ["--no-compile"]
        folder = wheels()
        if folder is not None:
            self._call += ["--no-index", "--find-links", folder]
        self._count = sum(text.count("==") for text in map(Path.read_text, (BUILD_LOCK, lock)))
        self._got = 0
        self._say = say
        LOG.unlink(missing_ok=True)

    def install(self, *wanted: str | Path) -> bool:
        """Whether pip installed what is asked for."""
        with LOG.open("a", encoding="utf-8", errors="replace") as log:
            process = subprocess.Popen(
                [*self._call, *wanted],
                stdout=subprocess.PIPE,
                stderr=subprocess.STDOUT,
                encoding="utf-8",
                errors="replace",
            )
            assert process.stdout is not None
            for line in process.stdout:
                log.write(line)
                self._follow(line)
            return process.wait() == 0

    def _follow(self, line: str) -> None:
        if line.startswith(("Collecting ", "Requirement already satisfied")):
            self._got = min(self._got + 1, self._count)
            self._say(f"{self._got} of {self._count} packages")
        elif line.startswith("Installing collected"):
            self._say("putting the packages in place")


def _wanted(extra: str) -> str:
    """What stands for the state of pyproject.toml and the lock."""
    files = (ROOT / "pyproject.toml", BUILD_LOCK, LOCKS[extra])
    return hashlib.sha256(b"".join(map(Path.read_bytes, files)) + str(ROOT).encode()).hexdigest()


def _stamp(extra: str) -> Path:
    """The file that says for which state everything was installed."""
    return ENVIRONMENT / f"installed-{extra or 'plain'}"


def _is_installed(extra: str) -> bool:
    stamp = _stamp(extra)
    return stamp.exists() and stamp.read_text(encoding="utf-8") == _wanted(extra)


def _install(python: Path, extra: str) -> None:
    """Install once for each state of pyproject.toml and the lock."""
    if _is_installed(extra):
        return
    line = ProgressLine(f"Setting the program up in {ENVIRONMENT.name}, once, {_from_where()}")
    installer = Installer(python, LOCKS[extra], line.show)
    target = f"{ROOT}[{extra}]" if extra else str(ROOT)
    if not _install_locked(installer, LOCKS[extra], target):
        line.end("what is locked does not fit")
        print(_NOT_LOCKED.format(lock=LOCKS[extra].name), file=sys.stderr, flush=True)
        line = ProgressLine("Trying the versions that pyproject.toml allows")
        if not installer.install("--editable", target):
            line.end("failed")
            sys.exit(_failure())
    line.end("done")
    _stamp(extra).write_text(_wanted(extra), encoding="utf-8")


_NOT_LOCKED = "What is locked in {lock} could not be installed: perhaps nothing locked fits this system."


def _from_where() -> str:
    folder = wheels()
    return "which takes a few minutes" if folder is None else f"from the files in {folder.name}"


def _install_locked(installer: Installer, lock: Path, target: str) -> bool:
    """Install exactly what is locked, then the package, which finds all it needs; tell if that worked."""
    hashed = ("--require-hashes", "--no-deps", "--requirement")
    here = "--no-build-isolation"
    steps = ((*hashed, BUILD_LOCK), (here, *hashed, lock), (here, "--no-deps", "--editable", target))
    return all(installer.install(*step) for step in steps)


def _failure() -> str:
    """What the installer said at last, and what to do."""
    lines = LOG.read_text(encoding="utf-8").splitlines() if LOG.exists() else []
    # Reasons begin so; without any the last lines are all that is known.
    shown = [line for line in lines if line.startswith("ERROR")][-SHOWN_LINES:] or lines[-SHOWN_LINES:]
    folder = wheels()
    asked = "Is the machine online?" if folder is None else f"Does {folder} hold all that is locked?"
    return "\n".join([*shown, f"The installation failed; {LOG} holds all the installer said. {asked}"])


def _system_libraries(python: Path, offscreen: bool) -> None:
    missing = _missing_libraries(python, offscreen)
    packages = sorted({DEBIAN_PACKAGES[name] for name in missing if name in DEBIAN_PACKAGES})
    if not _has_font():
        packages.append(FONT_PACKAGE)
    unknown = sorted(name for name in missing if name not in DEBIAN_PACKAGES)
    if not packages and not unknown:
        return
    command = ["apt-get", "install", "-y", *packages]
    root = hasattr(os, "geteuid") and os.geteuid() == 0
    print(f"Qt needs system libraries that are missing: {', '.join([*packages, *unknown])}.", flush=True)
    if packages and root and shutil.which("apt-get"):
        print(f"Installing them: {' '.join(command)}", flush=True)
        quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        subprocess.call(["apt-get", "update", "-qq"], env=quiet)
        subprocess.call([*command[:2], "-qq", *command[2:]], env=quiet, stdout=subprocess.DEVNULL)
        missing = _missing_libraries(python, offscreen)
        if not missing:
            return
    sys.exit(
        f"Still missing: {', '.join(sorted(missing)) or 'a font'}. On Debian-like systems install with:\n"
        f"  sudo {' '.join(command)}"
    )


def _missing_libraries(python: Path, offscreen: bool) -> set[str]:
    """Shared libraries that Qt's own files name and the system does not have, as ``ldd`` finds them."""
    if not shutil.which("ldd"):
        return set()
    find = "import importlib.util as u; print(u.find_spec('PySide6').submodule_search_locations[0])"
    place = subprocess.run([python, "-c", find], capture_output=True, text=True, check=False).stdout.strip()
    if not place:
        return set()
    qt = Path(place) / "Qt"
    plugins = ["libqoffscreen.so"] if offscreen else ["libqoffscreen.so", "libqxcb.so"]
    files = [qt / "lib" / f"libQt6{name}.so.6" for name in ("Core", "Gui", "Widgets", "DBus")]
    files += [qt / "plugins" / "platforms" / name for name in plugins]
    listed = subprocess.run(
        ["ldd", *(file for file in files if file.exists())], capture_output=True, text=True, check=False
    ).stdout
    return {line.split()[0] for line in listed.splitlines() if "not found" in line}


def _has_font() -> bool:
    places = [Path("/usr/share/fonts"), Path("/usr/local/share/fonts"), Path.home() / ".local/share/fonts"]
    return any(next(place.rglob("*.[to]tf"), None) for place in places if place.is_dir())


def _run(command: list[str | Path]) -> int:
    return subprocess.call(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
