"""What a file is known by, whatever its name and wherever it lies."""

from __future__ import annotations

import hashlib


def content_hash(data: bytes) -> str:
    """SHA-256 of the bytes as they are in the file, in hexadecimal."""
    return hashlib.sha256(data).hexdigest()
