"""What an archive holds, and what taking one in did, in words."""

from __future__ import annotations

from pathlib import Path

from slopebeat.model.language import tr, trn
from slopebeat.model.recording import local_start, shown_title
from slopebeat.review.archive.archive import Archive
from slopebeat.review.archive.library import ArchiveChange, ArchiveMerge, What
from slopebeat.review.words.names import key_name

MOST_DIFFERENCES = 4
"""Differences reported after a merge; a message is no list [project choice]."""


def archive_words(archive: Archive, path: Path) -> str:
    """What an archive holds, and whom it belongs to."""
    notes = sum(note.deleted_utc is None for each in archive.outings for note in each.notes)
    return tr(
        "{path} was saved with {outings} and {notes}. It shows where and how a person trains: hand it "
        "on only as that person agrees."
    ).format(
        path=path,
        outings=trn("{count} outing", "{count} outings", len(archive.outings)).format(
            count=len(archive.outings)
        ),
        notes=trn("{count} note", "{count} notes", notes).format(count=notes),
    )


def merge_words(merge: ArchiveMerge) -> str:
    """What taking in an archive did, in sentences."""
    parts = (
        trn("{count} new outing", "{count} new outings", merge.new_outings).format(count=merge.new_outings),
        trn("{count} outing already there", "{count} outings already there", merge.known_outings).format(
            count=merge.known_outings
        ),
        trn("{count} note added", "{count} notes added", merge.notes_added).format(count=merge.notes_added),
        trn("{count} note in a later state", "{count} notes in a later state", merge.notes_replaced).format(
            count=merge.notes_replaced
        ),
        trn("{count} band added", "{count} bands added", merge.bands_added).format(count=merge.bands_added),
    )
    lines = [tr("The archive was taken in: {parts}.").format(parts=", ".join(parts))]
    lines += merge.differences[:MOST_DIFFERENCES]
    left = len(merge.differences) - MOST_DIFFERENCES
    if left > 0:
        lines.append(
            trn("{count} more difference was found.", "{count} more differences were found.", left).format(
                count=left
            )
        )
    return " ".join(lines)


def change_words(one: ArchiveChange) -> tuple[str, str]:
    """The outing by its day and title, and what came with it and from whom."""
    start = local_start(one.outing.start_utc, one.outing.utc_offset_s)
    outing = f"{start:%Y-%m-%d}  {shown_title(one.outing.title, one.outing.file_name)}"
    if one.note is None:
        return outing, tr("new outing")
    texts = {
        What.ADDED: tr("note by the {role}: {note}"),
        What.CHANGED: tr("changed by the {role}: {note}"),
        What.TAKEN_BACK: tr("taken back, by the {role}: {note}"),
    }
    note = ", ".join(text for text in (one.note.heading, one.note.text) if text)
    return outing, texts[one.what].format(role=key_name(one.note.author), note=note)
