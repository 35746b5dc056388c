"""A text or table on a page that hands something over for the files beside it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Any

from kit.report.layout import BUNDLE, Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Attached(Shown):
    """A text or table with what is to be written beside the page.

    Attributes
    ----------
    files : mapping of str to str
        Name of a file, one of ``kit.report.beside.FILES``, -> content.
    limits : mapping of str to int
        Heading of a part -> most characters that a form takes.
    """

    files: Mapping[str, str] = field(default_factory=dict)
    limits: Mapping[str, int] = field(default_factory=dict)

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, Any]:
        """Show the text, with what is handed over behind it."""
        bundle = Shown._repr_mimebundle_(self, include, exclude)
        behind = {**bundle[BUNDLE], "files": dict(self.files), "limits": dict(self.limits)}
        return {**bundle, BUNDLE: behind}


def attached(said: Shown, *, files: Mapping[str, str] | None = None, limits: Mapping[str, int] | None = None) -> Shown:
    """Give a shown text or table something to hand over.

    Parameters
    ----------
    said : Shown
        A text or a table.
    files, limits : mapping, optional
        See `Attached`.

    Returns
    -------
    Shown
    """
    shown = {one.name: getattr(said, one.name) for one in fields(Shown)}
    return Attached(**shown, files=files or {}, limits=limits or {})
