"""What was written and decided on recordings that are in no library.

It belongs to the content of a file, not to its name, so it is found again wherever the file is moved. All of
it lies in the library at the default place, whichever is open, and goes along with its backups.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager, nullcontext
from pathlib import Path

from slopebeat.disk.places import OLD_NOTEBOOKS, library_path
from slopebeat.library.faults import LibraryFault
from slopebeat.library.old.notebooks import NotebookFault as NotebookFault
from slopebeat.library.old.notebooks import forget, refused, take_in_all, waiting
from slopebeat.library.store import Library
from slopebeat.model.message import message
from slopebeat.model.outing.notebooks import ContentKey, Notebook


class Notebooks:
    """The notebooks of a library, made when the first is written; opened for each act and closed again."""

    def __init__(self, path: Path | None = None) -> None:
        self.path = path or library_path()
        self.folder = self.path.parent / OLD_NOTEBOOKS
        self._many: ExitStack | None = None
        self._held: Library | None = None

    @contextmanager
    def for_many(self) -> Iterator[None]:
        """Inside, what the first act opens stays open for those that follow, all on one thread."""
        with ExitStack() as self._many:
            try:
                yield
            finally:
                self._many = self._held = None

    def read(self, key: ContentKey) -> tuple[Notebook, str]:
        """The notebook, empty where there is none, and sentences on what is damaged of it.

        Raises
        ------
        NotebookFault
            When it cannot be read; it is then as it was.
        """
        if not self.path.exists() and not waiting(self.folder):
            return Notebook(), ""
        with self._opened() as library:
            problem = refused(self.folder, key)
            book = library.notebooks.read(key)
            return book, str(NotebookFault(*problem, *library.damage.found))

    def write(self, key: ContentKey, book: Notebook) -> None:
        """Keep a notebook; when this returns it is on the disk, whatever happens next.

        Notes another window has written meanwhile are kept as well.

        Raises
        ------
        NotebookFault
            When it cannot be written; what was there is then as it was.
        """
        with self._opened() as library:
            refused(self.folder, key)
            library.notebooks.write(key, book)

    def remove(self, key: ContentKey) -> None:
        """Forget a notebook, if there is one."""
        if self.path.exists():
            with self._opened() as library:
                library.notebooks.remove(key)
        forget(self.folder, key)

    @contextmanager
    def _opened(self) -> Iterator[Library]:
        try:
            with self._one() as library:
                take_in_all(library.notebooks, self.folder)
                yield library
        except LibraryFault as fault:
            raise NotebookFault(message("notebook.unusable", reason=str(fault))) from fault

    def _one(self) -> AbstractContextManager[Library]:
        if self._many is None:
            return Library.open_or_create(self.path)
        if self._held is None:
            self._held = self._many.enter_context(Library.open_or_create(self.path))
        self._held.damage.clear()  # Each act tells of its own.
        return nullcontext(self._held)
