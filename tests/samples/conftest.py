"""The sample outings on disk, the truth beside them, and the generator they came from."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

SAMPLES = Path(__file__).parents[2] / "samples"


@pytest.fixture(scope="session")
def samples_folder() -> Path:
    return SAMPLES


@pytest.fixture(scope="session")
def truths() -> dict[str, dict[str, Any]]:
    """Truth of each sample by its file's stem."""
    return {path.stem: json.loads(path.read_text()) for path in (SAMPLES / "truth").glob("*.json")}
