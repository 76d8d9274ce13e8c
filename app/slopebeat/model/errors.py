"""The world's errors: things that can be told to a user in a sentence. Ours crash loudly instead."""

from __future__ import annotations

from slopebeat.model.message import Message


class UserError(Exception):
    """Something outside the program is wrong; ``str(error)`` is a whole sentence for the user.

    Layers without words give messages, whose sentences stand in ``model.sentences``.
    """

    def __init__(self, *message: str | Message) -> None:
        super().__init__(*message)

    @property
    def messages(self) -> tuple[Message, ...]:
        """What was given as messages."""
        return tuple(each for each in self.args if isinstance(each, Message))

    def __str__(self) -> str:
        # Only here: most starts end without an error, and the sentences know much of what they speak of.
        from slopebeat.model.sentences.table import sentence

        return " ".join(sentence(each) if isinstance(each, Message) else each for each in self.args)


class UnreadableFile(UserError):
    """A file that holds no recording this program can read."""


class Cancelled(Exception):
    """Long work was asked to stop."""
