"""Act at random on a window: ``python tests/fuzz/run_acts.py [ACTS] [SEED ...]``.

Each seed opens a window with a library of two athletes in a home of its own and does what hands do, mostly
without waiting for what they did before: open, edit and drag, note, doubt, name, undo, change the athlete,
press what is on screen. Now and then it waits until all is still; then the review on screen has to be the one
made from the beginning of what was entered. At the end everything is undone and done again, and read back by
a second window. A word of Qt, an exception or a difference is printed with the acts before it; the status is
1 then. Recordings are the samples, and real ones where the folder of those is there.
"""

from __future__ import annotations

import logging
import os
import random
import sys
import tempfile
import traceback
from collections.abc import Callable
from dataclasses import fields, replace
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent))
sys.path.insert(0, str(HERE.parents[1] / "app"))
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QPoint, Qt, QTimer, qInstallMessageHandler  # noqa: E402
from PySide6.QtGui import QAction  # noqa: E402
from PySide6.QtTest import QTest  # noqa: E402
from PySide6.QtWidgets import QAbstractButton, QApplication, QDialog, QFileDialog, QMenu, QWidget  # noqa: E402

from helpers.checks import same  # noqa: E402
from slopebeat.model.errors import UserError  # noqa: E402
from slopebeat.model.notes import Author, Note, NoteKind  # noqa: E402
from slopebeat.model.people import Athlete  # noqa: E402
from slopebeat.review.earlier import EarlierOutings  # noqa: E402
from slopebeat.review.outing import Review, review_recording  # noqa: E402
from slopebeat.session.session import Session  # noqa: E402
from slopebeat.window.shell.main_window import MainWindow  # noqa: E402

RECORDINGS = HERE.parents[2] / "shared" / "recordings"
SAMPLES = HERE.parents[1] / "samples"
LARGEST_BYTES = 600_000
CHECK_EVERY = 12
PATIENCE_MS = 120_000
STILL = 4
"""Looks in a row that find nothing under way before all counts as still."""
ENDS_OR_WRITES = ("quit", "exit", "close", "save", "restore", "back up", "export", "remove")
"""Words of actions and buttons that are left alone: they end the run or ask where to write."""
VALUES = {
    NoteKind.LOAD: (5.0, 12.0),
    NoteKind.SPORT: (1.0, 3.0, 4.0),
    NoteKind.EFFORT: (2.0, 6.0),
    NoteKind.REMARK: (None,),
}
KEYS = (
    *(Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Tab, Qt.Key.Key_Escape),
    *(Qt.Key.Key_Delete, Qt.Key.Key_Home, Qt.Key.Key_End, Qt.Key.Key_1, Qt.Key.Key_5, Qt.Key.Key_Space),
)


def files() -> list[Path]:
    """Small recordings of every format."""
    found = [*SAMPLES.rglob("*"), *(RECORDINGS.iterdir() if RECORDINGS.is_dir() else ())]
    kinds = (".fit", ".gpx", ".tcx")
    return sorted(path for path in found if path.suffix in kinds and path.stat().st_size < LARGEST_BYTES)


