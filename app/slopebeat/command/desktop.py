"""``slopebeat desktop --install | --remove``: the entry in the menus of a Linux desktop, for one user.

Follows the Desktop Entry Specification 1.4, the Shared MIME-info Database 0.21, the Icon Theme
Specification 0.13 and the XDG Base Directory Specification 0.8.
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
from pathlib import Path

from slopebeat.command.speech import add_speech_options
from slopebeat.disk.writing import PUBLIC, write_whole
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr

ICON_SIDES_PX = (64, 256)

UPDATERS = (("update-mime-database", "mime"), ("update-desktop-database", "applications"))
"""Programs that tell a desktop of new files, and the folder each is to look at; systems may lack them."""


def describe(parser: argparse.ArgumentParser) -> None:
    """Describe the command to its argument parser."""
    parser.description = tr(
        "A menu entry, icons and the file types FIT, GPX and TCX, for your user only; nothing else of "
        "the system is changed."
    )
    wanted = parser.add_mutually_exclusive_group(required=True)
    wanted.add_argument("--install", action="store_true", help=tr("write the files and say where"))
    wanted.add_argument("--remove", action="store_true", help=tr("remove the files again"))
    add_speech_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> None:
    """Carry out ``slopebeat desktop``."""
    for path in install() if options.install else remove():
        print(path)


def install() -> list[Path]:
    """Write every file and tell the desktop; returns the files.

    Raises
    ------
    UserError
        When this is no Linux, files are missing from the installation, or a folder may not be written to.
    """
    made = []
    for target, data in _files().items():
        try:
            target.parent.mkdir(parents=True, exist_ok=True)
        except OSError as problem:
            text = tr("{path} cannot be made: {reason}.")
            raise UserError(text.format(path=target.parent, reason=problem.strerror)) from problem
        write_whole(target, data, PUBLIC)
        made.append(target)
    _tell_desktop()
    return made


def remove() -> list[Path]:
    """Remove the files that :func:`install` writes; returns those that were there."""
    _refuse_elsewhere()
    gone = installed()
    for target in gone:
        try:
            target.unlink()
        except OSError as problem:
            text = tr("{path} cannot be removed: {reason}.")
            raise UserError(text.format(path=target, reason=problem.strerror)) from problem
    if gone:
        _tell_desktop()
    return gone


def installed() -> list[Path]:
    """The files :func:`install` wrote that are there; none on systems with other menus."""
    if not sys.platform.startswith("linux"):
        return []
    return [target for target in _targets() if target.exists()]


def exec_words(words: list[str]) -> str:
    """A command as the Exec key has it: quoted, then escaped again as every value of the file is."""
    quoted = []
    for word in words:
        text = word.replace("%", "%%")
        for sign in ("\\", '"', "`", "$"):
            text = text.replace(sign, f"\\{sign}")
        quoted.append(f'"{text}"')
    return " ".join(quoted).replace("\\", "\\\\")


def _refuse_elsewhere() -> None:
    if not sys.platform.startswith("linux"):
        raise UserError(tr("Menus of this kind are those of a Linux desktop; this system has others."))


def _targets() -> tuple[Path, ...]:
    data = _data_home()
    icons = (data / "icons" / "hicolor" / f"{side}x{side}" / "apps" for side in ICON_SIDES_PX)
    return (
        data / "applications" / "slopebeat.desktop",
        data / "mime" / "packages" / "slopebeat.xml",
        *(folder / "slopebeat.png" for folder in icons),
    )


def _files() -> dict[Path, bytes]:
    _refuse_elsewhere()
    resources = _resources()
    entry = (resources / "desktop" / "slopebeat.desktop").read_text(encoding="utf-8")
    own_start = entry.replace("Exec=slopebeat", f"Exec={exec_words(_program())}").encode()
    icons = [resources / "icons" / f"slopebeat_{side}.png" for side in ICON_SIDES_PX]
    types = resources / "desktop" / "slopebeat.xml"
    contents = (own_start, types.read_bytes(), *(icon.read_bytes() for icon in icons))
    return dict(zip(_targets(), contents, strict=True))


def _program() -> list[str]:
    script = Path(sys.executable).with_name("slopebeat")
    return [str(script)] if script.exists() else [sys.executable, "-m", "slopebeat"]


def _resources() -> Path:
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "resources", package.parent.parent / "resources"):
        if (folder / "desktop" / "slopebeat.desktop").is_file():
            return folder
    raise UserError(tr("The files for the desktop are not installed with this copy of the program."))


def _data_home() -> Path:
    """``XDG_DATA_HOME``; a relative one is invalid and is passed over, as the specification asks."""
    given = Path(os.environ.get("XDG_DATA_HOME", ""))
    return given if given.is_absolute() else Path.home() / ".local" / "share"


def _tell_desktop() -> None:
    for program, folder in UPDATERS:
        place = _data_home() / folder
        found = shutil.which(program)
        if found and place.is_dir():
            quiet = subprocess.DEVNULL
            subprocess.run([found, str(place)], stdout=quiet, stderr=quiet, check=False)
