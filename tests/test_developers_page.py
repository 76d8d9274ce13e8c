"""The page for developers names files and folders that exist."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
NAMED = re.compile(r"`(?:python3? )?([\w./-]+(?:\.py|/))`")


def named(text: str) -> list[str]:
    """Modules and folders between backticks, wherever they are said to stand."""
    return NAMED.findall(text)


def test_every_module_named_on_the_page_exists() -> None:
    found = named((ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"))
    assert len(found) > 20
    places = (ROOT, ROOT / "app" / "slopebeat")
    missing = [name for name in found if not any(list(place.glob(name)) for place in places)]
    assert missing == []


def test_names_are_found_between_backticks() -> None:
    assert named("see `a/b.py`, `python tests/run.py` and `review` or `c/`") == [
        "a/b.py",
        "tests/run.py",
        "c/",
    ]
