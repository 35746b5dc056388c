"""The check page as one HTML file in the style of the reports: by file, what was read, changed and set aside."""

from __future__ import annotations

import html
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from kit.check_parts import CheckLine, CheckPart, check_parts, counted, verdict
from kit.report.privacy.names import find_personal
from kit.study import Study

STYLE = Path(__file__).parent / "report" / "template" / "page.css"
NOT_SHOWN = "(not shown)"

_OWN_STYLE = """
h2 { overflow-wrap: anywhere; }
.type { margin: .3rem 0 .8rem; }
.type pre {
  margin: .2rem 0 0; padding: .5rem .8rem; background: var(--paper); border: 1px solid var(--rule);
  font-size: .86rem; line-height: 1.45; white-space: pre-wrap; overflow-wrap: anywhere; user-select: all;
}
td .type { margin-bottom: 0; }
td { min-width: 6rem; }
.within { margin-left: 1.2rem; }
"""
_PAGE = """<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>{title}</title>
<style>
{style}
</style>
</head>
<body>
<main>
{body}
</main>
</body>
</html>
"""


def check_html(study: Study) -> str:
    """Write the check page as HTML.

    Parameters
    ----------
    study : Study
        As read by `kit.study.read_study` or `kit.check.check_file`.

    Returns
    -------
    str
        A page without script and without any outside address. Names, school ids and addresses of people are not
        in it.
    """
    parts = _without_people(check_parts(study), study.loaded.personal)
    mend = [part for part in parts if part.title.startswith("What to mend")]
    about = [part for part in parts if part not in mend]
    files = list(dict.fromkeys(line.file for part in about for line in part.lines if line.file))
    body = [
        f"<h1>{_safe('What was read, and what to mend')}</h1>",
        f'<div class="banner"><p>{_safe(study.settings.title)}</p></div>',
        f'<div class="box"><p><strong>{_safe(verdict(study.in_the_way))}</strong></p></div>',
        *(piece for part in mend for piece in _mend(part)),
        *(piece for file in files for piece in _file(file, about)),
        *(piece for part in about if not part.lines[0].file for piece in _section(part, part.lines, level=2)),
    ]
    style = STYLE.read_text(encoding="utf-8") + _OWN_STYLE
    return _PAGE.format(title=_safe(f"Check: {study.settings.title}"), style=style, body="\n".join(body))


def _mend(part: CheckPart) -> Iterator[str]:
    """Write what to mend: each problem with what to type."""
    yield f"<h2>{_safe(part.title)}</h2>"
    yield "<ol>"
    yield from (f"<li>{_safe(line.text)}{_typed(line)}</li>" for line in part.lines)
    yield "</ol>"


def _file(file: str, parts: Iterable[CheckPart]) -> Iterator[str]:
    """Write everything about one file."""
    yield f"<h2>{_safe(file)}</h2>"
    for part in parts:
        lines = [line for line in part.lines if line.file == file]
        if lines:
            yield from _section(part, lines, level=3, file=file)


def _section(part: CheckPart, lines: Sequence[CheckLine], *, level: int, file: str = "") -> Iterator[str]:
    """Write a part, or what of it is about one file, as a table or as paragraphs."""
    if part.headings:
        yield from _table(part.title, part.headings, lines)
        return
    yield f"<h{level}>{_safe(part.title)}</h{level}>"
    yield "<ul>"
    for line in lines:
        # the name of the file is the heading already
        text = line.text.removeprefix(f"{file}: ").removeprefix(f"{file}, ")
        inside = ' class="within"' if line.within else ""
        if not re.match(r"\w+[._]", text):  # the name of a file stays as it is
            text = text[:1].upper() + text[1:]
        yield f"<li{inside}>{_safe(text)}{_typed(line)}</li>"
    yield "</ul>"


def _table(title: str, headings: Sequence[str], lines: Iterable[CheckLine]) -> Iterator[str]:
    """Write lines as a table."""
    yield f'<h3>{_safe(title)}</h3>\n<div class="scroll"><table>'
    columns = "".join(f'<th scope="col">{_safe(heading)}</th>' for heading in headings)
    yield f"<thead><tr>{columns}</tr></thead>"
    yield "<tbody>"
    for line in _summed(lines):
        first, *rest = map(_safe, line.cells)
        rest[-1] += _typed(line)
        cells = "".join(f"<td>{cell}</td>" for cell in rest)
        yield f'<tr><th scope="row">{first}</th>{cells}</tr>'
    yield "</tbody></table></div>"


def _summed(lines: Iterable[CheckLine]) -> list[CheckLine]:
    """Count the same change in several sheets of a file once; the example is that of the first."""
    summed: dict[tuple, CheckLine] = {}
    for at, line in enumerate(lines):
        key = (line.cells[0],) if line.times else (at,)
        if key in summed:
            first = summed[key]
            times = first.times + line.times
            summed[key] = replace(first, times=times, cells=(first.cells[0], counted(times, "time"), *first.cells[2:]))
        else:
            summed[key] = line
    return list(summed.values())


def _typed(line: CheckLine) -> str:
    """Write what to type and where, ready to be copied."""
    if not line.where:
        return ""
    code = f"<pre><code>{_safe(line.type_this)}</code></pre>" if line.type_this else ""
    end = ":" if code else "."
    return f'<div class="note type">{_safe(line.where)}{end}{code}</div>'


def _safe(text: str) -> str:
    """Escape text for HTML."""
    return html.escape(text)


def _without_people(parts: Iterable[CheckPart], personal: Iterable[str]) -> list[CheckPart]:
    """Take out what belongs to a person: the example of a change may be a school id, a heading somebody's name."""
    parts = list(parts)
    said = (text for part in parts for line in part.lines for text in (line.text, *line.cells, line.type_this))
    found = sorted(set(find_personal("\n".join(said), personal)), key=len, reverse=True)
    if not found:
        return parts
    people = re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, found))})(?!\w)")
    return [replace(part, lines=tuple(_line_without(line, people) for line in part.lines)) for part in parts]


def _line_without(line: CheckLine, people: re.Pattern[str]) -> CheckLine:
    """Take people out of one line."""
    text, typed, *cells = (people.sub(NOT_SHOWN, text) for text in (line.text, line.type_this, *line.cells))
    return replace(line, text=text, type_this=typed, cells=tuple(cells))
