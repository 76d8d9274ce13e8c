"""The live state of one window, put together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal

from slopebeat.model.bands import BandMethod
from slopebeat.model.language import tr
from slopebeat.model.recording import title_of, typed_title
from slopebeat.session.background import Background
from slopebeat.session.display import Display
from slopebeat.session.library.band_of_ground import BandOfGround
from slopebeat.session.library.library import LibrarySession
from slopebeat.session.outing.aim import AimState, BandChoice, Entered, aim_act
from slopebeat.session.outing.autosave import AutoSave
from slopebeat.session.outing.doubts import Doubts
from slopebeat.session.outing.notes import Notes
from slopebeat.session.outing.opening import Opening, read_file
from slopebeat.session.outing.outing import OpenOuting, in_stages
from slopebeat.session.outing.part_aims import PartAims
from slopebeat.session.outing.view_state import ChartChoice, Cursor, Measuring, Selection, VisibleRange
from slopebeat.session.page_states import PageStates
from slopebeat.session.settings import Settings
from slopebeat.session.steps import Steps
from slopebeat.session.undo import Change, History

if TYPE_CHECKING:
    from slopebeat.files.reading import ReadFile
    from slopebeat.model.outing.notebooks import KeptNotebook
    from slopebeat.session.library.kept import KeptParts
    from slopebeat.session.outing.opening import Reader, ReadFiles
    from slopebeat.session.outing.outing import Earlier


class Session(PageStates):
    """Owns the state objects and the few links between them; views connect to the parts."""

    recent_changed = Signal()

    _demo_aim: Entered | None = None

    def __init__(self, settings: Settings | None = None, reader: Reader = read_file) -> None:
        super().__init__()
        self.settings = settings or Settings()
        self.display = Display(self.settings, self)
        self.background = Background(self)
        self.aim = AimState(self.settings.content.entered, self)
        self.steps = Steps(self, lambda: self.aim.trying)
        self.opening = Opening(self.background, reader, self._held)
        self.outing = OpenOuting(self.background, self.aim, self.steps, in_stages())
        self.part_aims = PartAims(self.outing, self.aim, lambda: self.settings.content.bike_band, self)
        self.keeping = AutoSave(self.outing, self.aim, self)
        self.history = History(self)
        self.doubts = Doubts(self.outing, self.history, self)
        self.notes = Notes(self.outing, self.history, self.settings.content.author)
        self.selection, self.measuring = Selection(self), Measuring(self)
        self.visible, self.cursor = VisibleRange(self, self.selection), Cursor(self)
        self.charts = ChartChoice(self)
        self.library = LibrarySession(self.settings.path.parent, self, self.history)
        self.band_of_ground = BandOfGround(self.outing, self.aim, self.keeping, self.library.opened, self)
        self.outing.let_speak(self._earlier)
        self.library.opened.athlete_changed.connect(self.outing.review_again)
        self.outing.reviewed.connect(self._tell_ground)
        self.opening.read.connect(self._take_files)
        self.outing.chosen.connect(self.history.clear)
        self.outing.replaced.connect(self._start_view)
        self.aim.entered_changed.connect(self._remember_aim)
        self.library.kept.read.connect(self._show_kept)
        # The verdicts on the months are sentences with figures in them.
        self.display.changed.connect(self._tell_months)
        self.notes.author_changed.connect(lambda: self.settings.keep(author=self.notes.author))
        self.part_aims.bike_band_entered.connect(lambda choice: self.settings.keep(bike_band=choice))
        self.keeping.failed.connect(self.notes.failed)
        self.keeping.library_changed.connect(self.library.outing_changed)
        for told in (self.library.opened.opened, self.library.work.imported, self.library.corrected):
            told.connect(self.look_for_library)

    def _earlier(self) -> Earlier | None:
        """How to read what the outings of the athlete looked at teach; demo and own are kept apart."""
        opened = self.library.opened
        library, athlete = opened.library, opened.athlete
        strange = not self.keeping.kept_as and (opened.is_demo or self._demo_aim is not None)
        if library is None or athlete is None or strange:
            return None
        return partial(library.results.evidence, athlete.identity)

    def _tell_ground(self) -> None:
        if (review := self.outing.review) is not None:
            self.display.show_on_foot(not review.track.on_bike)

    def open(self, paths: Sequence[Path]) -> None:
        """Open the user's own files."""
        self._demo_aim = None
        self.opening.open(paths)

    def open_demo(self, paths: Sequence[Path], aim: Entered) -> None:
        """Open demo files with the aim of the demo's athlete; the user's own aim is kept apart."""
        self._demo_aim = aim
        self.opening.open(paths)

    def edit_aim(self, entered: Entered) -> None:
        """Take entries of the user, as an act that can be undone."""
        if entered != self.aim.entered:
            self.history.do(aim_act(self.aim, self.aim.entered, entered))

    def edit_band(self, choice: BandChoice) -> None:
        """Take entries of the user for the band, in the same way."""
        self.edit_aim(replace(self.aim.entered, choice=choice))

    def try_band(self, lower_bpm: int, upper_bpm: int) -> None:
        """Show what this band would mean while its edges are dragged; nothing is kept yet."""
        entered = self.aim.entered
        choice = replace(entered.choice, method=BandMethod.MANUAL, lower_bpm=lower_bpm, upper_bpm=upper_bpm)
        self.aim.try_out(replace(entered, choice=choice))

    def move_edges(self, lower_by: int, upper_by: int) -> None:
        """Move the edges of the band in force by whole bpm, as an act; nothing where there is no band."""
        band = self.aim.aim.band
        if band is not None and band.lower_bpm + lower_by < band.upper_bpm + upper_by:
            self.try_band(band.lower_bpm + lower_by, band.upper_bpm + upper_by)
            self.keep_tried()

    def try_target(self, target_s: float) -> None:
        """Show what this target would mean while it is dragged."""
        entered = self.aim.entered
        self.aim.try_out(replace(entered, rest=replace(entered.rest, target_s=target_s)))

    def keep_tried(self) -> None:
        """The drag has ended: what it tried is entered, as one act."""
        tried = self.aim.end_trying()
        if tried is not None and tried[0] != tried[1]:
            self.history.do(aim_act(self.aim, *tried))

    def edit_title(self, typed: str) -> None:
        """Call the outing on screen so, as an act that can be undone; nothing typed changes nothing."""
        outing, title = self.outing, typed_title(typed)
        if outing.index < 0:
            return
        recording = outing.recordings[outing.index]
        if title not in ("", recording.title, title_of(recording)):
            words = tr("change of the title")
            self.history.do(Change(words, recording.title, title, outing.set_title))

    def rename(self, identity: str, typed: str) -> None:
        """Give an outing of the library another title: the one on screen as its own act, others at once."""
        title = typed_title(typed)
        if not title:
            return
        self.library.opened.show_title(identity, title)
        if identity == self.keeping.kept_as:
            self.edit_title(title)
        else:
            self.library.opened.set_title(identity, title)

    def look_for_library(self) -> None:
        """Show what the library that is open holds of the recordings on screen, after work on it."""
        opened = self.library.opened
        if opened.library is not None:
            self.keeping.look_for_library(opened.library, opened.athlete.identity if opened.athlete else None)

    def close(self) -> None:
        """Stop drawing and background work, and wait for it."""
        # First: an edit that is kept has outings reviewed again, and that needs the threads.
        self.library.opened.finish()
        self.steps.close()
        self.opening.cancel()
        self.background.close()
        self.keeping.close()
        self.library.close()

    def _show_kept(self, kept: KeptParts) -> None:
        """Show outings of the library with the aim of their day; the user's own aim is kept apart."""
        self.opening.cancel()
        self.keeping.show(kept.held)
        self.aim.use_for_now(kept.shown.entered)
        self.part_aims.expect(kept.recordings, [each.entered for each in kept.outings])
        self.outing.set_recordings(kept.recordings, [held.book for held in kept.held], kept.at)
        for problem in filter(None, (held.problem for held in kept.held)):
            self.notes.failed.emit(problem)

    def _take_files(self, files: ReadFiles) -> None:
        self.keeping.show(files.held)
        # The aim first: the review that follows must already be made with it.
        if self._demo_aim is not None:
            self.aim.use_for_now(self._demo_aim)
        else:
            if self.aim.for_now:
                self.aim.give_back()
            for path in reversed(files.paths):
                self.settings.remember_file(path)
            self.recent_changed.emit()
        self.part_aims.expect(files.recordings)
        self.outing.set_recordings(files.recordings, [held.book for held in files.held])

    def _held(self, file: ReadFile) -> tuple[KeptNotebook, ...]:
        """What is kept of a file's recordings; called in the background."""
        from slopebeat.review.notes.keeping import kept_of_file

        opened = self.library.opened
        return kept_of_file(file, opened.library, opened.athlete.identity if opened.athlete else None)

    def _tell_months(self) -> None:
        if self.library.opened.library is not None:
            self.library.outings.update()

    def _start_view(self) -> None:
        review = self.outing.review
        assert review is not None
        self.selection.clear()
        self.measuring.clear()
        self.cursor.move(None)
        self.visible.set_outing(review.recording.span_s)

    def _remember_aim(self) -> None:
        if not self.aim.for_now and not self.aim.trying:
            own = self.aim.own
            rest = replace(own.rest, load_kg=self.keeping.usual_load_kg, load_until_s=None)
            self.settings.remember_aim(replace(own, rest=rest))
