"""What the library says."""

from __future__ import annotations

from collections.abc import Mapping

from slopebeat.model.sentences.wording import Wording

LIBRARY: Mapping[str, Wording] = {}
