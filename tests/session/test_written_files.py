"""Small files as earlier versions wrote them read as they were written."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from slopebeat.model.bands import BandMethod
from slopebeat.model.codec import convert, encode, parse
from slopebeat.model.notes import Author, NoteKind
from slopebeat.model.people import Aim
from slopebeat.session.ended import LastOpened
from slopebeat.session.library.memory import LibraryMemory
from slopebeat.session.outing.aim import BandChoice, Entered
from slopebeat.session.outing.notes import UnfinishedNotes, Written
from slopebeat.session.outing.view_state import Along, Rate
from slopebeat.session.settings import Appearance, Layout, Preferences, Settings, Units

FILES = Path(__file__).parent / "files"
ENTERED = Entered(
    BandChoice(BandMethod.RESERVE, 110, 130, 187, 52, (0.6, 0.7), (0.4, 0.59)),
    Aim(target_s=3000.0, body_mass_kg=72.5, load_kg=14.0, bike_mass_kg=13.0, drift_threshold_percent=4.5),
)
LAYOUT = Layout((1200, 800), True, (900, 300), (500, 200), 2, Along.DISTANCE, Rate.VERTICAL)
NOT_UTF8 = "/home/warden/b\udcff.fit"
OUTING = ("hike.fit", "2026-07-11T06:00:00+00:00")
files = st.sampled_from([Path("/home/warden/Hüttenweg.fit"), Path(NOT_UTF8), Path("/a b/c.gpx")])
texts = st.text(max_size=20)


def test_settings(tmp_path: Path) -> None:
    path = tmp_path / "settings.json"
    shutil.copyfile(FILES / "settings.json", path)
    found = Settings(path)
    assert found.content.entered == ENTERED
    assert found.recent == (Path(NOT_UTF8), Path("/home/warden/Hüttenweg.fit"))
    assert found.content.author is Author.COACH
    assert found.content.preferences == Preferences(Units.IMPERIAL, "de", Appearance.DARK, 120)
    assert found.content.layout == LAYOUT
    assert not list(tmp_path.glob("*damaged*"))
    found.keep(author=Author.ATHLETE)
    found.keep(author=Author.COACH)
    before, after = (json.loads(each.read_bytes()) for each in (FILES / "settings.json", path))
    for section in ("band", "preferences"):
        # This version says more, and nothing else.
        assert after[section].items() >= before[section].items()
    # Days in parts were not known then.
    later: dict[str, object] = {"joined": [], "apart": [], "bike_band": None}
    assert {**after, "band": {}, "preferences": {}} == {**before, **later, "band": {}, "preferences": {}}


def test_the_library_looked_at_last(tmp_path: Path) -> None:
    shutil.copyfile(FILES / "library.json", tmp_path / "library.json")
    memory = LibraryMemory(tmp_path)
    assert memory.path == Path("/home/warden/outings.sqlite3")
    assert memory.athlete == "11111111-1111-4111-8111-111111111111"


def test_notes_begun(tmp_path: Path) -> None:
    path = tmp_path / "unfinished_notes.json"
    shutil.copyfile(FILES / "unfinished_notes.json", path)
    known = {
        (*OUTING, ""): Written(NoteKind.LACTATE, 1.9, Author.COACH, "0:40:10", "nüchtern"),
        (*OUTING, "22222222-2222-4222-8222-222222222222"): Written(text="Wind"),
    }
    notes = UnfinishedNotes(tmp_path)
    assert notes.read() == known
    notes.write({(*OUTING, "x"): Written()}, set())
    notes.write({}, {(*OUTING, "x")})
    assert json.loads(path.read_bytes()) == json.loads((FILES / "unfinished_notes.json").read_bytes())


@pytest.mark.parametrize(
    ("name", "place"),
    [
        ("running_files", LastOpened("Seeweg", ("/home/warden/a.fit", NOT_UTF8), 1)),
        (
            "running_library",
            LastOpened(
                "Seeweg",
                library="/home/warden/outings.sqlite3",
                athlete="11111111-1111-4111-8111-111111111111",
                outing="a0345615-4b56-4698-a156-faf24aabb1f6",
                demo=True,
            ),
        ),
    ],
)
def test_what_a_killed_window_leaves(name: str, place: LastOpened) -> None:
    text = (FILES / f"{name}.json").read_text(encoding="utf-8")
    assert convert(parse(text), LastOpened) == place
    assert json.loads(encode(place)) == json.loads(text)


choices = st.builds(
    BandChoice,
    st.sampled_from(BandMethod),
    *[st.none() | st.integers(20, 260)] * 4,
    *[st.tuples(st.floats(0.01, 1.0), st.floats(0.01, 1.0))] * 2,
)
aims = st.builds(
    Aim,
    target_s=st.floats(60.0, 36_000.0),
    body_mass_kg=st.floats(25.0, 250.0),
    load_kg=st.floats(0.0, 80.0),
    bike_mass_kg=st.floats(0.0, 60.0),
    drift_threshold_percent=st.floats(0.5, 20.0),
)
preferences = st.builds(
    Preferences,
    st.sampled_from(Units),
    st.sampled_from(["system", "en", "de"]),
    st.sampled_from(Appearance),
    st.integers(80, 160),
)
pixels = st.lists(st.integers(0, 20_000), max_size=4).map(tuple)
layouts = st.builds(
    Layout,
    pixels,
    st.booleans(),
    pixels,
    pixels,
    st.integers(0, 50),
    st.sampled_from(Along),
    st.sampled_from(Rate),
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=50)
@given(st.builds(Entered, choices, aims), preferences, layouts, st.sampled_from(Author), files)
def test_any_settings_come_back(
    tmp_path: Path, entered: Entered, wanted: Preferences, layout: Layout, author: Author, file: Path
) -> None:
    path = tmp_path / "settings.json"
    path.unlink(missing_ok=True)
    first = Settings(path)
    first.remember_aim(entered)
    first.keep(preferences=wanted)
    first.keep(layout=layout)
    first.keep(author=author)
    first.remember_file(file)
    again = Settings(path)
    assert (again.content.entered, again.content.preferences, again.content.layout) == (
        entered,
        wanted,
        layout,
    )
    assert (again.content.author, again.recent) == (author, (file,))


@given(
    st.builds(LastOpened, texts, st.lists(files.map(str)).map(tuple), st.integers(0, 9), texts, texts, texts)
)
def test_any_place_comes_back(place: LastOpened) -> None:
    assert convert(parse(encode(place)), LastOpened) == place


written = st.builds(
    Written,
    st.sampled_from(NoteKind),
    st.none() | st.floats(allow_nan=False, allow_infinity=False),
    st.sampled_from(Author),
    texts,
    texts,
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=50)
@given(st.dictionaries(st.tuples(files.map(str), texts, texts), written, max_size=4))
def test_any_notes_begun_come_back(tmp_path: Path, notes: dict[tuple[str, str, str], Written]) -> None:
    (tmp_path / "unfinished_notes.json").unlink(missing_ok=True)
    UnfinishedNotes(tmp_path).write(notes, set())
    assert UnfinishedNotes(tmp_path).read() == notes
