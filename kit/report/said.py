"""What the report says and how a picture is described: sentences and captions beside the estimates they tell."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kit.estimate import Estimate
from kit.report.claims import gate


@dataclass(frozen=True, slots=True)
class Said:
    """Sentences in plain text, and the estimates whose numbers they hold.

    Attributes
    ----------
    sentences : tuple of str
        Plain text without markup, in the order of reading.
    estimates : tuple of Estimate
        Every estimate that a sentence tells.
    limits : bool
        Whether sentences here say what the study cannot say; the gate then lets a denied word stand, and no other.
    """

    sentences: tuple[str, ...]
    estimates: tuple[Estimate, ...] = ()
    limits: bool = False

    def passed(self, code: str, *, names: Iterable[str] = (), approaches: Iterable[str] = ()) -> Said:
        """Give itself back if every sentence passes the gate of a design.

        Parameters
        ----------
        code : str
            Code of the design.
        names : iterable of str, optional
            Names of choirs and schools, which may hold any word.
        approaches : iterable of str, optional
            Names of teaching approaches, which may hold any word too.

        Returns
        -------
        Said
        """
        for sentence in self.sentences:
            gate(sentence, code=code, limits=self.limits, names=names, approaches=approaches)
        return self


@dataclass(frozen=True, slots=True)
class Caption:
    """What stands under a picture, what a blind reader is told in its place, and a note.

    Attributes
    ----------
    title : str
        The caption, a phrase without number.
    alt : str
        What the picture shows, with its numbers.
    note : str
        How to read it; may be empty.
    """

    title: str
    alt: str
    note: str = ""

    def passed(self, code: str, *, names: Iterable[str] = (), approaches: Iterable[str] = ()) -> Caption:
        """Give itself back if every part passes the gate of a design.

        Parameters
        ----------
        code : str
            Code of the design.
        names : iterable of str, optional
            Names of choirs and schools, which may hold any word.
        approaches : iterable of str, optional
            Names of teaching approaches, which may hold any word too.

        Returns
        -------
        Caption
        """
        for text in (self.title, self.alt, self.note):
            gate(text, code=code, place="caption", names=names, approaches=approaches)
        return self
