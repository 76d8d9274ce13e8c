"""Write half a year of demo outings and their truth: ``python samples/make_demo_library.py [FOLDER]``."""

from __future__ import annotations

import json
import sys
import zipfile
from collections.abc import Iterable
from dataclasses import asdict
from pathlib import Path

from generator.season import BAND_BPM, FIRST_MONDAY, PEOPLE, WEEKS, SeasonOuting, season

FOLDER = Path(__file__).parent / "demo_library"


def make(folder: Path) -> list[Path]:
    """Write an archive per person, ``people.json`` and ``truth.json`` into a folder; the paths written."""
    folder.mkdir(parents=True, exist_ok=True)
    written, people, truth = [], [], {}
    for person in PEOPLE:
        archive = f"{person.role.replace(' ', '_')}.zip"
        outings = _write_archive(folder / archive, season(person))
        written.append(folder / archive)
        people.append(
            {
                "name": person.role.capitalize(),
                "archive": archive,
                "body_mass_kg": person.athlete.body_mass_kg,
                "hr_max_bpm": person.athlete.hr_max_bpm,
                "minutes_per_week": person.minutes_per_week,
                "sessions_per_week": person.sessions_per_week,
                "from_day": FIRST_MONDAY.isoformat(),
            }
        )
        truth[archive] = {"seed": person.seed, "change": asdict(person.change), "outings": outings}
    whole = {"weeks": WEEKS, "band_bpm": list(BAND_BPM), "archives": truth}
    for name, values in (("people.json", people), ("truth.json", whole)):
        (folder / name).write_text(json.dumps(values, indent=1) + "\n", encoding="utf-8")
        written.append(folder / name)
    return written


def _write_archive(path: Path, outings: Iterable[SeasonOuting]) -> dict[str, object]:
    """Write the outings into a ZIP archive; the truth of each by its name there."""
    truth: dict[str, object] = {}
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for item in outings:
            # A fixed date, so that the archive comes out the same to the byte.
            entry = zipfile.ZipInfo(item.file_name, date_time=(2026, 1, 1, 0, 0, 0))
            archive.writestr(entry, item.encode(), zipfile.ZIP_DEFLATED, 9)
            truth[item.file_name] = item.truth()
    return truth


if __name__ == "__main__":
    for path in make(Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER):
        print(f"{path.stat().st_size / 1000:8.1f} kB  {path}")
