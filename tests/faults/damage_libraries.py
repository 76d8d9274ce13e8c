"""Damage libraries in many ways and see that every command ends in an answer or a sentence.

Run by hand: ``python tests/faults/damage_libraries.py [COPIES] [SEED]`` with ``app`` on the path. Each copy
of a small library is damaged by bytes, or by a value of another kind in some row; then ``months``, ``check``
and ``restore`` are run on it, and all is read. A traceback, more than 10 s of processor time, with that of
processes started, or more than 1 GB is a failure.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import os
import random
import resource
import shutil
import sqlite3
import sys
import tempfile
import traceback
from collections import Counter
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from fuzz.mutations import flip, overwrite
from helpers.sentences import sentences_of
from library.making import facts, keep, period, review_all, warden
from slopebeat.command.main import main as command
from slopebeat.library.store import Library, restore
from slopebeat.model.errors import UserError
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.review.summary import COMPUTATION_VERSION

COPIES, LONGEST_S, MOST_KB = 1500, 10.0, 1_000_000
OUTINGS = 12
VALUES: tuple[Any, ...] = (
    *(None, 0, -1, 2**62, -(2**63), 1e308, float("inf"), -0.5, "", "x", "\x00", b"\xff\xfe", b"", "[]", "{}"),
    *("[" * 100_000, '{"a": ' * 5000, '"\\ud800"', "null", "1e999", "NaN", "9999-12-31", "0001-01-01", "-"),
)
"""What a damaged row may hold in place of what was put in."""


def small_library(path: Path) -> Path:
    """A library with everything in it, in one file."""
    with Library.create(path) as library:
        athlete = library.athletes.add(warden())
        library.bands.put(period(athlete, date(2026, 1, 1), 112, 131))
        for number in range(OUTINGS):
            kept = keep(library, athlete, b"outing %d" % number * 40, facts(days=number * 5.0))
            outing = kept[0].outing
            note = new_note(NoteKind.EFFORT, Author.ATHLETE, "easy", 3.0)
            library.notes.merge(outing.identity, [note])
            library.outings.set_marks(outing.identity, ())
        review_all(library, COMPUTATION_VERSION)
        flat = path.with_name("flat.sqlite3")
        library.backup(flat)
    return flat


def damaged_bytes(data: bytes, dice: random.Random) -> bytes:
    """Bits flipped, pieces put over or a stretch of nothing, anywhere behind the first page's head."""
    body = bytearray(data)
    kind = dice.choice(("flip", "overwrite", "blank", "cut", "swap"))
    if kind == "blank":
        at = dice.randrange(100, len(body))
        body[at : at + dice.choice((4, 64, 512, 4096))] = bytes(min(64, len(body) - at))
    elif kind == "cut":
        del body[dice.randrange(100, len(body)) :]
    elif kind == "swap":
        one, other = (dice.randrange(len(body) // 4096) * 4096 for _ in range(2))
        first, second = body[one : one + 4096], body[other : other + 4096]
        body[one : one + 4096], body[other : other + 4096] = second, first
    else:
        for _ in range(dice.randint(1, 6)):
            (flip if kind == "flip" else overwrite)(body, dice)
    return bytes(body)


def damage_row(path: Path, dice: random.Random) -> str:
    """Put a value of another kind into some field, as damage inside a page would; says what was done."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        connection.execute("PRAGMA ignore_check_constraints = ON")
        tables = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        table = dice.choice(tables)
        columns = [row[1] for row in connection.execute(f"PRAGMA table_info({table})")]
        column, value = dice.choice(columns), dice.choice(VALUES)
        rows = [row[0] for row in connection.execute(f"SELECT rowid FROM {table}")]
        if not rows:
            return "nothing"
        if dice.random() < 0.3 and column in ("summary", "evidence", "marks", "details", "basis", "how"):
            text = connection.execute(f"SELECT {column} FROM {table} LIMIT 1").fetchone()[0]
            body = bytearray(str(text).encode())
            overwrite(body, dice) if body else None
            value = body.decode("utf-8", "replace")
        as_text = isinstance(value, bytes) and dice.random() < 0.5
        with contextlib.suppress(sqlite3.Error, OverflowError):
            place = "CAST(? AS TEXT)" if as_text else "?"
            connection.execute(
                f"UPDATE {table} SET {column} = {place} WHERE rowid = ?", (value, dice.choice(rows))
            )
        return f"{table}.{column} = {str(value)[:30]!r}"


def use(path: Path) -> str:
    """All that is done with a library; ``sentence`` or ``answer``, any other exception passes through."""
    endings, refusals = set(), []
    for words in (["months", "--library", str(path), "--json", "-"], ["months", "--library", str(path)]):
        with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()) as told:
            status = command(words)
        assert status == 0 or told.getvalue().strip(), "an error without a sentence"
        endings.add(status)
    try:
        with Library.open(path) as library:
            library.check(files=True)
            for athlete in library.athletes:
                library.results.evidence(athlete.identity)
                for outing in library.outings.of(athlete.identity):
                    library.notes.of(outing.identity, deleted=True)
                    library.outings.marks(outing.identity)
                    library.results.get(outing.identity)
            assert all(sentences_of(library.damage.found)), "damage without a sentence"
        endings.add(0)
    except UserError as problem:
        refusals.append(str(problem))
        endings.add(2)
    for although in (False, True):
        try:
            restore(path, path.with_name("restored.sqlite3"), although)
        except UserError as problem:
            refusals.append(str(problem))
    assert all(refusals), "a refusal without a sentence"
    return "answer" if 0 in endings else "sentence"


def busy_s() -> float:
    """Processor time of this process and of those it waited for: a busy machine's clock says little."""
    return sum(os.times()[:4])


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("copies", nargs="?", type=int, default=COPIES)
    parser.add_argument("seed", nargs="?", type=int, default=1)
    options = parser.parse_args()
    dice = random.Random(options.seed)
    endings: Counter[str] = Counter()
    classes: dict[str, str] = {}
    with tempfile.TemporaryDirectory() as name:
        sound = small_library(Path(name) / "library.sqlite3")
        for number in range(options.copies):
            place = Path(name) / "damaged"
            place.mkdir()
            path = place / "library.sqlite3"
            if number % 2:
                path.write_bytes(sound.read_bytes())
                what = "; ".join(damage_row(path, dice) for _ in range(dice.randint(1, 3)))
            else:
                path.write_bytes(damaged_bytes(sound.read_bytes(), dice))
                what = "bytes"
            began = busy_s()
            try:
                endings[use(path)] += 1
            except Exception as problem:
                endings["traceback"] += 1
                where = traceback.extract_tb(problem.__traceback__)[-1]
                key = f"{type(problem).__name__}: {str(problem)[:80]} at {where.filename}:{where.lineno}"
                classes.setdefault(key, f"copy {number}: {what}")
            took = busy_s() - began
            if took > LONGEST_S:
                endings["too slow"] += 1
                classes.setdefault(f"{took:.0f} s", f"copy {number}: {what}")
            shutil.rmtree(place)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(dict(endings), f"largest memory {peak / 1000:.0f} MB")
    for key, what in classes.items():
        print(key, "\n   ", what)
    return int(bool(endings["traceback"] or endings["too slow"] or peak > MOST_KB))


if __name__ == "__main__":
    sys.exit(main())