class Hands:
    """Acts on a window by the numbers of one seed, and holds what it shows against what it should."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)
        self.files = files()
        self.acts: list[str] = []
        self.problems = 0
        self._open()
        self._dialogs = QTimer(interval=70)
        self._dialogs.timeout.connect(self._answer_dialog)
        self._dialogs.start()

    def _open(self) -> None:
        self.session = Session()
        self.window = MainWindow(self.session)
        self.window.resize(1280, 760)
        self.window.show()
        self.session.library.open()
        self.settle()

    def problem(self, words: str) -> None:
        self.problems += 1
        print(words, "\n  after:", "; ".join(self.acts[-20:]), flush=True)

    def settle(self) -> None:
        """Wait until nothing is under way."""
        session, still, waited = self.session, 0, 0
        while still < STILL:
            QTest.qWait(40)
            waited += 40
            parts = ("background", "steps", "keeping", "library")
            busy = [name for name in parts if not getattr(session, name).idle]
            busy += ["opening"] if session.opening.reading else []
            still = 0 if busy else still + 1
            if waited > PATIENCE_MS:
                self.problem(f"never still: {', '.join(busy) or 'now and then busy'}")
                return

    def fill(self) -> None:
        """Two athletes with a few outings each."""
        library = self.session.library
        for name in ("warden", "patrol"):
            library.opened.put_athlete(Athlete(self._identity(), name))
            self.settle()
            library.import_paths(self.random.sample(self.files, 4))
            self.settle()

    def act(self) -> None:
        """One act: of the session, of a menu, or of mouse and keys."""
        kind = self.random.random()
        if kind < 0.6:
            chosen = self.random.choice(ACTS)
            self.acts.append(chosen.__name__)
            chosen(self)
        elif kind < 0.75:
            self._trigger()
        else:
            self._poke(self.window)

    def open_files(self) -> None:
        paths = self.random.sample(self.files, self.random.choice((1, 1, 1, 2)))
        self.acts.append(", ".join(path.name for path in paths))
        self.session.open(paths)

    def open_kept(self) -> None:
        if rows := self.session.library.opened.rows:
            self.session.library.open_outing(self.random.choice(rows).outing.identity)

    def choose_athlete(self) -> None:
        if athletes := self.session.library.opened.athletes:
            self.session.library.opened.choose_athlete(self.random.choice(athletes).identity)

    def choose_recording(self) -> None:
        if count := len(self.session.outing.recordings):
            self.session.outing.choose(self.random.randrange(count))

    def edit_band(self) -> None:
        entered, lower = self.session.aim.entered, self.random.randint(95, 135)
        choice = replace(entered.choice, lower_bpm=lower, upper_bpm=lower + self.random.randint(5, 25))
        self.session.edit_aim(replace(entered, choice=choice))

    def edit_masses(self) -> None:
        entered = self.session.aim.entered
        masses = {
            "body_mass_kg": self.random.choice((60.0, 90.0)),
            "load_kg": self.random.choice((0.0, 10.0)),
        }
        self.session.edit_aim(replace(entered, rest=replace(entered.rest, **masses)))

    def drag_band(self) -> None:
        for _ in range(self.random.randint(1, 6)):
            lower = self.random.randint(95, 135)
            self.session.try_band(lower, lower + 15)
            QTest.qWait(self.random.choice((0, 5, 40)))
        self.session.keep_tried()

    def drag_target(self) -> None:
        self.session.try_target(self.random.choice((1800.0, 2700.0, 3600.0)))
        self.session.keep_tried()

    def add_note(self) -> None:
        if self.session.outing.index < 0:
            return
        kind, now, start_s = (
            self.random.choice(tuple(VALUES)),
            datetime.now(UTC),
            self.random.uniform(0.0, 1500.0),
        )
        when = {} if kind is NoteKind.SPORT else {"start_s": start_s, "end_s": start_s + 300.0}
        author, value = self.random.choice(tuple(Author)), self.random.choice(VALUES[kind])
        note = Note(self._identity(), kind, author, "words", now, now, value=value, **when)
        try:
            self.session.notes.add(note)
        except UserError as refused:
            self.acts.append(str(refused))

    def edit_note(self) -> None:
        if notes := self.session.notes.all:
            self.session.notes.edit(self.random.choice(notes), text=f"words {self.random.randrange(100)}")

    def take_note_back(self) -> None:
        if notes := self.session.notes.all:
            self.session.notes.take_back(self.random.choice(notes))

    def edit_title(self) -> None:
        self.session.edit_title(f"title {self.random.randrange(100)}")

    def rename_kept(self) -> None:
        if rows := self.session.library.opened.rows:
            self.session.rename(
                self.random.choice(rows).outing.identity, f"name {self.random.randrange(100)}"
            )

    def add_doubt(self) -> None:
        if self.session.outing.review is not None:
            start_s = self.random.uniform(0.0, 1000.0)
            self.session.doubts.add(start_s, start_s + self.random.uniform(20.0, 400.0))

    def decide_doubt(self) -> None:
        doubts = self.session.doubts
        if marks := self.session.outing.marks_now():
            self.random.choice((doubts.accept, doubts.reject, doubts.remove))(self.random.choice(marks))

    def undo(self) -> None:
        self.session.history.undo()

    def redo(self) -> None:
        self.session.history.redo()

    def change_tab(self) -> None:
        if (page := self.window.page_loader.made) is not None:
            page.tabs.setCurrentIndex(self.random.randrange(page.tabs.count()))

    def wait(self) -> None:
        QTest.qWait(self.random.choice((1, 30, 200, 600)))

    def _trigger(self) -> None:
        """An action of the menus; those of the charts' own library cannot be reached by a hand."""
        menus = [action.menu() for action in self.window.menuBar().actions()]
        actions = [each for menu in menus if isinstance(menu, QMenu) for each in menu.actions()]
        usable = [a for a in actions if a.isEnabled() and a.menu() is None and not _left_alone(a)]
        action = self.random.choice(usable)
        self.acts.append(action.text())
        action.trigger()

    def _poke(self, top: QWidget) -> None:
        """A click, a drag or a key somewhere."""
        there = [widget for widget in top.findChildren(QWidget) if widget.isVisible() and widget.isEnabled()]
        if not there:
            return
        widget, button, none = self.random.choice(there), Qt.MouseButton, Qt.KeyboardModifier.NoModifier
        if isinstance(widget, QAbstractButton) and _left_alone(widget):
            return
        self.acts.append(f"{type(widget).__name__} {widget.accessibleName()}")
        kind = self.random.random()
        try:
            if kind < 0.6:
                pressed = button.RightButton if kind < 0.1 else button.LeftButton
                QTest.mouseClick(widget, pressed, none, self._place(widget))
            elif kind < 0.8:
                QTest.mousePress(widget, button.LeftButton, none, self._place(widget))
                for _ in range(3):
                    QTest.mouseMove(widget, self._place(widget), self.random.choice((-1, 20)))
                QTest.mouseRelease(widget, button.LeftButton, none, self._place(widget))
            else:
                QTest.keyClick(widget, self.random.choice(KEYS))
        except RuntimeError as gone:
            if "already deleted" not in str(gone):
                raise

    def _place(self, widget: QWidget) -> QPoint:
        return QPoint(*(self.random.randrange(max(size, 1)) for size in (widget.width(), widget.height())))

    def _answer_dialog(self) -> None:
        """Press something in a dialog or menu that has opened, and send it away soon.

        Nothing in one that asks for a file: it makes and removes folders where it stands.
        """
        top = QApplication.activeModalWidget() or QApplication.activePopupWidget()
        if top is None:
            return
        if isinstance(top, QFileDialog):
            top.reject()
            return
        if self.random.random() < 0.5:
            # By itself: what it opens is answered by this timer, which does not go on before it has returned.
            QTimer.singleShot(0, top, lambda: self._poke(top))
        elif self.random.random() < 0.7:
            if isinstance(top, QDialog):
                top.reject()
            else:
                top.close()

    def check(self, when: str) -> None:
        """The review on screen is the one made from the beginning of what is entered."""
        self.settle()
        session, shown = self.session, self.session.outing.review
        if shown is None:
            return
        recording, aim = session.outing.recordings[session.outing.index], session.aim.aim
        marks, notes = session.outing.marks, session.outing.notes
        made = review_recording(recording, aim, marks, notes)
        if (earlier := session._earlier()) is not None:
            again = None if marks is not None else lambda more: review_recording(recording, aim, more, notes)
            made = EarlierOutings(earlier()).speak(made, again)
        names = {each.name for each in fields(Review)} - {"recording"}
        wrong = [name for name in names if not same(getattr(shown, name), getattr(made, name))]
        if (
            wrong
            or shown.recording.samples is not recording.samples
            or shown.recording.title != recording.title
        ):
            self.problem(f"{when}: another review is shown of {recording.title}: {wrong}")

    def undo_and_redo(self) -> None:
        self.settle()
        before, count = self._entered(), 0
        while self.session.history.undo_words:
            self.session.history.undo()
            count += 1
        self.check("all undone")
        for _ in range(count):
            self.session.history.redo()
        self.check("all done again")
        if before != self._entered():
            self.problem(f"undo and redo changed {before} into {self._entered()}")

    def read_back(self) -> None:
        """A second window shows what was entered in the first."""
        session = self.session
        if session.outing.index < 0:
            return
        recording, kept_as, before = (
            session.outing.recordings[session.outing.index],
            session.keeping.kept_as,
            self._entered(),
        )
        of_demo = session.library.opened.is_demo
        self.close()
        self._open()
        if of_demo:
            # A start opens the user's own.
            self.session.library.open_demo()
            self.settle()
        if kept_as:
            self.session.library.open_outing(kept_as)
        else:
            self.session.open([path for path in self.files if path.name == recording.file_name])
        self.settle()
        times = [each.samples["t_s"] for each in self.session.outing.recordings]
        at = next((at for at, t_s in enumerate(times) if same(t_s, recording.samples["t_s"])), None)
        if at is None:
            self.problem(f"{recording.file_name}, kept as {kept_as or 'nothing'}, cannot be opened again")
            return
        self.session.outing.choose(at)
        self.check("read back")
        if before[:2] != self._entered()[:2]:
            self.problem(f"read back, {before} is {self._entered()}")

    def _entered(self) -> tuple[object, ...]:
        """Title, notes and masses with the band; what was decided on doubts is held by the review."""
        outing = self.session.outing
        notes = [
            (n.identity, n.kind, n.text, n.value, n.start_s, n.end_s) for n in outing.notes if not n.deleted
        ]
        title = outing.recordings[outing.index].title if outing.index >= 0 else None
        return title, sorted(notes, key=str), self.session.aim.entered

    def _identity(self) -> str:
        return str(UUID(int=self.random.getrandbits(128)))

    def close(self) -> None:
        self.window.close()
        self.session.close()
        self.window.deleteLater()
        QApplication.processEvents()


