"""What a part of a page says twice, it says once: cells that lack the same thing give the same reason."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

_HEADING = re.compile(r"<h[12][ >]")
_WORDS_ONLY = re.compile(r"\s*(?:<(?:p|ul|li)(?: class=\"note\")?>)+([^<]+)(?:</(?:p|ul|li)>)+\s*")


def without_repeats(shown: Iterable[tuple[str, Sequence[str]]]) -> Iterator[list[str]]:
    """Leave out what stands word for word above it under the same heading.

    Only text without numbers that lead anywhere is looked at, in whatever way it is set; headings, figures, tables
    and anything with a link always stay.

    Parameters
    ----------
    shown : iterable of (str, sequence of str)
        For each cell its heading as HTML, empty where it is code, and what it shows as HTML.

    Yields
    ------
    list of str
        What is left for each cell.
    """
    said: set[str] = set()
    for heading, bodies in shown:
        if _HEADING.search(heading):
            said = set()
        kept = []
        for body in bodies:
            if _HEADING.match(body):
                said = set()
            words = _WORDS_ONLY.fullmatch(body)
            if words is None or words[1] not in said:
                kept.append(body)
            if words:
                said.add(words[1])
        yield kept
