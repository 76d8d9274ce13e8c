"""Draw the stored pictures of the plots anew, after a change of their look that is meant.

    python tests/make_golden.py

Look at what changed before committing it.
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "app"))
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
for name in ("DATA", "CONFIG", "CACHE"):
    os.environ[f"XDG_{name}_HOME"] = tempfile.mkdtemp()

from PySide6.QtWidgets import QApplication  # noqa: E402

from helpers.golden_pictures import FOLDER, draw  # noqa: E402


def main() -> None:
    app = QApplication(sys.argv[:1])
    FOLDER.mkdir(exist_ok=True)
    for name, image in draw().items():
        path = FOLDER / f"{name}.png"
        image.save(str(path))
        print(f"{path.name}: {image.width()} x {image.height()}, {path.stat().st_size / 1000:.1f} kB")
    app.quit()


if __name__ == "__main__":
    main()