ACTS: tuple[Callable[[Hands], None], ...] = (
    *(Hands.open_files, Hands.open_kept, Hands.choose_recording, Hands.choose_athlete, Hands.edit_band),
    *(Hands.edit_masses, Hands.drag_band, Hands.drag_target, Hands.add_note, Hands.add_note, Hands.edit_note),
    *(Hands.take_note_back, Hands.edit_title, Hands.rename_kept, Hands.add_doubt, Hands.decide_doubt),
    *(Hands.undo, Hands.undo, Hands.redo, Hands.change_tab, Hands.wait, Hands.wait),
)


def _left_alone(said: QAction | QAbstractButton) -> bool:
    words = said.text().replace("&", "").lower()
    return not words or any(each in words for each in ENDS_OR_WRITES)


def run(seed: int, acts: int) -> int:
    """How many problems the acts of a seed met."""
    with tempfile.TemporaryDirectory() as home:
        for name in ("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME"):
            os.environ[name] = home
        hands = Hands(seed)

        def told(_kind: object, _where: object, words: str) -> None:
            if "plugin does not support" not in words:
                hands.problem(words)

        def raised(*error: object) -> None:
            hands.problem("".join(traceback.format_exception(*error)))  # type: ignore[arg-type]

        qInstallMessageHandler(told)
        sys.excepthook = raised
        hands.fill()
        for number in range(1, acts + 1):
            hands.act()
            if number % CHECK_EVERY == 0:
                hands.check(f"after {number} acts")
        hands.undo_and_redo()
        hands.read_back()
        hands.close()
    print(f"seed {seed}: {hands.problems} problems", flush=True)
    return hands.problems


def main() -> int:
    acts, *seeds = (int(each) for each in sys.argv[1:]) if sys.argv[1:] else (200,)
    logging.disable(logging.INFO)
    app = QApplication([sys.argv[0]])
    app.setQuitOnLastWindowClosed(False)
    return int(sum(run(seed, acts) for seed in seeds or range(1, 6)) > 0)


if __name__ == "__main__":
    sys.exit(main())
