"""Write the chapter "How far to trust it" of the guide: ``python tests/benchmarks/trust.py``.

Its figures are read from what the benchmarks printed (``kept``, written by ``keep.py``), its list of
published checks from the tests that name a source. No figure in it is typed by hand; where a benchmark prints
something else than is looked for, this stops.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape
from pathlib import Path

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
KEPT = HERE / "kept"
GUIDES = {language: ROOT / "resources" / "guide" / f"guide_{language}.html" for language in ("en", "de")}

BEGIN, END = "<!-- How far to trust it: written by tests/benchmarks/trust.py -->\n", "<!-- end -->\n"
BEFORE = '<h2><a name="hand"></a>'
"""The chapter stands before this one."""

WORDS: dict[str, tuple[str, str]] = {
    "title": ("How far to trust it", "Wie weit dem zu trauen ist"),
    "intro": (
        "What the program says of an outing or of months was held against what was true or what happened "
        "next. Where a simpler way does as well or better, the tables show that too.",
        "Was das Programm über eine Tour oder über Monate sagt, wurde an dem gemessen, was wahr war oder "
        "danach geschah. Wo ein einfacherer Weg ebenso gut oder besser ist, zeigen die Tabellen auch das.",
    ),
    "printed": ("Measured on {day}.", "Gemessen am {day}."),
    "simulated": ("Simulated outings whose truth is known", "Simulierte Touren, deren Wahrheit bekannt ist"),
    "simulated.text": (
        "Hearts that answer late and in two parts, ground that costs otherwise than the curves say, wind and "
        "failing sensors; in the harsher world more of each. Error: root mean square of decoupling, in "
        "points, where the truth is none. Holds: share of the 95 % intervals that hold the truth.",
        "Herzen, die verzögert und in zwei Teilen antworten, Untergrund, der anders kostet als die Kurven "
        "sagen, Wind und versagende Sensoren; in der raueren Welt mehr von allem. Fehler: quadratisches "
        "Mittel der Entkopplung in Punkten, wo es keine gibt. Hält: Anteil der 95-%-Intervalle, die "
        "die Wahrheit enthalten.",
    ),
    "world": ("world", "Welt"),
    "LIFE": ("life-like", "lebensnah"),
    "HARSH": ("harsh", "rau"),
    "sport": ("outings", "Touren"),
    "all": ("all", "alle"),
    "walk": ("on foot, walking", "zu Fuß, gehend"),
    "hike": ("on foot, hiking", "zu Fuß, wandernd"),
    "run": ("running", "laufend"),
    "ride": ("riding", "fahrend"),
    "error.speed": ("error, speed", "Fehler, Tempo"),
    "error.work": ("error, work", "Fehler, Leistung"),
    "error.fair": ("error, terrain-fair", "Fehler, geländebereinigt"),
    "holds95": ("95 % holds", "95 % hält"),
    "months": ("Simulated months", "Simulierte Monate"),
    "months.text": (
        "How often a change of the heart rate at the usual work is called, and how often its 95 % interval "
        "holds the truth. Called where nothing changed is a false alarm; where "
        "fitness wandered, now and then really differ.",
        "Wie oft eine Änderung des Pulses bei der üblichen Leistung gemeldet wird, und wie oft ihr "
        "95-%-Intervall die Wahrheit enthält. Gemeldet, wo sich nichts geändert hat, ist "
        "Fehlalarm; wo die Form schwankte, unterscheiden sich jetzt und damals wirklich.",
    ),
    "weeks": ("weeks", "Wochen"),
    "course": ("what happened", "was geschah"),
    "still": ("nothing changed", "nichts änderte sich"),
    "wanders": ("fitness wandered", "die Form schwankte"),
    "changes": ("the heart rate fell", "der Puls sank"),
    "question": ("question", "Frage"),
    "lasting": ("a lasting change", "bleibende Änderung"),
    "now_against_then": ("now against then", "jetzt gegen damals"),
    "called": ("called", "gemeldet"),
    "holds": ("holds", "hält"),
    "next": ("What came next, in real months", "Was danach kam, in wirklichen Monaten"),
    "next.text": (
        "Every outing was foretold from the earlier ones of the same athlete alone. The band's share: the "
        "error in points, beside that of the athlete's median share, and how often the 80 % interval held. "
        "A handful of cases says little.",
        "Jede Tour wurde allein aus den früheren derselben Person vorhergesagt. Anteil im Bereich: der "
        "Fehler in Punkten, daneben der des mittleren bisherigen Anteils, und wie oft das 80-%-Intervall "
        "hielt. Eine Handvoll Fälle sagt wenig.",
    ),
    "clock": ("How long it took, in real months", "Wie lange es dauerte, in wirklichen Monaten"),
    "clock.text": (
        "Time on the clock until 45 minutes were in band, foretold in the same way: middle error in percent "
        "where they were reached, beside 45 minutes divided by the athlete's median share, and how often the "
        "80 % interval held. Outings that ended earlier count by how likely it would have held.",
        "Zeit auf der Uhr, bis 45 Minuten im Bereich lagen, ebenso vorhergesagt: mittlerer Fehler in "
        "Prozent, wo sie erreicht wurden, daneben 45 Minuten geteilt durch den mittleren bisherigen Anteil, "
        "und wie oft das 80-%-Intervall hielt. Früher beendete Touren zählen so, wie wahrscheinlich es "
        "gehalten hätte.",
    ),
    "who": ("athlete", "Person"),
    "rider": ("rider", "Radfahrer"),
    "walker": ("walker", "Wanderer"),
    "gone": ("how", "wie"),
    "as usual": ("as usual", "wie gewohnt"),
    "mean kept": ("mean kept in band", "Mittel im Bereich gehalten"),
    "cases": ("cases", "Fälle"),
    "error": ("error", "Fehler"),
    "simplest": ("simplest way", "einfachster Weg"),
    "holds80": ("80 % holds", "80 % hält"),
    "foretold": (
        "Time and heart rate foretold, in real months",
        "Zeit und Puls vorhergesagt, in wirklichen Monaten",
    ),
    "foretold.text": (
        "Time on a way: mean error in percent, beside distance and 7 times the ascent at the athlete's own "
        "pace. Heart rate: mean error in bpm, beside a straight line on work.",
        "Zeit auf einem Weg: mittlerer Fehler in Prozent, daneben Strecke und siebenfacher Anstieg im "
        "eigenen Tempo. Puls: mittlerer Fehler in Schlägen, daneben eine gerade Linie auf die Leistung.",
    ),
    "what": ("what", "was"),
    "time.as usual": ("time, as usual, %", "Zeit, wie gewohnt, %"),
    "time.mean known": ("time, mean heart rate known, %", "Zeit, mittlerer Puls bekannt, %"),
    "heart": ("heart rate, bpm", "Puls, Schläge"),
    "same": ("The same ground again, in real months", "Gleiche Wege noch einmal, in wirklichen Monaten"),
    "same.text": (
        "The heart rate at a place gone before, foretold from earlier passes there at equal speed: mean "
        "error in bpm, beside the mean of those passes as they were and the athlete's mean over all places.",
        "Der Puls an einer schon begangenen Stelle, vorhergesagt aus früheren Durchgängen dort bei gleichem "
        "Tempo: mittlerer Fehler in Schlägen, daneben das Mittel dieser Durchgänge, wie sie waren, und das "
        "Mittel der Person über alle Stellen.",
    ),
    "cycling, model": ("riding", "fahrend"),
    "cycling, power": ("riding with a power meter", "fahrend mit Leistungsmesser"),
    "foot, model": ("on foot", "zu Fuß"),
    "earlier": ("earlier passes", "frühere Durchgänge"),
    "passes": ("passes", "Durchgänge"),
    "there": ("mean there", "Mittel dort"),
    "everywhere": ("mean of all", "Mittel aller"),
    "published": ("Checked against published values", "An veröffentlichten Werten geprüft"),
    "published.text": (
        "Each of these is held in the program's tests to a published table, example or measurement:",
        "Jedes davon halten die Prüfungen des Programms an eine veröffentlichte Tabelle, ein Beispiel oder "
        "eine Messung:",
    ),
    "test_work_rate": ("work rate", "Leistung"),
    "test_decoupling": ("decoupling", "Entkopplung"),
    "test_response_lag": ("lag of the heart rate", "Verzögerung des Pulses"),
    "test_response_estimate": ("answer of the heart rate to work", "Antwort des Pulses auf Leistung"),
    "test_route_pace": ("pace on grades", "Tempo auf Steigungen"),
    "test_route_simulation": ("heat on a planned way", "Hitze auf einem geplanten Weg"),
    "test_references": ("published walking times", "veröffentlichte Gehzeiten"),
    "test_weeks": ("calendar weeks", "Kalenderwochen"),
    "other": ("and beside these", "und außerdem"),
    "test_route_ground": ("walking times of a whole way", "Gehzeiten eines ganzen Wegs"),
}
"""Every word of the chapter, English and German."""

SOURCE = re.compile(r"doi:\s?(10\.\d{4,9}/[^\s,;:)\"'`]+[^\s.,;:)\"'`])|\b((?:DIN|ISO) \d{4,5})\b")


@dataclass(frozen=True)
class Table:
    """A table of the chapter: keys of its words, the day it was measured, and its cells as printed."""

    key: str
    day: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


class Missing(Exception):
    """A benchmark printed something else than is looked for."""


def kept(name: str) -> tuple[str, list[str]]:
    """The day of a kept benchmark and the lines it printed."""
    text = (KEPT / f"{name}.md").read_text(encoding="utf-8")
    day = re.search(r"^Printed on (\d{4}-\d\d-\d\d) by", text, re.MULTILINE)
    if day is None:
        raise Missing(f"{name}.md: no day")
    return day[1], [line[4:] for line in text.splitlines() if line.startswith("    ")]


def simulated() -> Table:
    """Decoupling in worlds that do not share the program's assumptions, by sport."""
    day, lines = kept("life_like")
    rows, world = [], ""
    figures = r"\|\s*(\S+)\s+(\S+) \|\s*(\S+)\s+\S+\s+(\S+)"
    for line in lines:
        world = line.split(":")[0] if re.match(r"[A-Z]+: ", line) else world
        found = re.match(rf"all ?(\w*)\s*{figures}", line)
        if found:
            sport, speed, work, fair, cover = found.groups()
            rows.append((world, sport or "all", speed, work, fair, f"{float(cover):.0f} %"))
    head = ("world", "sport", "error.speed", "error.work", "error.fair", "holds95")
    return _table("simulated", day, head, rows)


