"""Whatever a record holds comes back from its JSON text, and what is no record is named by its field."""

from __future__ import annotations

import dataclasses
import json
import sys
import threading
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, fields, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Annotated, Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays
from msgspec import Meta

from slopebeat.model.codec import (
    Finite,
    Instant,
    Undecodable,
    convert,
    decode,
    encode,
    parse,
    repaired,
    to_builtins,
)
from slopebeat.model.evidence import FitEvidence, InputSums, OutingEvidence, OutingSummary, PastOuting
from slopebeat.model.message import KeyEnum

texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
numbers = st.floats(allow_nan=False, allow_infinity=False)
times = st.datetimes(datetime(1000, 1, 1), datetime(9000, 1, 1), timezones=st.just(UTC))
whole = st.integers(-(2**53), 2**53)


def of_kind(hint: str) -> st.SearchStrategy[Any]:
    """Values of a field by its annotation as written."""
    if hint.endswith("| None"):
        return st.none() | of_kind(hint.removesuffix("| None").strip())
    known = {"float": numbers, "str": texts, "bool": st.booleans(), "int": whole, "Instant": times}
    known["tuple[float, ...]"] = st.lists(numbers, max_size=5).map(tuple)
    return known[hint]


def records(kind: Any, **others: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    hints = {each.name: each.type for each in fields(kind) if each.name not in others}
    return st.builds(kind, **{name: of_kind(str(hint)) for name, hint in hints.items()}, **others)


def array(*shape: int) -> st.SearchStrategy[Any]:
    """Numbers of as many digits as are kept."""
    exact = numbers.map(lambda value: float(f"{value:.10g}")).filter(np.isfinite)
    return arrays.arrays(float, shape, elements=exact)


fits = records(FitEvidence, coefficients=array(5), covariance=array(5, 5), centre=array(3))
sums = records(InputSums, gram=array(7, 7), low=array(5), high=array(5))
taught = records(
    OutingEvidence, fit=st.none() | fits, sums=st.none() | sums, past=st.none() | records(PastOuting)
)


@given(records(OutingSummary))
def test_a_summary_comes_back(summary: OutingSummary) -> None:
    assert decode(encode(summary), OutingSummary) == summary


@given(taught)
def test_what_an_outing_teaches_comes_back(evidence: OutingEvidence) -> None:
    back = decode(encode(evidence), OutingEvidence)
    for field in fields(OutingEvidence):
        mine, theirs = getattr(evidence, field.name), getattr(back, field.name)
        if field.name not in ("fit", "sums") or mine is None:
            assert theirs == mine
            continue
        for inner in fields(mine):
            np.testing.assert_array_equal(getattr(theirs, inner.name), getattr(mine, inner.name))


class Ground(KeyEnum):
    SCREE = "loose stones"
    SNOW = "snow"


@dataclass(frozen=True)
class Patch:
    ground: Ground = Ground.SCREE
    share: Annotated[float, Meta(ge=0.0, le=1.0)] = 0.5


@dataclass(frozen=True)
class Way:
    day: date = date(2026, 1, 1)
    seen: Instant | None = None
    steepest: Finite = 0.1
    patch: Patch = Patch()
    names: tuple[str, ...] = ()
    path: Path = Path("a")
    bends: tuple[tuple[float, int | None], ...] = ()


ways = st.builds(
    Way,
    st.dates(),
    st.none() | times,
    numbers,
    st.builds(Patch, st.sampled_from(Ground), st.floats(0.0, 1.0)),
    st.lists(texts).map(tuple),
    st.sampled_from([Path("/home/warden/Hüttenweg.fit"), Path("b\udcff")]),
    st.lists(st.tuples(numbers, st.none() | whole)).map(tuple),
)


@given(ways)
def test_any_record_comes_back(way: Way) -> None:
    assert convert(parse(encode(way)), Way) == way
    damaged: list[str] = []
    assert repaired(parse(encode(way, indent=1)), Way(), damaged) == way
    assert damaged == []


def test_members_go_by_their_names_and_read_by_them() -> None:
    assert json.loads(encode(Patch(Ground.SNOW)))["ground"] == "SNOW"
    assert decode('{"ground": "SNOW"}', Patch).ground is Ground.SNOW


def test_text_is_ascii_so_that_any_name_of_a_file_can_be_kept() -> None:
    assert encode(Path("b\udcffü")).isascii()


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_no_number_that_is_none_is_written(value: float) -> None:
    with pytest.raises(ValueError, match="JSON compliant"):
        encode(Way(steepest=value))


DAMAGED: list[tuple[str, Any]] = [
    ("day", "May"),
    ("seen", "2026-01-01T00:00:00"),
    ("steepest", "0.1"),
    ("steepest", True),
    ("steepest", float("inf")),
    ("steepest", float("nan")),
    ("steepest", 10**400),
    ("names[1]", 3),
    ("patch.share", 1.5),
    ("patch.ground", "ICE"),
    ("patch", []),
    ("path", 3),
    ("bends[0]", [1.0]),
    ("bends[0][1]", 1.5),
]
SOUND: dict[str, Any] = to_builtins(Way(names=("a", "b"), bends=((1.0, 2),)))


def with_value(field: str, value: Any) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(json.dumps(SOUND))
    *outer, last = field.replace("[", ".").replace("]", "").split(".")
    holder: Any = found
    for name in outer:
        holder = holder[int(name) if name.isdigit() else name]
    holder[int(last) if last.isdigit() else last] = value
    return found


@pytest.mark.parametrize(("field", "value"), DAMAGED)
def test_the_field_that_is_damaged_is_named_and_costs_only_itself(field: str, value: object) -> None:
    values = with_value(field, value)
    with pytest.raises(Undecodable) as refused:
        convert(values, Way)
    assert refused.value.field == field
    assert refused.value.unknown is (value == "ICE")
    damaged: list[str] = []
    sound = replace(Way(), names=("a", "b"), bends=((1.0, 2),))
    top = field.split("[")[0]
    lost = top.split(".")[0]
    found = repaired(values, sound, damaged)
    assert damaged == [top]
    assert replace(found, **{lost: getattr(sound, lost)}) == sound


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[" * 100_000,
        "NaN",
        '{"patch": 1e999}',
        '{"names": ["\\ud800"]}',
        "\ud800",
        b"\xff",
        b'"\xff"',
    ],
)
def test_text_that_is_no_record_is_refused(text: str | bytes) -> None:
    with pytest.raises(Undecodable):
        decode(text, Way)


