"""Every figure's page says how well it held, as the kept benchmarks have it, or that it was not compared."""

from __future__ import annotations

import importlib
import re
import string
import sys
from types import ModuleType

import pytest

from slopebeat.model.language import use_language
from slopebeat.model.measures import use_decimal_sign
from slopebeat.review.help.explanations import ENTRIES, page
from slopebeat.review.help.held import ENTERED, HELD, SENTENCES, how_it_held, measured
from test_trust import ROOT, trust


@pytest.fixture
def maker(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """What writes the figures into the help; a program, and in no package."""
    monkeypatch.syspath_prepend(str(ROOT / "tests" / "benchmarks"))
    monkeypatch.setitem(sys.modules, "trust", trust)
    return importlib.import_module("held_to")


def test_the_figures_in_the_help_are_those_the_benchmarks_printed(maker: ModuleType) -> None:
    found = maker.evidence()
    assert found == measured(), "python tests/benchmarks/held_to.py"
    assert maker.source(found) == maker.TARGET.read_text(encoding="utf-8")
    kept = [*trust.KEPT.glob("*.md"), *trust.HERE.glob("same_ground_*.md")]
    printed = "\n".join(path.read_text(encoding="utf-8") for path in kept)
    plain = set(re.findall(r"\d+(?:\.\d+)?", printed))
    whole = plain | {f"{float(each):.0f}" for each in plain}
    numbers = [
        number for _, named in measured().values() for value in named.values() for number in value.split(", ")
    ]
    assert [each for each in numbers if each.removesuffix(" %") not in whole | {"rider", "walker"}] == []
    assert all(day in printed for day, _ in measured().values())


def test_a_table_printed_otherwise_stops_the_maker(
    maker: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(trust, "kept", lambda name: ("2026-01-01", ["other"]))
    for made in (maker._next_outings, maker._predicted, maker._months, maker._simulated):
        with pytest.raises(trust.Missing):
            made()


def test_all_that_was_measured_is_said_and_all_that_is_said_was_measured() -> None:
    assert {kind for kinds in HELD.values() for kind in kinds} == set(SENTENCES) == set(measured())
    assert set(HELD) | ENTERED <= set(ENTRIES)
    assert not set(HELD) & ENTERED
    for kind, sentence in SENTENCES.items():
        fields = {name for _, name, _, _ in string.Formatter().parse(sentence) if name}
        known = {"day", *measured()[kind][1]}
        assert "day" in fields, kind
        assert fields <= known, kind


@pytest.mark.parametrize(
    ("language", "label", "otherwise"),
    [
        ("en", "How well it held:", "Not compared with what happened next."),
        ("de", "Wie gut es hielt:", "Nicht mit dem verglichen, was danach geschah."),
    ],
)
def test_every_page_of_a_figure_says_so(language: str, label: str, otherwise: str) -> None:
    use_language(language)
    use_decimal_sign("," if language == "de" else ".")
    said = page()
    pages = said.split('<p><a name="')[1:]
    assert said.count(label) == len(ENTRIES) - len(ENTERED)
    for each in pages:
        key = each.partition('"')[0]
        if key in HELD:
            assert measured()[HELD[key][0]][0] in each.partition(label)[2], key
        elif key in ENTRIES and key not in ENTERED:
            assert otherwise in each, key
    assert "{" not in said
    # The share of the next outing, as the kept table on real months has it.
    assert ("7,8" if language == "de" else "7.8") in how_it_held("needed")
