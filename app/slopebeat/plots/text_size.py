"""How large texts are drawn, as a share of their usual size."""

from __future__ import annotations

_shown = {"share": 1.0}


def set_text_share(share: float) -> None:
    """Draw texts at this share of their usual size from now on."""
    _shown["share"] = share


def text_share() -> float:
    """1 is the usual size."""
    return _shown["share"]
