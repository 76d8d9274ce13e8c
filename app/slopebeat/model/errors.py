"""The world's errors: things a user can be told in a sentence. Ours crash loudly instead."""

from __future__ import annotations


class UserError(Exception):
    """Something outside the program is wrong; ``str(error)`` is a whole sentence for the user."""


class UnreadableFile(UserError):
    """A file that holds no recording this program can read."""


class Cancelled(Exception):
    """Long work was asked to stop."""
