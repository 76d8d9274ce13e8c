"""The chapter "How far to trust it" is what the kept benchmarks and the named sources say, to the figure."""

from __future__ import annotations

import importlib.util
import re
import sys
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[1]


def _loaded() -> ModuleType:
    """The maker of the chapter, which is run as a program and in no package."""
    spec = importlib.util.spec_from_file_location("trust", ROOT / "tests" / "benchmarks" / "trust.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["trust"] = module
    spec.loader.exec_module(module)
    return module


trust = _loaded()


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_tables_in_the_guide_are_those_that_would_be_made_now(language: str) -> None:
    text, now = trust.GUIDES[language].read_text(encoding="utf-8"), trust.chapter(language)
    assert text.count(trust.BEGIN) == text.count(trust.END) == 1
    there = text[text.index(trust.BEGIN) : text.index(trust.END)]
    tables, _, sources = there.partition("<ul>")
    assert tables == now.partition("<ul>")[0], "python tests/benchmarks/trust.py"
    # A source that a test has named since may be missing there, but none may be named that no test names.
    named = {source for found in trust.published().values() for source in found}
    listed = set(re.findall(r"doi:[^\s<,]+|(?:DIN|ISO) \d+", sources))
    assert len(listed) > 5
    assert listed <= named


def test_every_figure_was_printed_by_a_benchmark() -> None:
    kept = [*trust.KEPT.glob("*.md"), *trust.HERE.glob("same_ground_*.md")]
    printed = "\n".join(path.read_text(encoding="utf-8") for path in kept)
    rounded = {f"{float(each):.0f}" for each in re.findall(r"\d+\.\d+", printed)}
    plain = set(re.findall(r"\d+(?:\.\d+)?", printed)) | rounded
    cells = [cell for made in trust.TABLES for row in made().rows for cell in row if cell not in trust.WORDS]
    assert len(cells) > 100
    assert [cell for cell in cells if cell and cell.removesuffix(" %") not in plain] == []


def test_rows_that_a_benchmark_no_longer_prints_stop_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(trust, "KEPT", tmp_path)
    monkeypatch.setattr(trust, "HERE", tmp_path)
    (tmp_path / "same_ground_real.md").write_text("2026-01-01\n", encoding="utf-8")
    for name in ("life_like", "months_of_change", "real_months"):
        (tmp_path / f"{name}.md").write_text("# x\nPrinted on 2026-01-01 by `y`.\n\n    other\n", "utf-8")
    for made in trust.TABLES:
        with pytest.raises(trust.Missing):
            made()
    (tmp_path / "life_like.md").write_text("    other\n", encoding="utf-8")
    with pytest.raises(trust.Missing, match="no day"):
        trust.simulated()


def test_both_languages_have_every_word_and_none_is_left_over() -> None:
    assert all(english and german for english, german in trust.WORDS.values())
    stems = {path.stem for path in (ROOT / "tests").rglob("test_*.py")}
    assert {key for key in trust.WORDS if key.startswith("test_")} <= stems
    words = set(re.findall(r"<t[hd][^>]*>([^<]*)</t[hd]>", trust.chapter("de")))
    english = {said for said, german in trust.WORDS.values() if said != german}
    assert not words & english
    assert len(trust.published()) > 5


def test_sources_are_found_as_they_are_written() -> None:
    found = trust.SOURCE.findall(
        "(doi:10.1249/MSS.0b013e3181666ed7: 2 %), doi:10.1007/s40279-016-0605-y, DIN 33466."
    )
    assert found == [
        ("10.1249/MSS.0b013e3181666ed7", ""),
        ("10.1007/s40279-016-0605-y", ""),
        ("", "DIN 33466"),
    ]
