"""Several recordings reviewed as one outing on the terminal."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from slopebeat.command.main import main
from slopebeat.library.notebooks import Notebooks
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.outing.notebooks import ContentKey, Notebook
from slopebeat.model.people import Athlete, BandPeriod, Ground
from slopebeat.model.recording import content_hash

TRACK = """<?xml version="1.0"?><gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"
 xmlns:x="urn:heart-rate"><trk><trkseg>{points}</trkseg></trk></gpx>"""
POINT = (
    '<trkpt lat="{lat:.6f}" lon="11.0"><ele>900</ele><time>2026-07-11T{hour:02d}:{minute:02d}:{second:02d}Z'
    "</time><extensions><x:TrackPointExtension><x:hr>{hr}</x:hr></x:TrackPointExtension></extensions></trkpt>"
)


def gpx(path: Path, hour: int) -> str:
    """Forty minutes of walking north from one place."""
    points = "".join(
        POINT.format(lat=47.0 + 0.00011 * i, hour=hour, minute=i // 6, second=i % 6 * 10, hr=120 + i % 7)
        for i in range(240)
    )
    path.write_text(TRACK.format(points=points), encoding="utf-8")
    return str(path)


def test_two_files_are_one_outing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    files = [gpx(tmp_path / "b.gpx", 8), gpx(tmp_path / "a.gpx", 7)]
    out = tmp_path / "day.json"
    assert main(["review", *files, "--together", "--band", "115-123", "--json", str(out)]) == 0
    values = json.loads(out.read_text(encoding="utf-8"))
    assert [each["in_day"]["number"] for each in values["parts"]] == [1, 2]
    # 239 steps of 10 s in each; from 7:39:50 to 8:00:00 nothing was recorded.
    assert values["day"]["span_s"] == 3600.0 + 2390.0
    assert values["day"]["between_s"] == [1210.0]
    assert values["day"]["recorded_s"] == 2 * 2390.0
    assert any("joined as asked" in each for each in values["warnings"])
    assert main(["review", *files, "--together", "--band", "115-123"]) == 0
    assert "Between parts  0:20:10" in capsys.readouterr().out


def test_reports_are_written(tmp_path: Path) -> None:
    files = [gpx(tmp_path / "a.gpx", 7), gpx(tmp_path / "b.gpx", 8)]
    page, paper = tmp_path / "day.html", tmp_path / "day.pdf"
    given = ["--together", "--band", "115-123", "--html", str(page), "--pdf", str(paper)]
    assert main(["review", *files, *given]) == 0
    text = page.read_text(encoding="utf-8")
    assert "Outing in 2 parts" in text
    assert "Part 2 of 2" in text
    # One page of the day and one of each part (PDF 32000-1, 7.7.3: a page is an object of type Page).
    content = paper.read_bytes()
    assert content.count(b"/Type /Page\n") == 3


def test_notes_and_doubts_kept_of_a_part_come_into_the_day(tmp_path: Path) -> None:
    files = [gpx(tmp_path / "a.gpx", 7), gpx(tmp_path / "b.gpx", 8)]
    remark = new_note(NoteKind.REMARK, Author.COACH, "wind on the pass", start_s=600.0)
    doubt = Mark(0.0, 600.0, Channel.HEART_RATE, Reason.BY_HAND, MarkState.ACCEPTED)
    key = ContentKey(content_hash(Path(files[1]).read_bytes()), 0)
    Notebooks().write(key, Notebook((remark,), (doubt,), None, "Back from the pass"))
    page, out = tmp_path / "day.html", tmp_path / "day.json"
    given = ["--together", "--band", "115-123", "--kept", "--html", str(page), "--json", str(out)]
    assert main(["review", *files, *given]) == 0
    text, parts = page.read_text(encoding="utf-8"), json.loads(out.read_text(encoding="utf-8"))["parts"]
    assert text.index("Part 2 of 2") < text.index("Back from the pass") < text.index("wind on the pass")
    assert [round(each["no_hr_s"], -1) for each in parts] == [0.0, 600.0]


def test_the_bands_in_force_of_an_athlete_hold_where_none_is_given(tmp_path: Path) -> None:
    files, place = [gpx(tmp_path / "a.gpx", 7), gpx(tmp_path / "b.gpx", 8)], tmp_path / "library.sqlite3"
    with Library.create(place) as library:
        athlete = library.athletes.add(Athlete(new_identity(), "Hut warden"))
        for day, lower in ((date(2026, 7, 1), 118), (date(2026, 7, 12), 100)):
            library.bands.put(BandPeriod(athlete.identity, Ground.FOOT, day, Band(lower, 130)))
    found = []
    for given in (["--library", str(place)], ["--library", str(place), "--band", "115-123"], []):
        out = tmp_path / "day.json"
        assert main(["review", *files, "--together", *given, "--json", str(out)]) == 0
        values = json.loads(out.read_text(encoding="utf-8"))
        stands_in = any("stands in" in each for each in values["warnings"])
        found.append((values["parts"][0]["in_day"]["band_lower_bpm"], stands_in))
    # 60 % of 180 bpm stand in where nobody's band is known.
    assert found == [(118, False), (115, False), (108, True)]


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ([], "--together"),
        (["--together", "--activity", "1"], "--activity does not go"),
        (["--together", "--bike-band", "nonsense"], "nonsense"),
    ],
)
def test_what_does_not_go_together_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], given: list[str], sentence: str
) -> None:
    files = [gpx(tmp_path / "a.gpx", 7), gpx(tmp_path / "b.gpx", 8)]
    assert main(["review", *files, "--band", "115-123", *given]) == 2
    assert sentence in capsys.readouterr().err


def test_the_same_time_twice_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    files = [gpx(tmp_path / "a.gpx", 7), gpx(tmp_path / "b.gpx", 7)]
    assert main(["review", *files, "--together", "--band", "115-123"]) == 2
    assert "at the same time" in capsys.readouterr().err