def months() -> Table:
    """Changes called in simulated months."""
    day, lines = kept("months_of_change")
    figures = r"\s*(\d+)  (\w+)\s+(\w+)\s+(\d+)\s+(\S+)\s+(\S+)"
    found = [re.match(figures, line) for line in lines]
    rows = [
        (weeks, course, question, f"{float(called):.0f} %", f"{float(holds):.0f} %")
        for weeks, course, question, _, called, holds in (row.groups() for row in found if row)
    ]
    return _table("months", day, ("weeks", "course", "question", "called", "holds"), rows)


def coming() -> Table:
    """The share in band of the next outing, by athlete and sport."""
    day, found = _next_outings()
    rows = [row[:7] for row in found]
    return _table("next", day, ("who", "sport", "gone", "cases", "error", "simplest", "holds80"), rows)


def on_the_clock() -> Table:
    """The time on the clock to the target, by athlete and sport."""
    day, found = _next_outings()
    rows = [(*row[:4], *row[7:]) for row in found]
    return _table("clock", day, ("who", "sport", "gone", "cases", "error", "simplest", "holds80"), rows)


def _next_outings() -> tuple[str, list[tuple[str, ...]]]:
    """Athlete, sport, way to go, cases; error, simplest and hold of the share, and of the clock."""
    day, lines = kept("real_months")
    one = r"\s+(\S+)\s+(\S+)\s+\S+\s+\(\s*\S+\)\s+"
    rows = []
    for who, sport, line in _of_athletes(lines):
        found = re.match(rf"  (as usual|mean kept)\s+(\d+){one}(\d+) %\s+\d+{one}(\d+) %", line)
        if found:
            gone, cases, error, median, holds, clock, clock_median, clock_holds = found.groups()
            share = (error, median, f"{holds} %")
            rows.append((who, sport, gone, cases, *share, clock, clock_median, f"{clock_holds} %"))
    return day, rows


