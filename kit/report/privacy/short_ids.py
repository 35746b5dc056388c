"""The search for ids that look like any number or word: where ids stand, or where many of them stand together."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

HEADINGS = frozenset(
    f"{whose}{what}".strip()
    for whose in ("", "student ", "pupil ", "singer ", "participant ", "candidate ", "school ")
    for what in ("", "id", "no", "nr", "number", "code", "name", "first name", "last name", "surname", "initials")
) - {
    "",
    "school",
    "no",
    "nr",
    "number",
    "code",
    "school name",
    "school code",
    "school number",
    "school no",
    "school nr",
}
"""Headings under which a cell that is somebody's id is that id, in small letters without signs."""
_AFTER = re.compile(
    r"\b(?:student|pupil|singer|participant|candidate|id)(?:'s)?(?: (?:id|no|nr|number|code))?"
    r"[ \t]*[.:#=_/-]?[ \t]*[\"']?(\w{1,4})"
    r"(?![\w%]|[.,]\d| (?:%|of\b|points?|percent|notes?|minutes?|students?|tests?))",
    re.IGNORECASE,
)
"""A word for one person, and what may be an id after it: ``student 417``, ``id: 8``, ``data-student="JS"``."""
_PICTURE = re.compile(r"data:[\w/+-]+;base64,[\w+/=]*")
_LIST = re.compile(r"(?<![\w.,])\w{1,4}(?:(?:, and | and |, |; |\|)\w{1,4}){2,}(?![\w%]|[.,]\d)")
_PARTS = re.compile(r", and | and |, |; |\|")
FEWEST = 3
"""Ids that must stand together to be taken for ids."""
CHANCE = 1e-6
"""How rarely so many of a column would be ids if it were filled by chance with others of the same kind."""
COVERED = 0.9
"""Share of all ids of a kind that a column holds to be taken for a list of them, however tightly they lie."""


@dataclass(frozen=True, slots=True)
class Kind:
    """Ids of one length and make.

    Attributes
    ----------
    ids : frozenset of str
        In small letters.
    low, high : int
        Between which numbers they lie; 0 and what that many letters can write for others.
    """

    ids: frozenset[str]
    low: int
    high: int

    @property
    def density(self) -> float:
        """How many of the numbers or letters between both ends are ids."""
        return min(len(self.ids) / (self.high - self.low + 1), 1.0)

    def holds(self, cell: str) -> bool:
        """Say whether a cell lies between both ends."""
        return not cell.isdigit() or self.low <= int(cell) <= self.high


class ShortIds:
    """The ids of a roster that are too short to be searched for as words.

    Parameters
    ----------
    personal : iterable of str
        Names and ids that were read.
    """

    def __init__(self, personal: Iterable[str]) -> None:
        short = {word.strip().casefold() for word in personal if is_short(word.strip())}
        kinds: dict[tuple[bool, int], set[str]] = {}
        for word in short:
            kinds.setdefault(_kind(word), set()).add(word)
        self.kinds = {kind: Kind(frozenset(ids), *_ends(ids, *kind)) for kind, ids in kinds.items()}
        self.ids = frozenset(short)

    def in_text(self, text: str) -> list[str]:
        """Find ids after a word for one person, and in lists.

        Parameters
        ----------
        text : str
            Any text.

        Returns
        -------
        list of str
            As they stand there.
        """
        if not self.ids:
            return []
        text = _PICTURE.sub("", text)
        # of letters only capitals: "student is", "id of" are words
        named = [word for word in _AFTER.findall(text) if word.casefold() in self.ids and not word.islower()]
        lists = (self.in_column("", _PARTS.split(found)) for found in _LIST.findall(text))
        return list(dict.fromkeys([*named, *(word for found in lists for word in found)]))

    def in_column(self, heading: str, cells: Sequence[str]) -> list[str]:
        """Find ids in the cells of a column.

        Parameters
        ----------
        heading : str
            What stands above them; empty for none.
        cells : sequence of str
            Cells, each as a whole.

        Returns
        -------
        list of str
            All that are somebody's id where the heading says that ids or names stand here; else where so many different
            ones would not come together by chance.
        """
        if not self.ids:
            return []
        stripped = [cell.strip().removesuffix(".0") for cell in cells]
        found = [cell for cell in dict.fromkeys(stripped) if cell.casefold() in self.ids]
        if plain_heading(heading) in HEADINGS:
            return found
        return [cell for kind in self.kinds for cell in self._together(kind, {one.casefold() for one in stripped})]

    def _together(self, which: tuple[bool, int], cells: set[str]) -> Iterator[str]:
        """Give the ids of one kind in a column that holds too many of them for chance."""
        kind = self.kinds[which]
        alike = {cell for cell in cells if cell and _kind(cell) == which and kind.holds(cell)}
        hits = sorted(alike & kind.ids)
        whole = len(hits) >= 2 * FEWEST and len(hits) >= COVERED * len(kind.ids) and not _counts_up(cells)
        if whole or (len(hits) >= FEWEST and _tail(len(alike), len(hits), kind.density) < CHANCE):
            yield from hits


def is_short(word: str) -> bool:
    """Say whether a name or id is too short to be searched for as a word."""
    return bool(word) and (len(word) <= 2 or (word.isdigit() and len(word) <= 4 and not word.startswith("0")))


def plain_heading(heading: str) -> str:
    """Write a heading in small letters without signs: ``Student_ID`` as ``student id``."""
    apart = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", heading)
    return " ".join(re.findall(r"[^\W_]+", apart)).casefold()


def _kind(word: str) -> tuple[bool, int]:
    """Say whether a word is a number, and how long it is."""
    return word.isdigit(), len(word)


def _ends(ids: set[str], number: bool, length: int) -> tuple[int, int]:
    """Give the ends between which ids of a kind lie."""
    if number:
        return min(map(int, ids)), max(map(int, ids))
    return 0, 36**length - 1


def _counts_up(cells: set[str]) -> bool:
    """Say whether numbers are one, two, three and so on, as rows are numbered."""
    numbers = sorted(int(cell) for cell in cells if cell.isdigit())
    return bool(numbers) and numbers[0] <= 2 and numbers[-1] - numbers[0] < 1.2 * len(numbers)


def _tail(tries: int, hits: int, chance: float) -> float:
    """Give the probability of so many hits or more."""
    return sum(math.comb(tries, k) * chance**k * (1 - chance) ** (tries - k) for k in range(hits, tries + 1))
