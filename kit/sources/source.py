"""One text that a formula, a check or a sentence rests on, and whether it was seen or is cited from memory."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

Status = Literal["seen", "from memory", "common practice"]


@dataclass(frozen=True, slots=True)
class Source:
    """One text.

    Attributes
    ----------
    key : str
        Short name used in the code and in the tables.
    author, year, title : str
        Who wrote it, when, and what it is called.
    where : str
        Journal, publisher or register, with volume and pages.
    status : str
        ``"seen"`` if the text, or open code or a document that quotes it, was read while the kit was
        written; ``"from memory"`` if not; ``"common practice"`` if there is no text.
    """

    key: str
    author: str
    year: str
    title: str
    where: str
    status: Status

    def __post_init__(self) -> None:
        """Refuse a status that nobody could read."""
        if self.status not in get_args(Status):
            raise ValueError(f"Source {self.key!r}: status must be one of {get_args(Status)}. Got {self.status!r}.")

    @property
    def reference(self) -> str:
        """Print the source in one line: ``Hake (1998). Interactive-engagement ... (cited from memory)``."""
        dated = f"{self.author} ({self.year})" if self.year else self.author
        line = f"{dated}. {self.title}. {self.where}".rstrip(". ") + "."
        return f"{line} (cited from memory)" if self.status == "from memory" else line