def predicted() -> Table:
    """Time on a way and heart rate, by athlete and sport; of the heart rate no interval is counted."""
    day, lines = kept("real_months")
    rows = []
    plan = (
        r"  plan, (as usual|mean known)\s+n\s+(\d+)\s+time: mean error\s+(\S+) %, 80 % interval held\s+(\d+)"
        r" %\s+\(distance \+ 7 x ascent\s+(\S+) %"
    )
    heart = r"  heart rate foretold \((\d+)\): (\S+) bpm off; pooled least squares on lagged work (\S+),"
    for who, sport, line in _of_athletes(lines):
        if found := re.match(plan, line):
            how, cases, error, holds, simplest = found.groups()
            rows.append((who, sport, f"time.{how}", cases, error, simplest, f"{holds} %"))
        if found := re.match(heart, line):
            cases, error, simplest = found.groups()
            rows.append((who, sport, "heart", cases, error, simplest, ""))
    return _table("foretold", day, ("who", "sport", "what", "cases", "error", "simplest", "holds80"), rows)


def same_ground() -> Table:
    """Heart rate at places gone again; a table of its own, as another benchmark wrote it."""
    text = (HERE / "same_ground_real.md").read_text(encoding="utf-8")
    day = re.search(r"\d{4}-\d\d-\d\d", text)
    row = r"^\| (\w+), ([\w, ]+) \| (\d+) \| (\d+) \| \d+ \| (\S+) \| (\S+) \| (\S+) \|$"
    found = re.findall(row, text, re.MULTILINE)
    if day is None:
        raise Missing("same_ground_real.md: no day")
    head = ("who", "sport", "earlier", "passes", "error", "there", "everywhere")
    return _table("same", day[0], head, found)


