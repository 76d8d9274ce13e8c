"""A page as one HTML file that needs nothing else: no script, no font, no picture from elsewhere."""

from __future__ import annotations

from collections.abc import Sequence

from slopebeat.model.language import language, tr
from slopebeat.plots.colours import LIGHT
from slopebeat.report.page import ListLine, Page
from slopebeat.report.shapes import Picture, Scene
from slopebeat.report.sheet import LONG_LIST
from slopebeat.report.svg import FONTS, svg
from slopebeat.report.tables import ReportColumn, ReportFigure, Table
from slopebeat.report.words import markup, no_breaks

POLICY = "default-src 'none'; style-src 'unsafe-inline'"
"""Content security policy written into the file: a browser then fetches and runs nothing."""

SHEET = """
@page {{ size: A4; margin: 11mm 12mm; }}
* {{ box-sizing: border-box; }}
html {{ background: {window}; }}
body {{ margin: 0 auto; padding: 2em 2.4em; max-width: 80em; background: {panel}; color: {ink};
    font: 13px/1.25 {fonts}; -webkit-print-color-adjust: exact; print-color-adjust: exact; }}
h1 {{ font-size: 1.67em; margin: 0; overflow-wrap: anywhere; }}
h2 {{ font-size: 1.05em; margin: .85em 0 .35em; border-bottom: 1px solid {line}; }}
p {{ margin: 0; overflow-wrap: anywhere; }}
svg {{ display: block; width: 100%; height: auto; }}
.muted, figcaption, th {{ color: {muted}; }}
.answer {{ font-size: 1.8em; font-weight: 600; line-height: 1.2; margin-top: .4em; }}
.detail {{ font-size: 1.12em; }}
.small {{ font-size: .86em; }}
.figures {{ display: flex; flex-wrap: wrap; gap: 0 1em; margin: .7em 0 0; }}
.figures div {{ flex: 1 1 9em; }}
.figures dt, .figures dd {{ margin: 0; font-size: .84em; color: {muted}; }}
.figures dd.value {{ font-size: 1.39em; font-weight: 600; color: {ink}; }}
figure {{ margin: .6em 0 0; }}
table {{ border-collapse: collapse; width: 100%; font-size: .9em;
    font-variant-numeric: tabular-nums; }}
th {{ font-weight: normal; font-size: .89em; vertical-align: bottom; text-align: left; }}
th, td {{ padding: .1em .5em .1em 0; vertical-align: top; }}
th {{ vertical-align: bottom; }}
.right {{ text-align: right; }}
td, th {{ white-space: pre-line; }}
.pair {{ display: flex; flex-wrap: wrap; gap: 0 2em; }}
.pair section {{ flex: 1 1 24em; min-width: 0; overflow-x: auto; }}
ul {{ margin: 0; padding: 0; list-style: none; overflow-wrap: anywhere; }}
ul.long {{ columns: 2; column-gap: 2em; }}
footer {{ margin-top: .8em; }}
@media print {{
    html, body {{ background: none; }}
    body {{ padding: 0; max-width: none; font-size: 7.1pt; }}
    .pair {{ flex-wrap: nowrap; }}
    .pair section {{ overflow: visible; }}
    h2, tr, figure {{ break-inside: avoid; }}
}}
"""


def html(page: Page) -> str:
    """The whole file as text."""
    return document(page.title, page_parts(page))


def page_parts(page: Page) -> list[str]:
    """What stands in the body."""
    return [
        *_top(page),
        *_pictures(page),
        *_tables(page),
        *_remarks(page),
        *foot_part(page.cautions, page.foot),
    ]


def document(title: str, parts: Sequence[str]) -> str:
    """A whole file around its parts."""
    style = SHEET.format(
        fonts=FONTS,
        **{name: getattr(LIGHT, name) for name in ("window", "panel", "ink", "line", "muted")},
    )
    body = "\n".join(parts)
    return (
        f'<!DOCTYPE html>\n<html lang="{language()}">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{markup(title)}</title>\n<style>{style}</style>\n</head>\n<body>\n{body}\n"
        "</body>\n</html>\n"
    )


def tag(name: str, text: str, css: str = "") -> str:
    """An element that holds one text; nothing for an empty one."""
    if not text:
        return ""
    inner = markup(no_breaks(text))
    return f'<{name} class="{css}">{inner}</{name}>' if css else f"<{name}>{inner}</{name}>"


def _top(page: Page) -> list[str]:
    return [
        tag("h1", page.title),
        tag("p", page.facts, "muted"),
        tag("p", page.aim, "muted"),
        tag("p", page.headline, "answer"),
        tag("p", page.detail, "detail"),
        tag("p", page.why, "muted"),
        _figures(page.figures),
    ]


def _figures(figures: Sequence[ReportFigure]) -> str:
    cells = "".join(
        f"<div>{tag('dt', f.name)}{tag('dd', f.value, 'value')}{tag('dd', f.beside)}</div>" for f in figures
    )
    return f'<dl class="figures">{cells}</dl>' if cells else ""


def drawn_scene(scene: Scene) -> str:
    """A picture in place."""
    return f"<figure>{svg(scene, standalone=False)}</figure>"


def picture_parts(picture: Picture) -> list[str]:
    """A picture under its heading, where it has one."""
    return [*([tag("h2", picture.title)] if picture.title else []), drawn_scene(picture.scene)]


def _pictures(page: Page) -> list[str]:
    parts = [each for picture in page.pictures for each in picture_parts(picture)]
    if page.next_climbs:
        parts.append(f"<p>{_note(ListLine(tr('Climbs next time'), page.next_climbs))}</p>")
    return parts


def _tables(page: Page) -> list[str]:
    pair = [table_part(page.climbs)] + ([] if page.episodes is None else [table_part(page.episodes)])
    return [table_part(page.decoupling), f'<div class="pair">{"".join(pair)}</div>']


def table_part(table: Table) -> str:
    """A table under its title."""
    head = "".join(_cell("th", column.header, column) for column in table.columns)
    rows = "".join(
        "<tr>" + "".join(_cell("td", cell, c) for cell, c in zip(row, table.columns, strict=True)) + "</tr>"
        for row in table.rows
    )
    grid = f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>" if rows else ""
    return f"<section>{tag('h2', table.title)}{grid}{tag('p', table.foot, 'muted small')}</section>"


def _cell(name: str, text: str, column: ReportColumn) -> str:
    inner = "\n".join(markup(no_breaks(line)) for line in text.split("\n"))
    return f'<{name} class="right">{inner}</{name}>' if column.right else f"<{name}>{inner}</{name}>"


def _remarks(page: Page) -> list[str]:
    parts = []
    if page.notes or page.notes_left_out:
        notes = "".join(f"<li>{_note(line)}</li>" for line in page.notes)
        css = ' class="long"' if len(page.notes) >= LONG_LIST else ""
        parts += [
            tag("h2", tr("Notes")),
            f"<ul{css}>{notes}</ul>",
            tag("p", page.notes_left_out, "muted small"),
        ]
    if page.doubts:
        doubts = "".join(tag("li", doubt) for doubt in page.doubts)
        parts += [tag("h2", tr("What to know about this recording")), f'<ul class="small">{doubts}</ul>']
    return parts


def _note(line: ListLine) -> str:
    return f"<b>{markup(line.lead)}{':' if line.text else ''}</b> {markup(line.text)}"


def foot_part(cautions: Sequence[str], foot: str) -> list[str]:
    """Cautions, and where it comes from."""
    texts = tag("p", " ".join(cautions), "muted small") + tag("p", foot, "muted small")
    return [f"<footer>{texts}</footer>"]
