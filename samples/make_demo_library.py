"""Write half a year of demo outings and their truth: ``python samples/make_demo_library.py [FOLDER]``."""

from __future__ import annotations

import json
import sys
import zipfile
from dataclasses import asdict
from pathlib import Path

from generator.season import BAND_BPM, FIRST_MONDAY, PEOPLE, WEEKS, season

FOLDER = Path(__file__).parent / "demo_library"


def make(folder: Path) -> list[Path]:
    """Write ``outings.zip`` and ``truth.json`` into a folder; the paths written."""
    folder.mkdir(parents=True, exist_ok=True)
    archive, truth_file = folder / "outings.zip", folder / "truth.json"
    people: list[dict[str, object]] = []
    with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as target:
        for person in PEOPLE:
            outings: dict[str, object] = {}
            for item in season(person):
                # A fixed date, so that the archive comes out the same to the byte.
                entry = zipfile.ZipInfo(item.path, date_time=(2026, 1, 1, 0, 0, 0))
                target.writestr(entry, item.encode(), zipfile.ZIP_DEFLATED, 9)
                outings[item.path] = item.truth()
            people.append(
                {
                    "role": person.role,
                    "seed": person.seed,
                    "change": asdict(person.change),
                    "body_mass_kg": person.athlete.body_mass_kg,
                    "minutes_per_week": person.minutes_per_week,
                    "sessions_per_week": person.sessions_per_week,
                    "outings": outings,
                }
            )
    truth = {
        "first_monday": FIRST_MONDAY.isoformat(),
        "weeks": WEEKS,
        "band_bpm": list(BAND_BPM),
        "people": people,
    }
    truth_file.write_text(json.dumps(truth, indent=1) + "\n", encoding="utf-8")
    return [archive, truth_file]


if __name__ == "__main__":
    for path in make(Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER):
        print(f"{path.stat().st_size / 1000:8.1f} kB  {path}")
