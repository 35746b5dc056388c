"""The headings of a page as places that a click can lead to."""

from __future__ import annotations

import html
import re
import unicodedata


def anchor(heading: str) -> str:
    """Give the name under which a heading can be reached.

    Parameters
    ----------
    heading : str
        Its words.

    Returns
    -------
    str
        Small letters, digits and hyphens, after ``part-``, so that it is no label of a number, figure or table.

    Examples
    --------
    >>> anchor("How the groups started, and who left")
    'part-how-the-groups-started-and-who-left'
    """
    plain = unicodedata.normalize("NFKD", heading).encode("ascii", "ignore").decode().lower()
    return "part-" + re.sub(r"[^a-z0-9]+", "-", plain).strip("-")


def with_anchors(body: str) -> str:
    """Give every heading of the second level its anchor; of two headings alike the first is reached.

    Parameters
    ----------
    body : str
        HTML as Markdown makes it.

    Returns
    -------
    str
    """
    return re.sub(r"<h2>(.*?)</h2>", _named, body, flags=re.DOTALL)


def _named(match: re.Match[str]) -> str:
    """Write one heading with its anchor."""
    words = html.unescape(re.sub(r"<[^>]+>", "", match[1]))
    return f'<h2 id="{anchor(words)}">{match[1]}</h2>'


def link(heading: str) -> str:
    """Write a heading as a link to it.

    Parameters
    ----------
    heading : str
        Its words.

    Returns
    -------
    str
        HTML.
    """
    return f'<a href="#{anchor(heading)}">{html.escape(heading)}</a>'
