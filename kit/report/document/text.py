"""Every word of a Word file, to be searched for names before it is handed on."""

from __future__ import annotations

import html
import re

from kit.report.document.style import unpacked

_ENDS = re.compile(r"</w:p>|<w:br\b[^>]*>|<w:tab ?/>|</(?:dc|cp|dcterms|vt):\w+>")
_SAID = re.compile(r'\b(?:descr|title|w:tooltip|w:author|w:initials|w:tblCaption w:val)="([^"]*)"')


def text_of_word(content: bytes) -> str:
    """Give every word of a Word file: text, header and footer, alternative texts, what links tell, and properties.

    Parameters
    ----------
    content : bytes
        A ``.docx`` file.

    Returns
    -------
    str
        A line for each paragraph, for each cell of a table, and for each other text. A word that is set in two ways
        is one word, as it is read.
    """
    lines: list[str] = []
    for name, part in unpacked(content).items():
        if not name.endswith((".xml", ".rels")):
            continue
        text = part.decode("utf-8", errors="replace")
        lines += _SAID.findall(text)
        # line ends between tags are no text, and a part may be laid out over many lines
        text = re.sub(r">\s+<", "><", text)
        lines += re.sub(r"<[^>]*>", "", _ENDS.sub("\n", text)).split("\n")
    return "\n".join(html.unescape(line).replace("\xa0", " ").strip() for line in lines if line.strip())