@pytest.mark.parametrize("text", ["", "{", "[" * 100_000])
def test_text_that_is_no_json_is_refused(text: str) -> None:
    with pytest.raises(Undecodable):
        parse(text)


def test_what_a_later_version_adds_is_passed_over_and_what_is_missing_is_not() -> None:
    assert decode('{"later": 1}', Way) == Way()
    values = to_builtins(
        PastOuting(datetime(2026, 1, 1, tzinfo=UTC), False, 1.0, 1.0, 0.0, None, None, 9, (), None)
    )
    assert convert(values | {"later": {}}, PastOuting).hr_from_bpm == 9
    del values["moving_s"]
    with pytest.raises(Undecodable, match="moving_s"):
        convert(values, PastOuting)


def test_a_time_elsewhere_is_the_same_moment() -> None:
    way = decode('{"seen": "2026-07-11T08:00:00+02:00"}', Way)
    assert way.seen == datetime(2026, 7, 11, 6, tzinfo=UTC)
    assert way.seen.utcoffset() == timedelta(hours=2)


@pytest.mark.parametrize("wrong", [[1.0], [1.0] * 24, [[1.0] * 5] * 5, ["1"] * 25, [None] * 25, "1", 5.0])
def test_an_array_of_another_size_or_of_no_numbers_is_refused(wrong: object) -> None:
    fit = {"coefficients": [0.0] * 5, "covariance": [0.0] * 25, "centre": [0.0] * 3}
    fit |= {"centre_h": 0.0, "tau_s": 1.0, "residual_bpm": 1.0, "used_s": 1.0, "usable": True}  # type: ignore[dict-item]
    assert convert(fit, FitEvidence).covariance.shape == (5, 5)
    with pytest.raises(Undecodable):
        convert(fit | {"covariance": wrong}, FitEvidence)


def test_threads_may_read_a_record_for_the_first_time_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a lock the library ends the process: it uses what another thread has only half made."""
    before, names = sys.getswitchinterval(), [f"f{number}" for number in range(12)]
    inside = {name: number for number, name in enumerate(names)}
    text = json.dumps(dict.fromkeys(names, inside))
    sys.setswitchinterval(1e-6)
    try:
        for _ in range(30):
            inner = dataclasses.make_dataclass("Inner", [(name, "int") for name in names])
            outer = dataclasses.make_dataclass("Outer", [(name, "Inner") for name in names])
            inner.__module__ = outer.__module__ = __name__
            monkeypatch.setitem(globals(), "Inner", inner)
            start = threading.Barrier(4)

            def read(kind: type = outer, start: threading.Barrier = start) -> dict[str, Any]:
                start.wait()
                return dataclasses.asdict(decode(text, kind))

            with ThreadPoolExecutor(4) as pool:
                found = [job.result() for job in [pool.submit(read) for _ in range(4)]]
            assert found == [dict.fromkeys(names, inside)] * 4
    finally:
        sys.setswitchinterval(before)


def test_nothing_but_the_codec_reads_json() -> None:
    app = Path(__file__).resolve().parents[2] / "app" / "slopebeat"
    others = ("json.load", "msgspec.json", "msgspec.convert", "pickle", "literal_eval")
    reading = {
        path.relative_to(app).as_posix()
        for path in app.rglob("*.py")
        if any(each in path.read_text(encoding="utf-8") for each in others)
    }
    # A basis is a value with a text of its own, the same for equal values; earlier wordings are text, too.
    assert reading == {"model/codec.py", "model/basis.py", "library/old/basis.py"}
