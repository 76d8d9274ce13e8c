"""The catalogues hold what the code says, whole, and translations fit the texts they stand for."""

from __future__ import annotations

import ast
import gettext
import string
from functools import cache
from io import BytesIO
from pathlib import Path

import pytest

pytest.importorskip("babel", reason="catalogues are made with Babel")

from babel.messages.catalog import Catalog, Message
from babel.messages.extract import extract
from babel.messages.pofile import read_po

import make_catalogue

Text = str | tuple[str, ...]


def calls() -> list[tuple[Path, ast.Call, str]]:
    """Every call that names a text, in the code."""
    return [
        (path, call, name)
        for path in sorted(make_catalogue.CODE.rglob("*.py"))
        for name, call in make_catalogue.calls_in(path.read_text(encoding="utf-8"))
    ]


def read_by_babel() -> set[Text]:
    """What the reader that Babel brings finds; it knows nothing of calls inside f-strings."""
    found: set[Text] = set()
    for path in sorted(make_catalogue.CODE.rglob("*.py")):
        code = path.read_bytes()
        for keywords in ({"tr": None, "mark": None, "trn": (1, 2), "Action": (1,)}, {"Action": (2,)}):
            # Reading a module word by word takes long, so only one that has any of the words is read.
            if any(word.encode() + b"(" in code for word in keywords):
                found |= {text for _, text, _, _ in extract("python", BytesIO(code), keywords) if text}
    return found


def messages(catalogue: Catalog) -> list[Message]:
    return [message for message in catalogue if message.id]


def texts(catalogue: Catalog) -> set[Text]:
    return {each.id if isinstance(each.id, str) else tuple(each.id) for each in messages(catalogue)}


@cache
def template() -> Catalog:
    with make_catalogue.TEMPLATE.open("rb") as stream:
        return read_po(stream)


def names(text: str) -> set[str]:
    """The names of the figures a text has places for."""
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


def strings(message: Message) -> tuple[str, ...]:
    return (message.string,) if isinstance(message.string, str) else tuple(message.string or ())


translated = cache(make_catalogue.translated)


@pytest.fixture(params=make_catalogue.LANGUAGES)
def code(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def finished(code: str) -> Catalog:
    """A translation, asked for all of it."""
    return translated(code)


def test_the_template_holds_every_text_of_the_code_and_no_other() -> None:
    assert texts(template()) == texts(make_catalogue.extracted()), "make the catalogue again"


def test_another_reader_of_the_code_finds_the_same_texts() -> None:
    theirs, ours = read_by_babel(), texts(template())
    assert {first(text) for text in theirs} <= {first(text) for text in ours}
    assert {text for text in theirs if isinstance(text, tuple)} <= ours
    assert len(theirs) > 0.95 * len(ours)


def first(text: Text) -> str:
    return text if isinstance(text, str) else text[0]


def test_a_text_is_a_literal_whose_figures_have_names() -> None:
    wrong = []
    for path, call, name in calls():
        wanted = make_catalogue.KEYWORDS[name]
        for each in call.args[:wanted]:
            if isinstance(each, ast.JoinedStr | ast.BinOp):
                wrong.append(f"{path.name}:{call.lineno} is put together before it is looked up")
            elif isinstance(each, ast.Constant) and not all(map(str.isidentifier, names(str(each.value)))):
                wrong.append(f"{path.name}:{call.lineno} has a figure without a name")
        if name != "tr" and not all(isinstance(each, ast.Constant) for each in call.args[:wanted]):
            wrong.append(f"{path.name}:{call.lineno} looks up what the catalogue cannot know")
    assert wrong == []


def test_both_numbers_of_a_text_have_the_same_figures() -> None:
    for text in texts(template()):
        if isinstance(text, tuple):
            one, many = map(names, text)
            # "one outing" may do without its number.
            assert one - {"n", "count"} == many - {"n", "count"}, text


def test_a_translation_has_the_texts_of_the_template(code: str) -> None:
    assert texts(translated(code)) == texts(template()), "make the catalogue again"


def test_the_compiled_file_is_in_step_with_the_translation(code: str) -> None:
    path = make_catalogue.po_path(code).with_suffix(".mo")
    with path.open("rb") as stream:
        compiled = gettext.GNUTranslations(stream)
    for message in messages(translated(code)):
        if not make_catalogue.is_translated(message):
            continue
        if isinstance(message.id, str):
            assert compiled.gettext(message.id) == message.string
        else:
            forms = {compiled.ngettext(message.id[0], message.id[1], number) for number in (1, 2)}
            assert forms == set(strings(message)), message.id


def test_files_made_again_are_the_same(code: str) -> None:
    made = make_catalogue.updated(code, template())
    path = make_catalogue.po_path(code)
    assert make_catalogue.as_po(made) == path.read_bytes(), "make the catalogue again"
    assert make_catalogue.as_mo(made) == path.with_suffix(".mo").read_bytes()


def test_every_text_is_translated_and_none_is_a_guess(finished: Catalog) -> None:
    missing = [message.id for message in messages(finished) if not make_catalogue.is_translated(message)]
    assert missing == []
    assert [message.id for message in messages(finished) if message.fuzzy] == []


def test_translations_have_places_for_the_same_figures(code: str) -> None:
    for message in messages(translated(code)):
        if not make_catalogue.is_translated(message):
            continue
        sources = (message.id,) if isinstance(message.id, str) else message.id
        wanted = names(sources[-1])
        for number, text in enumerate(strings(message)):
            free = {"n", "count"} if number == 0 and len(sources) == 2 else set()
            assert names(text) - free == wanted - free, message.id


def test_translations_keep_what_has_a_meaning_beside_words(code: str) -> None:
    """The key of a menu, the dots of what asks further, and the ends that join a text to the next one."""
    for message in messages(translated(code)):
        if not (isinstance(message.id, str) and make_catalogue.is_translated(message)):
            continue
        text, shown = message.id, str(message.string)
        assert has_key(text) == has_key(shown), f"{text!r} has one key to press and {shown!r} not, or two"
        assert text.endswith("…") == shown.endswith("…"), text
        assert text.endswith("\n") == shown.endswith("\n"), text
        for end in (0, -1):
            assert text[end].isspace() == shown[end].isspace(), text


def has_key(text: str) -> bool:
    """Whether one letter is marked as the key of a menu."""
    keys = text.replace("&&", "").replace("& ", "").count("&")
    assert keys < 2, text
    return keys == 1


def test_extraction_reads_every_way_to_name_a_text() -> None:
    code = """tr("one " "text"); mark("kept"); trn("{n} hut", "{n} huts", 3); f"{tr('inner')}"; tr(name)"""
    assert set(make_catalogue.texts_in(code)) == {"one text", "kept", ("{n} hut", "{n} huts"), "inner"}
    assert set(make_catalogue.texts_in("""Action("&Go", "Go on.", "go_on")""")) == {"&Go", "Go on."}


def test_a_translation_stays_when_its_text_does(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(make_catalogue, "LOCALE", tmp_path)
    path = make_catalogue.po_path("de")
    path.parent.mkdir(parents=True)
    old = make_catalogue.steady("de", [Message("hut", "Hütte"), Message("gone", "weg")])
    path.write_bytes(make_catalogue.as_po(old))
    new = make_catalogue.updated("de", make_catalogue.steady(None, [Message("hut"), Message("new")]))
    assert {message.id: message.string for message in messages(new)} == {"hut": "Hütte", "new": None}
    compiled = gettext.GNUTranslations(BytesIO(make_catalogue.as_mo(new)))
    assert (compiled.gettext("hut"), compiled.gettext("new")) == ("Hütte", "new")
