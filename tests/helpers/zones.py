"""The time zone of the computer, as a test wants it."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from unittest.mock import patch

import pytest


@contextmanager
def computer_in(zone: str) -> Iterator[None]:
    """The local time is that of a zone as POSIX writes it: ``UTC0``, or ``EAST-2`` for two hours ahead."""
    if not hasattr(time, "tzset"):
        pytest.skip("this system cannot be told another time zone")
    try:
        with patch.dict(os.environ, TZ=zone):
            time.tzset()
            yield
    finally:
        time.tzset()
