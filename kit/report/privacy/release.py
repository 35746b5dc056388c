"""The record of what was given out: two copies of nearly the same students give single ones away by subtraction."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from hashlib import sha256
from pathlib import Path

from kit.report.privacy import smallest_group

FILE = "releases.json"
"""Name of the record; it lies with what stays in the school, not with the reports."""
ABOUT = (
    "What copies for readers beyond the school were made, with exact numbers of students: for whoever makes the next "
    "copy, not to be given out. It holds no name and no id."
)
NUMBERS = ("students", "before", "after", "both")
ADVICE = "Whoever has both can work out what those students scored: give out one of the two, not both."


class RecordError(ValueError):
    """The record of what was given out cannot be read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Release:
    """One copy of one report for readers beyond the school.

    Attributes
    ----------
    report : str
        Which report: ``"grant_report"``.
    audience : str
        ``"district"`` or ``"public"``.
    scope : {"all", "school", "choir"}
        What it is about.
    part : str
        Fingerprint of the school's or choir's name, empty for all.
    day : str
        The day it was made.
    input : str
        Fingerprint of all files that were read.
    marks : str
        Fingerprint of the marks that count, in no order.
    students, before, after, both : int
        How many are on file, and have the first mark, the second, and both.
    """

    report: str
    audience: str
    scope: str
    part: str
    day: str
    input: str
    marks: str
    students: int
    before: int
    after: int
    both: int

    @property
    def where(self) -> tuple[str, str]:
        """What it is about: all, or which school or choir."""
        return self.scope, self.part


def fingerprint_of(fingerprints: Mapping[str, str]) -> str:
    """Give one fingerprint of all files that were read, from those of each."""
    return sha256(repr(sorted(fingerprints.items())).encode()).hexdigest()[:16]


def record(path: Path, new: Sequence[Release]) -> list[str]:
    """Write copies into the record, and say which earlier ones they must not lie beside.

    Parameters
    ----------
    path : Path
        The record; made if there is none.
    new : sequence of Release
        Copies that were made together. A teacher's copy is none: it is not given out.

    Returns
    -------
    list of str
        Sentences without names; also kept in the record, see `warned`.

    Raises
    ------
    RecordError
        If there is a record that cannot be read.
    """
    fresh = [one for one in new if smallest_group(one.audience) > 1]
    if not fresh and not path.is_file():
        return []
    earlier = _read(path)
    told = list(dict.fromkeys(sentence for one in fresh for sentence in warnings(one, [*earlier, *fresh])))
    again = {(one.report, one.audience, one.where, one.input) for one in fresh}
    kept = [one for one in earlier if (one.report, one.audience, one.where, one.input) not in again]
    content = {"about": ABOUT, "warnings": told, "releases": [asdict(one) for one in (*kept, *fresh)]}
    path.parent.mkdir(parents=True, exist_ok=True)
    # put in place as a whole, so that nobody reads half of it
    with tempfile.NamedTemporaryFile("w", encoding="utf-8", dir=path.parent, delete=False) as half:
        half.write(json.dumps(content, indent=1) + "\n")
    Path(half.name).replace(path)
    return told


def warned(path: Path) -> list[str]:
    """Give the warnings of the copies that were made last."""
    return json.loads(path.read_text(encoding="utf-8"))["warnings"] if path.is_file() else []


def warnings(new: Release, earlier: Iterable[Release]) -> list[str]:
    """Say which earlier copies give single students away together with a new one.

    Parameters
    ----------
    new : Release
        The new copy.
    earlier : iterable of Release
        Those in the record.

    Returns
    -------
    list of str
        At most one sentence for each way: another copy of the same students but a few, the same students with other
        marks, and copies of parts that leave a few over.
    """
    listed = list(earlier)
    same = [one for one in listed if one.where == new.where and (one.input, one.marks) != (new.input, new.marks)]
    return [*_differing(new, same), *_left_over(new, listed)]


def _differing(new: Release, same: list[Release]) -> Iterable[str]:
    """Compare with earlier copies about the same part, the last one first."""
    for one in reversed(same):
        limit = max(smallest_group(new.audience), smallest_group(one.audience))
        apart = [abs(getattr(new, number) - getattr(one, number)) for number in NUMBERS]
        if any(0 < far < limit for far in apart):
            yield (
                f"This copy and one of {one.day} ({_words(one)}) are about the same students but for fewer than "
                f"{limit}. {ADVICE}"
            )
            return
        if not any(apart) and one.marks != new.marks:
            yield (
                f"This copy and one of {one.day} ({_words(one)}) are about as many students with other marks. Whoever "
                "has both can work out by how much marks were changed: give out one of the two, not both."
            )
            return


def _left_over(new: Release, listed: list[Release]) -> Iterable[str]:
    """Compare all students with the parts of one kind that have copies of their own, of the same input."""
    together = [one for one in (*listed, new) if one.input == new.input]
    whole = [one for one in together if one.scope == "all"]
    for kind in ("school", "choir"):
        parts = {one.part: one for one in together if one.scope == kind}
        if not whole or not parts or new.scope not in ("all", kind):
            continue
        limit = max(smallest_group(one.audience) for one in (*whole, *parts.values()))
        over = [
            getattr(whole[-1], number) - sum(getattr(part, number) for part in parts.values()) for number in NUMBERS
        ]
        if any(0 < far < limit for far in over):
            yield (
                f"The copies about single {kind}s and the one about all leave fewer than {limit} students over, whose "
                "numbers follow by subtraction: give out the one or the others, not both."
            )


def _words(one: Release) -> str:
    """Name a copy without naming whom it is about."""
    return f"{one.report.replace('_', ' ')}, {one.audience}"


def _read(path: Path) -> list[Release]:
    """Read the record."""
    if not path.is_file():
        return []
    try:
        return [Release(**one) for one in json.loads(path.read_text(encoding="utf-8"))["releases"]]
    except (ValueError, TypeError, KeyError) as broken:
        raise RecordError(
            f"{path.name} cannot be read, so earlier copies cannot be compared. Put back the file as it was, or move "
            "it away and look yourself which copies were given out."
        ) from broken
