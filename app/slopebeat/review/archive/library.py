"""An athlete's archive out of a library and into one."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import date
from enum import Enum
from itertools import count
from pathlib import Path

from slopebeat.disk.writing import whole_file
from slopebeat.files.reading import read
from slopebeat.library.imports import IncomingOuting
from slopebeat.library.outings import OutingFacts, StoredOuting, packed
from slopebeat.library.people import Entry
from slopebeat.library.store import Library
from slopebeat.library.takeover import OutingMatch
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.notes import Note
from slopebeat.model.people import Athlete, Dated, Phase, first_day_of
from slopebeat.model.recording import shown_title
from slopebeat.review.archive.archive import Archive, ArchivedOuting, OpenArchive, open_archive, put_archive
from slopebeat.review.duplicates import matching_outings, trace_of
from slopebeat.review.words.names import key_name, kilograms

Progress = Callable[[int, int, str], None]
"""Takes files done, of how many, and the name of the one under way; may raise to stop."""


def no_progress(_done: int, _total: int, _name: str) -> None:
    """Tells nobody."""


@dataclass
class ArchiveMerge:
    """What bringing in an archive did.

    Attributes
    ----------
    athlete : identity of the athlete it went to. new_outings, known_outings : counts.
    notes_added, notes_replaced : counts; of two states of one note the later change holds.
    bands_added : count.
    differences : sentences on what both sides had decided otherwise; the library's own was kept.
    brought : what came on which outing, and who wrote it.
    """

    athlete: str
    new_outings: int = 0
    known_outings: int = 0
    notes_added: int = 0
    notes_replaced: int = 0
    bands_added: int = 0
    differences: list[str] = field(default_factory=list)
    brought: list[ArchiveChange] = field(default_factory=list)


def archive_of(library: Library, athlete: str) -> Archive:
    """What an archive of an athlete holds now; KeyError for an unknown one."""
    left_out, reviewed = library.outings.left_out(athlete), library.ticks.of(athlete)
    outings = tuple(
        ArchivedOuting(
            outing,
            library.outings.marks(outing.identity),
            library.notes.of(outing.identity, deleted=True),
            outing.identity not in left_out,
            reviewed.get(outing.identity),
        )
        for outing in library.outings.of(athlete)
    )
    dated = library.dated.of(athlete)
    return Archive(library.athletes.get(athlete), library.bands.of(athlete), outings, dated)


def write_archive(library: Library, athlete: str, path: Path, progress: Progress = no_progress) -> Archive:
    """Write everything of an athlete into one file, which is whole or not there.

    Raises
    ------
    UserError
        With a sentence, when it cannot be written or an original is damaged.
    """
    archive = archive_of(library, athlete)
    total = len({each.outing.content_hash for each in archive.outings})
    done = count()

    def original(outing: StoredOuting) -> bytes:
        progress(next(done), total, outing.file_name)
        return library.outings.original(outing.identity)

    with whole_file(path) as stream:
        put_archive(archive, original, stream)
    return archive


def merge_archive(library: Library, path: Path, progress: Progress = no_progress) -> ArchiveMerge:
    """Bring an archive into a library; doing so again changes nothing.

    Outings meet by the bytes of their file, or by time and heart rate or way; of the recordings of one outing
    a fuller one is kept beside that of the library. Notes meet by identity and latest change; an outing left
    out of what is learnt in either is left out. It goes to the athlete of the same identity, made where there
    is none. Nothing of the library is lost: where both decided otherwise its own decision stays, and a
    sentence says so.

    Raises
    ------
    UserError
        With a sentence, when the archive cannot be read; what came in before stays, and can come again.
    """
    with open_archive(path) as opened:
        report = ArchiveMerge(_athlete(library, opened.archive.athlete))
        known = {(period.ground, period.from_day): period.band for period in library.bands.of(report.athlete)}
        for period in opened.archive.bands:
            key = (period.ground, period.from_day)
            if key not in known:
                library.bands.put(replace(period, athlete=report.athlete))
                report.bands_added += 1
            elif known[key] != period.band:
                text = tr(
                    "The band from {day} {ground} is {here} here and {there} in the archive; the one here "
                    "was kept."
                )
                names = {"day": period.from_day, "ground": key_name(period.ground)}
                report.differences.append(text.format(here=known[key], there=period.band, **names))
        _bring_dated(library, opened.archive.dated, report)
        here = frozenset(outing.identity for outing in library.outings.of(report.athlete))
        files: dict[str, list[ArchivedOuting]] = {}
        for each in opened.archive.outings:
            files.setdefault(each.outing.content_hash, []).append(each)
        for done, (digest, outings) in enumerate(files.items()):
            progress(done, len(files), outings[0].outing.file_name)
            _bring_in(library, opened, digest, outings, report, here)
    return report


def _athlete(library: Library, archived: Athlete) -> str:
    """The athlete of the same identity, made with a free name where there is none."""
    with suppress(KeyError):
        return library.athletes.get(archived.identity).identity
    name = archived.name.strip() or "Athlete"
    names = (name if number == 1 else f"{name} ({number})" for number in count(1))
    free = next(each for each in names if library.athletes.named(each) is None)
    return library.athletes.add(replace(archived, name=free)).identity


def _bring_dated(library: Library, theirs: Dated, report: ArchiveMerge) -> None:
    """What has a date and is not here: of two on one day the one here stays, and a sentence says so."""
    here = {_which(each): each for each in _entries(library.dated.of(report.athlete))}
    for entry in _entries(theirs):
        own = replace(entry, athlete=report.athlete)
        known = here.get(_which(own))
        if known is None:
            library.dated.put(own)
        elif known != own:
            text = tr("What holds from {day} differs from the archive's; what is here was kept.")
            if isinstance(known, Phase):
                text = tr("The phase from {day} differs from the archive's; the one here was kept.")
            report.differences.append(text.format(day=first_day_of(known)))


def _entries(dated: Dated) -> tuple[Entry, ...]:
    return (*dated.prescriptions, *dated.masses, *dated.phases)


def _which(entry: Entry) -> tuple[type[Entry], date | str]:
    """What tells an entry of an athlete from the others of its kind."""
    return type(entry), entry.identity if isinstance(entry, Phase) else entry.from_day


def _bring_in(
    library: Library,
    opened: OpenArchive,
    digest: str,
    outings: list[ArchivedOuting],
    report: ArchiveMerge,
    before: Collection[str],
) -> None:
    """One file with the outings that came from it; ``before`` are identities of those here before."""
    data = opened.original(digest)
    met = _met(library, data, outings, report, before) if before else [None] * len(outings)
    arrivals = [
        IncomingOuting(_facts(each.outing), None, each.outing.load_kg, each.outing.load_until_s, match)
        for each, match in zip(outings, met, strict=True)
    ]
    kept = library.imports.keep(report.athlete, packed(data), outings[0].outing.file_name, arrivals)
    ticked = library.ticks.of(report.athlete)
    for each, here in zip(outings, kept, strict=True):
        if here.is_new:
            report.new_outings += 1
            if each.marks is not None:
                library.outings.set_marks(here.outing.identity, each.marks)
        else:
            report.known_outings += 1
            _reconcile(library, each, here.outing, report)
        if not each.teaches:
            library.outings.set_teaches([here.outing.identity], False)
        if each.reviewed_utc is not None and here.outing.identity not in ticked:
            library.ticks.put(here.outing.identity, each.reviewed_utc)
        notes = library.notes.of(here.outing.identity)
        merged = library.notes.merge(here.outing.identity, each.notes)
        report.notes_added += merged.added
        report.notes_replaced += merged.replaced
        after = library.notes.of(here.outing.identity)
        report.brought += brought(here.outing, here.is_new, notes, after)


def _met(
    library: Library,
    data: bytes,
    outings: list[ArchivedOuting],
    report: ArchiveMerge,
    before: Collection[str],
) -> list[OutingMatch | None]:
    """For each outing of a file the one of the library it is another recording of.

    Those that came from the archive are not looked at: where it came from they were kept apart.
    """
    digest = outings[0].outing.content_hash
    if library.imports.known(report.athlete, digest):
        return [None] * len(outings)
    try:
        recordings = read(data, name=outings[0].outing.file_name).recordings
    except UserError:
        return [None] * len(outings)  # It is reported when it is reviewed.
    found: list[OutingMatch | None] = []
    for each in outings:
        activity = each.outing.activity
        trace = trace_of(recordings[activity]) if activity < len(recordings) else None
        met = () if trace is None else matching_outings(library, report.athlete, trace, digest)
        here = [one for one in met if one.outing.identity in before]
        fuller = trace is None or all(trace.tells_more_than(one.trace) for one in here)
        if here and fuller:
            text = tr("{file} is a longer recording of {outing}, which is here; both were kept.")
            name = shown_title(here[0].outing.title, here[0].outing.file_name)
            report.differences.append(text.format(file=each.outing.file_name, outing=name))
        found.append(None if fuller else OutingMatch(here[0].outing.identity))
    return found


def _facts(outing: StoredOuting) -> OutingFacts:
    names = ("activity", "start_utc", "utc_offset_s", "sport", "on_bike", "title")
    return OutingFacts(**{name: getattr(outing, name) for name in names})


def _reconcile(library: Library, theirs: ArchivedOuting, here: StoredOuting, report: ArchiveMerge) -> None:
    """Take what the library had not decided; say where both decided otherwise."""
    name = shown_title(here.title, here.file_name)
    marks = library.outings.marks(here.identity)
    if marks is None and theirs.marks is not None:
        library.outings.set_marks(here.identity, theirs.marks)
    elif theirs.marks is not None and theirs.marks != marks:
        text = tr("Marks of {outing} differ from the archive's; those here were kept.")
        report.differences.append(text.format(outing=name))
    load, other = (here.load_kg, here.load_until_s), (theirs.outing.load_kg, theirs.outing.load_until_s)
    if load == (0.0, None) and other != load:
        library.outings.set_load(here.identity, *other)
    elif other not in (load, (0.0, None)):
        text = tr("The load on {outing} is {here} here and {there} in the archive; the one here was kept.")
        loads = {"here": kilograms(load[0]), "there": kilograms(other[0])}
        report.differences.append(text.format(outing=name, **loads))


class What(Enum):
    """What became of an outing or a note."""

    ADDED = "added"
    CHANGED = "changed"
    TAKEN_BACK = "taken_back"


@dataclass(frozen=True)
class ArchiveChange:
    """One thing that came: a new outing where ``note`` is None, else a note on one."""

    outing: StoredOuting
    what: What
    note: Note | None = None


def brought(
    outing: StoredOuting, is_new: bool, before: Sequence[Note], after: Sequence[Note]
) -> list[ArchiveChange]:
    """What differs on an outing; notes that nobody can see are none of it."""
    found = [ArchiveChange(outing, What.ADDED)] if is_new else []
    known = {note.identity: note for note in before}
    for note in after:
        was = known.pop(note.identity, None)
        if was != note:
            found.append(ArchiveChange(outing, What.ADDED if was is None else What.CHANGED, note))
    return [*found, *(ArchiveChange(outing, What.TAKEN_BACK, note) for note in known.values())]
