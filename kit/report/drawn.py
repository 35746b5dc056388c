"""A drawing as pictures: PNG for the page and for Word, SVG for print shops and slides."""

from __future__ import annotations

import io

import matplotlib as mpl
from matplotlib.figure import Figure as Drawing

DOTS_PER_INCH = 200
"""Sharp in print; a higher number makes a page larger and slower, not clearer."""
_SALT = "kit"
"""From which the names inside an SVG are made, so that they are the same each time."""


def png_of(drawing: Drawing) -> bytes:
    """Write a drawing as PNG.

    Parameters
    ----------
    drawing : matplotlib Figure
        The drawing.

    Returns
    -------
    bytes
        Without the library's version, so that the same numbers always give the same bytes.
    """
    picture = io.BytesIO()
    drawing.savefig(picture, format="png", dpi=DOTS_PER_INCH, metadata={"Software": None})
    return picture.getvalue()


def svg_of(drawing: Drawing) -> str:
    """Write a drawing as SVG, its letters as shapes, so that it looks the same on a machine without its typeface.

    Parameters
    ----------
    drawing : matplotlib Figure
        The drawing.

    Returns
    -------
    str
        Without day and version.
    """
    picture = io.StringIO()
    with mpl.rc_context({"svg.hashsalt": _SALT, "svg.fonttype": "path"}):
        drawing.savefig(picture, format="svg", metadata={"Date": None, "Creator": None})
    return picture.getvalue()
