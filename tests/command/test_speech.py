"""A command in another language and in other units; what programs read is the same in all of them."""

from __future__ import annotations

import gettext
import json
from pathlib import Path
from xml.etree import ElementTree

import pytest

from helpers.earlier_outings import write_gpx
from slopebeat.command import speech
from slopebeat.command.main import main
from slopebeat.model import language, measures

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
HIKE = SAMPLES / "hut_supply_hike.fit"
GERMAN = ["--language", "de", "--units", "imperial"]


class _Shouting(gettext.NullTranslations):
    """Every text in capitals, the names of its figures as they are."""

    def gettext(self, message: str) -> str:
        parts = message.split("{")
        return "{".join([parts[0].upper(), *(_after_a_name(part) for part in parts[1:])])

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)


def _after_a_name(part: str) -> str:
    name, brace, rest = part.partition("}")
    return name + brace + rest.upper()


@pytest.fixture(autouse=True)
def _german_shouts(monkeypatch: pytest.MonkeyPatch) -> None:
    """What a translator writes is no business of these tests."""
    monkeypatch.setattr(language, "_catalogue", lambda code: _Shouting())
    for name in speech.LOCALE_VARIABLES:
        monkeypatch.delenv(name, raising=False)


def said(capsys: pytest.CaptureFixture[str], *arguments: object) -> str:
    assert main([str(each) for each in arguments]) == 0
    return capsys.readouterr().out


@pytest.mark.parametrize(
    ("variables", "code"),
    [
        ({"LANG": "de_AT.UTF-8"}, "de"),
        ({"LANG": "en_GB.UTF-8", "LC_MESSAGES": "de_DE"}, "de"),
        ({"LANG": "de_DE", "LC_ALL": "C"}, "en"),
        ({"LANG": "xx_YY"}, "en"),
        ({}, "en"),
    ],
)
def test_the_language_is_that_of_the_messages_of_the_place(
    variables: dict[str, str], code: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name, value in variables.items():
        monkeypatch.setenv(name, value)
    assert speech.asked(["review", "x.fit"])[0] == code
    assert speech.asked(["review", "--language", "en"])[0] == "en"


def test_a_command_leaves_language_and_units_as_they_were(capsys: pytest.CaptureFixture[str]) -> None:
    text = said(capsys, "review", HIKE, "--hr-max", 187, *GERMAN)
    assert "WHERE THE TIME WENT" in text
    assert (language.language(), measures.system(), measures.decimal_sign()) == (
        *("en", measures.System.METRIC, "."),
    )


def test_imperial_figures_are_the_metric_ones_in_other_units(capsys: pytest.CaptureFixture[str]) -> None:
    """1 ft is 0.3048 m and 1 mi 1609.344 m exactly (yard and pound agreement of 1959)."""
    values = json.loads(said(capsys, "review", HIKE, "--hr-max", 187, "--json", "-"))
    head = said(capsys, "review", HIKE, "--hr-max", 187, "--units", "imperial").splitlines()[0]
    assert f"{values['ascent_m'] / 0.3048:.0f} ft up" in head
    assert f"{values['distance_m'] / 1609.344:.1f} mi" in head


def test_a_german_figure_has_a_comma(capsys: pytest.CaptureFixture[str]) -> None:
    values = json.loads(said(capsys, "review", HIKE, "--hr-max", 187, "--json", "-"))
    head = said(capsys, "review", HIKE, "--hr-max", 187, "--language", "de").splitlines()[0]
    assert f"{values['distance_m'] / 1000:.1f} km".replace(".", ",") in head


def test_json_and_tables_do_not_depend_on_language_and_units(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    plain = said(capsys, "review", HIKE, "--hr-max", 187, "--json", "-")
    assert said(capsys, "review", HIKE, "--hr-max", 187, "--json", "-", *GERMAN) == plain
    for name, chosen in (("plain", []), ("german", GERMAN)):
        said(capsys, "review", HIKE, "--hr-max", 187, "--csv", tmp_path / name, *chosen)
    files = sorted(path.name for path in (tmp_path / "plain").iterdir())
    assert len(files) == 5
    for name in files:
        assert (tmp_path / "plain" / name).read_bytes() == (tmp_path / "german" / name).read_bytes()


@pytest.mark.usefixtures("qapp")
def test_a_report_beside_json_is_written_in_the_language_asked_for(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    page = tmp_path / "report.html"
    text = said(capsys, "review", HIKE, "--hr-max", 187, "--json", "-", "--html", page, *GERMAN)
    assert json.loads(text)["decoupling"]["verdict"] == "terrain"
    written = page.read_text(encoding="utf-8")
    assert '<html lang="de">' in written
    assert "WHERE THE TIME WENT" in written
    assert " ft" in written


def test_a_waypoint_speaks_as_the_person_who_carries_it(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    target = tmp_path / "way.gpx"
    route = SAMPLES / "lake_shore_walk.gpx"
    walks = write_gpx(tmp_path)
    text = said(capsys, "plan", route, "--from", *walks, "--band", "112-131", "--gpx", target, *GERMAN)
    assert "WHAT TO KNOW ABOUT THIS PLAN" in text
    ElementTree.parse(target)


def test_help_is_in_the_language_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["review", "--help", "--language", "de"]) == 0
    assert "SAY" not in capsys.readouterr().out.split("\n")[0]
    assert main(["--language", "de", "--help"]) == 0
    assert "SAY WHAT ONE RECORDED OUTING WAS WORTH" in capsys.readouterr().out


def test_a_language_that_is_not_installed_is_one_sentence(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing(code: str) -> gettext.NullTranslations:
        raise language.NoSuchLanguage("The texts are not installed.")

    monkeypatch.setattr(language, "_catalogue", missing)
    assert main(["review", str(HIKE), "--language", "de"]) == 2
    assert capsys.readouterr().err == "The texts are not installed.\n"
    monkeypatch.setenv("LANG", "de_DE.UTF-8")
    assert main(["review", str(HIKE), "--hr-max", "187"]) == 0
    assert "Where the time went" in capsys.readouterr().out
