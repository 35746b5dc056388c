"""What pandoc leaves to be done in a Word file: row headings, labels of numbers, alternative texts, title, no day."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Mapping

from kit.report.document.parts import Document, Grid, anchors_of, flat, runs_of

_LONGEST_TIP = 250
"""Letters that Word shows when a link is pointed at."""
_LOOK = re.compile(r"<w:tblLook\b[^>]*>")
_HEADING_BELOW = re.compile(r'(?<=</w:tbl>)(?=\s*<w:p><w:pPr><w:pStyle w:val="Heading)')
_BETWEEN = '<w:p><w:pPr><w:spacing w:before="0" w:after="0" w:line="20" w:lineRule="exact"/></w:pPr></w:p>'
"""Without a line a point high LibreOffice lets a heading right below a table stand alone at the foot of a sheet."""
_ROWS_HEADED = (
    '<w:tblLook w:firstRow="1" w:lastRow="0" w:firstColumn="1" w:lastColumn="0" w:noHBand="1" w:noVBand="1"'
    ' w:val="06A0"/>'
)


def places_of(document: Document) -> dict[str, str]:
    """Name the places that a click can lead to as Word wants it: letters, digits and the low line.

    Parameters
    ----------
    document : Document
        A report.

    Returns
    -------
    dict
        Name on the page -> name in the Word file.
    """
    return {place: f"place_{number}" for number, place in enumerate(sorted(anchors_of(document)), 1)}


def finished(text: str, document: Document) -> str:
    """Finish the main part of a Word file.

    Parameters
    ----------
    text : str
        The part as pandoc wrote it.
    document : Document
        The report it was made from.

    Returns
    -------
    str
        Rows are not parted between sheets, first columns head their rows, a link looks like the text around it and
        tells its label, and pictures carry their alternative text once.
    """
    text = re.sub(r"<w:tr>\s*(?!<w:trPr>)", "<w:tr><w:trPr></w:trPr>", text)
    text = re.sub(r"<w:tr>\s*<w:trPr>", "<w:tr><w:trPr><w:cantSplit/>", text)
    text = _HEADING_BELOW.sub(_BETWEEN, text)
    text = re.sub(r'<w:rStyle w:val="Hyperlink" ?/>', "", text)
    # pandoc repeats the whole picture there, as letters
    text = re.sub(r'(<pic:cNvPr\b[^>]*?) descr="data:[^"]*"', r"\1", text)
    text = re.sub(r'(<w:tblCaption w:val=")(?:Table|Figure) \. ', r"\1", text)
    tables = iter([one.headed for one in flat(document.parts) if isinstance(one, Grid)])
    text = _LOOK.sub(lambda found: _ROWS_HEADED if next(tables, False) else found[0], text)
    tips = dict(_tips(document, places_of(document)))
    return re.sub(r'<w:hyperlink w:anchor="(\w+)">', lambda found: _link(found[1], tips), text)


def set_in(text: str) -> str:
    """Set lists in by half as much as pandoc does.

    Parameters
    ----------
    text : str
        The part of a Word file that describes its lists.

    Returns
    -------
    str
    """
    return re.sub(r'<w:ind w:left="(\d+)"', lambda found: f'<w:ind w:left="{int(found[1]) // 2}"', text)


def titled(text: str, title: str) -> str:
    """Give a Word file the title of the page, with what it is about, and no day.

    Parameters
    ----------
    text : str
        Its properties.
    title : str
        The title.

    Returns
    -------
    str
    """
    written = f"<dc:title>{html.escape(title)}</dc:title>"
    text = re.sub(r"<dc:title>.*?</dc:title>|<dc:title ?/>", lambda _: written, text, flags=re.DOTALL)
    return re.sub(r"<dcterms:(created|modified)\b.*?</dcterms:\1>", "", text, flags=re.DOTALL)


def _tips(document: Document, places: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Give what is told of each place when a link to it is pointed at: the label, and what the page tells of it."""
    for part in flat(document.parts):
        for runs in runs_of(part):
            for run in runs:
                if run.target in places:
                    tip = ". ".join(filter(None, (run.target, run.hint)))
                    yield places[run.target], tip[:_LONGEST_TIP]


def _link(place: str, tips: Mapping[str, str]) -> str:
    """Write the beginning of a link with what is told of it."""
    return f'<w:hyperlink w:anchor="{place}" w:tooltip="{html.escape(tips.get(place, ""))}">'
