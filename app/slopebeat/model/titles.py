"""What an outing is called on screen and on paper."""

from __future__ import annotations

from pathlib import PurePath

from slopebeat.model.recording import Recording

LONGEST_TITLE = 200
"""Longest title taken when one is typed, in characters [project choice]."""


def shown_title(title: str, file_name: str) -> str:
    """The name the file gives the outing; a file's own name is written as words."""
    name = title or file_name
    if not file_name.startswith(name) or " " in name:
        return name
    stem = name if name != file_name else PurePath(name).stem
    words = stem.replace("_", " ").strip()
    return words[:1].upper() + words[1:] if words != stem else stem


def title_of(recording: Recording) -> str:
    """The title of a recording as it is shown."""
    return shown_title(recording.title, recording.file_name)


def typed_title(text: str) -> str:
    """What was typed or pasted as one line that can be kept; empty where nothing is left of it."""
    kept = text.encode("utf-8", "replace").decode("utf-8")
    words = "".join(char if char.isprintable() else " " for char in kept)
    return " ".join(words.split())[:LONGEST_TITLE].rstrip()
