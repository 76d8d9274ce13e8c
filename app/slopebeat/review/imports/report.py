"""What an import did, and in words for every screen."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from slopebeat.library.outings import StoredOuting
from slopebeat.model.language import tr
from slopebeat.model.recording import shown_title
from slopebeat.review.archive.library import ArchiveMerge
from slopebeat.review.imports.sources import ImportSource


@dataclass(frozen=True)
class Unreadable:
    """A file that gave nothing, and why in a sentence."""

    name: str
    sentence: str


@dataclass(frozen=True)
class Duplicate:
    """An activity that was in the library already, and as what.

    ``content_hash`` is that of the arriving file.
    """

    name: str
    outing: StoredOuting
    content_hash: str

    @property
    def same_file(self) -> bool:
        """Whether it is here by the very same bytes; else it is another recording, to be had anyway."""
        return self.outing.content_hash == self.content_hash


@dataclass(frozen=True)
class TakenOver:
    """An outing that is now kept by a fuller recording of it; ``before`` is the file it was kept by."""

    name: str
    outing: StoredOuting
    before: str


@dataclass(frozen=True)
class Asked:
    """What an import was asked for, so that some of it can be asked for again."""

    athlete: str
    paths: tuple[Path | ImportSource, ...]
    load_kg: float = 0.0
    load_until_s: float | None = None


@dataclass
class ImportReport:
    """What an import did.

    Attributes
    ----------
    imported : new outings, each on the disk. duplicates : activities already there.
    taken_over : outings whose place a fuller recording took; notes and marks went along.
    unreadable : files and archives that gave nothing.
    archives : what taking in each archive of this program did.
    notebooks : outings that brought notes or decisions along, made while they were in no library.
    cancelled : whether it was stopped before the end. fault : why the library could take no more, in a
        sentence; None when it could. In both cases what is listed as imported stays, and the same import
        started again goes on from there.
    asked : what was asked for; None where it was archives of this program alone.
    """

    imported: list[StoredOuting] = field(default_factory=list)
    duplicates: list[Duplicate] = field(default_factory=list)
    taken_over: list[TakenOver] = field(default_factory=list)
    unreadable: list[Unreadable] = field(default_factory=list)
    archives: list[ArchiveMerge] = field(default_factory=list)
    notebooks: int = 0
    cancelled: bool = False
    fault: str | None = None
    asked: Asked | None = None

    @property
    def other_recordings(self) -> frozenset[str]:
        """Hashes of files that are there as another recording of an outing: these can be imported anyway."""
        return frozenset(each.content_hash for each in self.duplicates if not each.same_file)


def taken_over_words(taken: TakenOver) -> str:
    """That a fuller recording of an outing took the place of another, and what became of the notes."""
    text = tr(
        "{file} is a fuller recording of {title} and took the place of {before}; notes and marks went along."
    )
    outing = taken.outing
    return text.format(
        file=taken.name, title=shown_title(outing.title, outing.file_name), before=taken.before
    )