def _of_athletes(lines: Sequence[str]) -> list[tuple[str, str, str]]:
    """Each line with the athlete and the sport it is about."""
    who = sport = ""
    found = []
    for line in lines:
        head = re.match(r"(\w+), (\w+): \d+ outings", line)
        who, sport = head.groups() if head else (who, sport)
        found.append((who, sport, line))
    return found


def _table(key: str, day: str, head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> Table:
    if not rows:
        raise Missing(f"nothing for {key}")
    return Table(key, day, head, tuple(rows))


TABLES: tuple[Callable[[], Table], ...] = (simulated, months, coming, on_the_clock, predicted, same_ground)


def published() -> dict[str, list[str]]:
    """Sources by the test module that holds the program to them; last those of modules without words."""
    found: dict[str, list[str]] = {}
    for path in sorted((ROOT / "tests" / "analysis").rglob("test_*.py")):
        named = SOURCE.findall(path.read_text(encoding="utf-8"))
        sources = list(dict.fromkeys(f"doi:{doi}" if doi else norm for doi, norm in named))
        found.setdefault(path.stem if path.stem in WORDS else "other", []).extend(sources)
    ordered = sorted(found.items(), key=lambda each: each[0] == "other")
    return {stem: list(dict.fromkeys(sources)) for stem, sources in ordered if sources}


def chapter(language: str) -> str:
    """The chapter in a language, with the marks around it."""

    def said(key: str) -> str:
        return escape(WORDS[key][list(GUIDES).index(language)], quote=False)

    lines = [f'<h2><a name="trust"></a>{said("title")}</h2>', f"<p>{said('intro')}</p>"]
    for made in TABLES:
        table = made()
        day = said("printed").format(day=table.day)
        lines += [f"<p><b>{said(table.key)}.</b> {said(table.key + '.text')} {day}</p>"]
        lines += ['<table cellpadding="3">', _row("th", [said(key) for key in table.head])]
        lines += [_row("td", [_cell(cell, said) for cell in row]) for row in table.rows]
        lines += ["</table>"]
    lines += [f"<p><b>{said('published')}.</b> {said('published.text')}</p>", "<ul>"]
    lines += [f"<li>{said(stem)}: {', '.join(sources)}</li>" for stem, sources in published().items()]
    return BEGIN + "\n".join([*lines, "</ul>", ""]) + END


def _row(kind: str, cells: Sequence[str]) -> str:
    aligned = (
        f'<{kind} align="{"right" if cell[:1].isdigit() else "left"}">{cell}</{kind}>' for cell in cells
    )
    return "<tr>" + "".join(aligned) + "</tr>"


def _cell(cell: str, said: Callable[[str], str]) -> str:
    return said(cell) if cell in WORDS else escape(cell)


def placed(text: str, made: str) -> str:
    """A page of the guide with the chapter in its place, instead of an earlier one."""
    if BEGIN in text:
        before, rest = text.split(BEGIN)
        return before + made + rest.split(END, 1)[1].removeprefix("\n")
    before, after = text.split(BEFORE)
    return f"{before}{made}{BEFORE}{after}"


def main() -> int:
    """Write the chapter into both guides."""
    for language, path in GUIDES.items():
        path.write_text(placed(path.read_text(encoding="utf-8"), chapter(language)), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
