"""What goes into the packed program and what does not, and what differs from system to system."""

from __future__ import annotations

import re
import struct
import sys
import tomllib
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
NAME = "slopebeat"
IDENTIFIER = "slopebeat.desktop"

NOT_IMPORTED = [
    # Tables for programs in Python, which use the package and not the packed program.
    *("pandas", "dateutil", "pytz"),
    # What libraries would like to have and the program never asks for.
    *("tkinter", "IPython", "matplotlib", "PIL", "pytest", "hypothesis", "setuptools", "pip"),
    *("jinja2", "numba", "lxml", "OpenGL", "pyqtgraph.opengl", "cupy", "h5py"),
    # Nothing is ever fetched or sent, and a terminal is only written to.
    *("ssl", "_ssl", "_hashlib", "readline", "curses"),
    *("PySide6.QtNetwork", "PySide6.QtQml", "PySide6.QtQuick", "PySide6.QtTest"),
    *("PySide6.QtDesigner", "PySide6.QtUiTools", "PySide6.QtSql", "PySide6.QtSvgWidgets"),
]

_QT = "Qml|Quick|Pdf|VirtualKeyboard|Network|ShaderTools|Sql|Test|Designer|Help|Labs|Concurrent|Egl|EGL"
_PLUGINS = "tls|networkinformation|virtualkeyboard|qmltooling|sqldrivers|egldeviceintegrations|generic"
_GTK = (
    "gtk-3|gdk-3|gdk_pixbuf|gio-2|gobject-2|gmodule-2|atk-1|atk-bridge|pango\\w*-1|cairo|cairo-gobject|pixman|harfbuzz|"
    "fribidi|thai|datrie|graphite2|epoxy|mount|blkid|krb5|krb5support|k5crypto|gssapi_krb5|keyutils|com_err|jpeg|"
    "readline|tinfo|uuid|selinux"
)

_UNUSED = re.compile(
    r"(^|/)("
    # Parts of Qt without which its windows are the same: no web page and no scene in space is drawn.
    rf"(lib)?Qt6?({_QT})\w*\.(so|dll|dylib|pyd)\S*"
    r"|Qt/(qml|metatypes|libexec)/.*"
    rf"|plugins/({_PLUGINS}|platforminputcontexts)/.*"
    r"|plugins/platforms/(lib)?q(eglfs|linuxfb|vnc|minimalegl|vkkhrdisplay|minimal)\S*"
    r"|plugins/imageformats/(lib)?q(pdf|webp|tiff|tga|wbmp|icns|jpeg)\S*"
    # The theme of one desktop with all it is drawn with; the dialogs of every desktop come by its portal.
    r"|plugins/platformthemes/libqgtk3\S*"
    rf"|lib({_GTK})[-.\d]*\.so\S*"
    # Tests of libraries, and languages of Qt that the program does not speak.
    r"|tests/.*"
    r"|translations/(?!qt(base)?_(de|en))\S*"
    r")$"
)
"""What PyInstaller finds beside the libraries and nothing asks for."""


@dataclass(frozen=True)
class System:
    """What differs on a system.

    Attributes
    ----------
    icon : kind of file its icons are in, empty where programs hold none.
    hides_console : whether the terminal that opens with it is closed again.
    strips : whether symbols for debuggers are taken out. bundle : name of the application folder, if any.
    tried : whether the recipe was carried out there.
    """

    icon: str = ""
    hides_console: bool = False
    strips: bool = False
    bundle: str = ""
    tried: bool = False


SYSTEMS = {
    # Menu entry and icon are written by the program itself: slopebeat desktop --install.
    "linux": System(strips=True, tried=True),
    # Untried. Commands need the console; started from the desktop the program hides the one it opened.
    "win32": System(icon="ico", hides_console=True),
    # Untried. Not signed: the first start has to be allowed by hand.
    "darwin": System(icon="icns", bundle="Slopebeat.app"),
}


def here() -> System:
    """The system this runs on; a plain folder where it is none of the known."""
    return SYSTEMS.get(sys.platform, System())


def icon_file(kind: str, folder: Path) -> Path | None:
    """The icons in the file a system wants, written into a folder; None where it wants none.

    Both kinds hold PNG as it is: ICO since Windows Vista (directory of 6 bytes, 16 for each picture), ICNS in
    elements of a type, a length and the picture (types ic12 and ic08 are of 64 and 256 pixels).
    """
    if not kind:
        return None
    icons = ROOT / "resources" / "icons"
    pictures = {side: (icons / f"slopebeat_{side}.png").read_bytes() for side in (64, 256)}
    if kind == "ico":
        head, body = struct.pack("<HHH", 0, 1, len(pictures)), b""
        for side, png in pictures.items():
            at = 6 + 16 * len(pictures) + len(body)
            head += struct.pack("<BBBBHHII", side % 256, side % 256, 0, 0, 1, 32, len(png), at)
            body += png
        data = head + body
    else:
        types = {64: b"ic12", 256: b"ic08"}
        body = b"".join(types[side] + struct.pack(">I", 8 + len(png)) + png for side, png in pictures.items())
        data = b"icns" + struct.pack(">I", 8 + len(body)) + body
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{NAME}.{kind}"
    path.write_bytes(data)
    return path


def is_wanted(place: str) -> bool:
    """Whether a file is packed, by its place in the folder."""
    return _UNUSED.search(place.replace("\\", "/")) is None


NAMED = ["PySide6.QtOpenGL", "PySide6.QtOpenGLWidgets"]
"""What the library of the charts loads by name, whether it is drawn with or not."""


def own_modules() -> list[str]:
    """Every module of the program, as many are loaded by name when first wanted, and :data:`NAMED`."""
    app = ROOT / "app"
    paths = (app / NAME).rglob("*.py")
    names = [path.relative_to(app).with_suffix("").as_posix().replace("/", ".") for path in paths]
    return [*sorted(name.removesuffix(".__init__") for name in names), *NAMED]


def data_files() -> list[tuple[str, str]]:
    """Files beside the modules, each with its folder, the same as in the wheel."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    tool = project["tool"]["setuptools"]
    found = []
    for package, patterns in tool["package-data"].items():
        folder = ROOT / tool["package-dir"][package]
        place = Path(*package.split("."))
        for pattern in patterns:
            files = sorted(path for path in folder.glob(pattern) if path.is_file())
            found += [(str(path), str(place / path.relative_to(folder).parent)) for path in files]
    return found
