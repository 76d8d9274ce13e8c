"""Kill a process that imports and edits, at random moments, 200 times; nothing acknowledged may be lost.

Run by hand: ``python tests/faults/kill_during_import.py [KILLS] [SEED]`` with ``app`` on the path. A child
process imports files (through its own worker processes) and edits what it imported. It tells of each act
after the act returned. The parent kills it with SIGKILL, then checks the library's integrity, every original
byte, and every act it was told of.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import selectors
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import slopebeat
from helpers.sentences import sentences_of
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.people import Athlete, BandPeriod, Ground

KILLS = 200
FILES = 1500
KILLS_PER_LIBRARY = 20  # a new one is made before all files are in, or there would be nothing left to import
LONGEST_LIFE_S = 4.0
AFTER_AN_ACT = 0.65
START = datetime(2020, 1, 1, 8, tzinfo=UTC)
POINT = (
    '<trkpt lat="{lat:.6f}" lon="11.0"><ele>{ele:.1f}</ele><time>{time}</time><extensions><hr>{hr}</hr>'
    "</extensions></trkpt>"
)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("kills", nargs="?", type=int, default=KILLS)
    parser.add_argument("seed", nargs="?", type=int, default=1)
    parser.add_argument("--child", nargs=2, type=Path, help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.child:
        return act(*options.child)
    chance = random.Random(options.seed)
    with tempfile.TemporaryDirectory() as name:
        return besiege(Path(name), options.kills, chance)


def besiege(folder: Path, kills: int, chance: random.Random) -> int:
    """Kill ``kills`` times; the exit status is 1 at the first loss."""
    files = folder / "files"
    files.mkdir()
    for number in range(FILES):
        (files / f"{number:04d}.gpx").write_text(outing(number), encoding="utf-8")
    told: Counter[str] = Counter()
    last_words: Counter[str] = Counter()
    started = time.monotonic()
    for kill in range(kills):
        if kill % KILLS_PER_LIBRARY == 0:
            path = folder / f"{kill}" / "library.sqlite3"
            expected: dict[str, Any] = {"outing": {}, "load": {}, "band": {}, "note": set(), "removed": set()}
        acts, words = one_life(path, files, chance)
        last_words[words] += 1
        for kind, *values in acts:
            told[kind] += 1
            remember(expected, kind, values)
        losses = check(path, files, expected)
        if losses:
            print(f"LOST after kill {kill + 1}:", *losses, sep="\n  ")
            return 1
        if (kill + 1) % 20 == 0:
            print(f"{kill + 1} kills, {sum(told.values())} acts told, nothing lost", flush=True)
    lasting = time.monotonic() - started
    print(f"{kills} kills in {lasting:.0f} s; acts told and found again: {dict(told)}")
    print(f"under way when killed: {dict(last_words)}")
    print(f"left over in the temporary folder by killed workers: {leftovers(started)}")
    return 0


def one_life(path: Path, files: Path, chance: random.Random) -> tuple[list[list[Any]], str]:
    """Start a child, kill it at a random moment, and give what it told and what it was at."""
    command = [sys.executable, __file__, "--child", str(path), str(files)]
    child = subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env=os.environ | {"PYTHONPATH": str(Path(slopebeat.__file__).parents[1])},
    )
    assert child.stdout is not None
    # Most lives end soon after their first act, where most is going on, the others at any time.
    wait_for_word = chance.random() < AFTER_AN_ACT
    deadline = time.monotonic() + (60.0 if wait_for_word else chance.uniform(0.0, LONGEST_LIFE_S))
    chunks: list[bytes] = []
    with selectors.DefaultSelector() as selector:
        selector.register(child.stdout, selectors.EVENT_READ)
        while time.monotonic() < deadline:
            if selector.select(max(0.0, deadline - time.monotonic())):
                chunk = os.read(child.stdout.fileno(), 65536)
                if not chunk:
                    raise RuntimeError(f"the child ended by itself: {child.wait()}")
                chunks.append(chunk)
                if wait_for_word and b"[" in chunk:
                    wait_for_word = False
                    deadline = time.monotonic() + chance.expovariate(1.0 / 0.4)
    child.send_signal(signal.SIGKILL)
    rest, _ = child.communicate()
    lines = b"".join([*chunks, rest]).split(b"\n")
    acts = [json.loads(line) for line in lines[:-1] if not line.startswith(b'"')]
    words = [json.loads(line) for line in lines[:-1] if line.startswith(b'"')]
    return acts, words[-1] if words else "starting"


def remember(expected: dict[str, Any], kind: str, values: list[Any]) -> None:
    if kind == "note":
        expected["note"].add(tuple(values))
    elif kind == "removed":
        expected["removed"].add(values[0])
    elif kind == "removing":
        # Told before the act: killed right after it, the child cannot tell that it is done. From here on the
        # outing may be there or not.
        for known in ("outing", "load"):
            expected[known].pop(values[0], None)
        expected["note"] = {note for note in expected["note"] if note[0] != values[0]}
    else:
        expected[kind][values[0]] = values[1]


def check(path: Path, files: Path, expected: dict[str, Any]) -> list[str]:
    """Everything that is damaged or missing."""
    if not path.exists():
        return [f"told of {kind}, but there is no library" for kind, acts in expected.items() if acts]
    with Library.open(path) as library:
        losses = list(sentences_of(library.check(files=True)))
        athlete = next(iter(library.athletes), None)
        if athlete is None:
            return [
                *losses,
                *(f"told of {kind}, but there is no athlete" for kind in expected if expected[kind]),
            ]
        kept = {each.identity: each for each in library.outings.of(athlete.identity)}
        for identity, file_name in expected["outing"].items():
            if identity not in kept:
                losses.append(f"outing {file_name} is gone")
            elif library.outings.original(identity) != (files / file_name).read_bytes():
                losses.append(f"the bytes of {file_name} are others")
            elif library.results.get(identity) is None:
                losses.append(f"{file_name} has no result")
        for identity, load in expected["load"].items():
            # An edit that was done but not yet told of when the child died may be there too.
            if identity in kept and kept[identity].load_kg < load:
                losses.append(f"load {load} on {identity} is {kept[identity].load_kg}")
        days = {p.from_day.isoformat(): p.band.lower_bpm for p in library.bands.of(athlete.identity)}
        losses += [f"band of {day} is gone" for day, low in expected["band"].items() if days.get(day) != low]
        for identity, text in expected["note"]:
            if text not in {note.text for note in library.notes.of(identity)}:
                losses.append(f"note {text} is gone")
        losses += [f"removed outing {gone} is back" for gone in expected["removed"] if gone in kept]
    return losses


def act(path: Path, files: Path) -> int:
    """The child: import and edit, and tell of each act when it is done."""
    from slopebeat.library.imports import ImportedOuting
    from slopebeat.review.imports.importing import import_files

    chance = random.Random()
    say("creating or opening")
    with Library.open_or_create(path) as library:
        found = next(iter(library.athletes), None)
        athlete = found or library.athletes.add(Athlete(new_identity(), "trail patrol"))
        rounds = library.outings.count()
        say("importing")

        def on_kept(kept: ImportedOuting) -> None:
            outing = kept.outing
            if kept.is_new:
                say(["outing", outing.identity, outing.file_name])
            for _ in range(3):
                edit(library, athlete, outing.identity, chance)
            say("importing")

        # Each life begins somewhere else, so that there is always something new.
        names = sorted(files.iterdir())
        shift = rounds % len(names)
        import_files(library, athlete.identity, names[shift:] + names[:shift], on_kept=on_kept)
    say("done")
    while True:
        time.sleep(1.0)


def edit(library: Library, athlete: Athlete, identity: str, chance: random.Random) -> None:
    kind = chance.choice(("load", "band", "note", "backup", "removed"))
    say(kind)
    if kind == "load":
        load = library.outings.get(identity).load_kg + 1.0
        library.outings.set_load(identity, load)
        say(["load", identity, load])
    elif kind == "band":
        day = (START + timedelta(days=chance.randrange(4000))).date()
        if day.isoformat() in {p.from_day.isoformat() for p in library.bands.of(athlete.identity)}:
            return
        library.bands.put(BandPeriod(athlete.identity, Ground.FOOT, day, Band(100 + day.day, 150)))
        say(["band", day.isoformat(), 100 + day.day])
    elif kind == "note":
        note = new_note(NoteKind.REMARK, Author.COACH, new_identity())
        library.notes.merge(identity, [note])
        say(["note", identity, note.text])
    elif kind == "backup" and chance.random() < 0.2:
        library.backup(library.path.with_name("backup.sqlite3"))
    elif kind == "removed" and chance.random() < 0.1:
        others = [o.identity for o in library.outings.of(athlete.identity) if o.identity != identity]
        if others:
            gone = chance.choice(others)
            say(["removing", gone])
            library.outings.remove([gone])
            say(["removed", gone])


def say(words: object) -> None:
    sys.stdout.write(json.dumps(words) + "\n")
    sys.stdout.flush()


def outing(number: int) -> str:
    """A short invented walk as GPX, with its own day and pulse."""
    start = START + timedelta(days=number)
    points = (
        POINT.format(
            lat=46.0 + 2e-5 * second,
            ele=1500 + 0.2 * second,
            time=f"{start + timedelta(seconds=second):%Y-%m-%dT%H:%M:%SZ}",
            hr=100 + (second // 7 + number) % 40,
        )
        for second in range(0, 900, 3)
    )
    head = '<gpx version="1.1" creator="invented" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>'
    return f"{head}{''.join(points)}</trkseg></trk></gpx>"


def leftovers(since: float) -> int:
    age = time.monotonic() - since
    return sum(
        time.time() - folder.stat().st_mtime < age
        for folder in Path(tempfile.gettempdir()).glob("slopebeat-*")
    )


if __name__ == "__main__":
    sys.exit(main())
