"""Who a row is about: ids as text, names as keys for matching only, random study ids and the private crosswalk."""

from __future__ import annotations

import csv
import re
import secrets
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from kit.errors import Problem, StudyProblems
from kit.load.formats.cells import Value

_ALPHABET = "BCDFGHJKLMNPQRSTVWXZ23456789"
"""Letters and digits of a study id: without vowels, so that no id spells a word, and without look-alikes."""

_PAIRS = tuple(first + second for first in _ALPHABET for second in _ALPHABET)
"""A study id is two pairs and one more."""

CROSSWALK_COLUMNS = ("study_id", "school_id", "name_key")


def id_text(value: Value) -> str:
    """Write a student id as text, the way the spreadsheet shows it.

    Parameters
    ----------
    value : str, number or None
        The cell.

    Returns
    -------
    str
        ``417`` for the number 417 (or 417.0), ``00417``, ``12E3`` or ``NA`` as they stand, empty for nothing.
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return " ".join(str(value).split())


def name_key(*parts: Value) -> str:
    """Make the key by which names are compared: ``Lee, Ann``, ``Ann  Lee`` and ``ann lee`` are one.

    Parameters
    ----------
    *parts : str or None
        The name, or its parts in the order of the columns.

    Returns
    -------
    str
        Given name first, small letters, single spaces.
    """
    # word processors turn one mark into the other
    whole = " ".join(" ".join(str(part).split()) for part in parts if part is not None).replace("\u2019", "'")
    family, comma, given = whole.partition(",")
    ordered = f"{given} {family}" if comma else whole
    return " ".join(ordered.casefold().split())


def is_partial(key: str) -> bool:
    """Say whether a name is too short to point to one person: one word, or with an initial."""
    words = [word.strip(".") for word in key.split()]
    return len(words) < 2 or any(len(word) == 1 for word in words)


def could_be(partial: str, full: str) -> bool:
    """Say whether a shortened name fits a full one word by word: ``a. lee`` and ``lee`` fit ``ann lee``."""
    words, whole = [word.strip(".") for word in partial.split()], full.split()
    return any(
        all(have.startswith(want) if len(want) == 1 else have == want for want, have in zip(words, part, strict=True))
        for part in (whole, whole[: len(words)], whole[-len(words) :])
        if len(part) == len(words)
    )


def widths_disagree(ids: Iterable[str]) -> tuple[list[str], list[str]]:
    """Find ids that may be one student's with and without leading zeros.

    Parameters
    ----------
    ids : iterable of str
        All ids of a study.

    Returns
    -------
    padded, short : list of str
        Ids with leading zeros, and all-digit ids shorter than the longest of them; both empty when there is
        no doubt.
    """
    digits = sorted({text for text in ids if re.fullmatch(r"\d+", text)})
    padded = [text for text in digits if text.startswith("0") and len(text) > 1]
    longest = max((len(text) for text in padded), default=0)
    short = [text for text in digits if len(text) < longest and not text.startswith("0")]
    return (padded, short) if padded and short else ([], [])


@dataclass(slots=True)
class Crosswalk:
    """School ids and names -> random study ids. It never leaves the study folder.

    A study id is drawn at random and says nothing of the person (US 34 CFR 99.31(b)(2) allows no code
    that is made from personal information).
    """

    path: Path | None = None
    _people: dict[tuple[str, str], list[str]] = field(default_factory=dict)
    _taken: set[str] = field(default_factory=set)
    _changed: bool = False
    _met: set[str] = field(default_factory=set)

    @classmethod
    def open(cls, path: Path | None) -> Crosswalk:
        """Read the crosswalk of a study folder, or begin a new one."""
        crosswalk = cls(path)
        if path is not None and path.is_file():
            with path.open(encoding="utf-8", newline="") as lines:
                for row in csv.DictReader(lines):
                    key = _person(row["school_id"], row["name_key"].replace("\u2019", "'"))
                    crosswalk._people[key] = [row["study_id"], row["school_id"], row["name_key"]]
                    crosswalk._taken.add(row["study_id"])
        return crosswalk

    def study_id(self, school_id: str, name: str) -> str:
        """Give the study id of a person; the school id decides, without one the name."""
        key = _person(school_id, name)
        if key not in self._people:
            self._people[key] = [self._draw(), school_id, name]
            self._changed = True
        elif name and not self._people[key][2]:
            self._people[key][2] = name
            self._changed = True
        return self._people[key][0]

    def save(self) -> None:
        """Write the crosswalk into the study folder, if there is one and anybody is new; tells where it cannot be."""
        if self.path is None or not self._changed:
            return
        try:
            self._write(self.path)
        except OSError:
            raise StudyProblems([
                Problem(why="folder_locked", file=self.path.parent.name,
                        found="The study folder cannot be written, and the list of study ids must stand in it.",
                        do="Copy the study to a folder of your own.")
            ]) from None  # fmt: skip

    def _write(self, path: Path) -> None:
        """Write the crosswalk where no other program takes it for a file to share."""
        path.parent.mkdir(parents=True, exist_ok=True)
        (path.parent / ".gitignore").write_text("*\n", encoding="utf-8")
        with path.open("w", encoding="utf-8", newline="") as lines:
            writer = csv.writer(lines)
            writer.writerow(CROSSWALK_COLUMNS)
            # sorted by the random id, so that the order of the file tells nothing either
            writer.writerows(sorted(self._people.values()))

    def met(self, names: Iterable[str]) -> None:
        """Remember names of the files for the scan, also those of rows that no person is found for."""
        self._met.update(names)

    def personal(self) -> list[str]:
        """List every school id and name, for the scan of finished reports."""
        known = [part for _, school_id, name in self._people.values() for part in (school_id, name) if part]
        return [*known, *sorted(self._met.difference(known))]

    def _draw(self) -> str:
        """Draw an id that nobody has."""
        while True:
            # 64 random bits leave no id more likely than another by more than one part in a million million
            rest, two = divmod(int.from_bytes(secrets.token_bytes(8), "big"), len(_PAIRS))
            rest, more = divmod(rest, len(_PAIRS))
            study_id = _PAIRS[two] + _PAIRS[more] + _ALPHABET[rest % len(_ALPHABET)]
            if study_id not in self._taken and not study_id.isdigit():
                self._taken.add(study_id)
                return study_id


def _person(school_id: str, name: str) -> tuple[str, str]:
    """Key of a person: the school id alone where there is one, else the name."""
    return (school_id, "") if school_id else ("", name)


def name_somebody(*, ids: bool, names: bool) -> str:
    """Say what to do about a row that names nobody, in a sheet with or without a column for ids and for names."""
    columns = " or ".join(word for word, there in (("the id", ids), ("the name", names)) if there)
    if columns:
        return f"Fill in {columns}, or delete it."
    return "No column is known to name the students: say in study.toml, with student or name, which one does."
