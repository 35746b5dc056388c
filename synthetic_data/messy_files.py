"""What a messy fixture is, the manifest that says what must come of each, and the folder that holds them."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

Expected = float | tuple[float, float | None] | str | None
"""What a mark cell must give: points, (points, most points), why it is missing, or None where it is set aside."""

STUDENTS = {
    "R4KT": "Nettlebed, Pim", "B9WX": "Thistlewick, Odo", "H2MZ": "Saltmarsh, Ivo", "Q7DN": "Quillfeather, Tansy",
    "V3GL": "Foxglove, Bram", "T8CP": "Pennywhistle, Lark", "J5FS": "Oddlestone, Fern", "N6YR": "Marrowfat, Juno",
    "W2HV": "Winkle, Sorrel", "K9ZB": "Bogmyrtle, Zeb", "D3PX": "Cloudberry, Moth", "G8RN": "Hazelwhit, Teasel",
}  # fmt: skip
"""Invented ids and names."""
IDS = tuple(STUDENTS)


@dataclass(slots=True)
class Messy:
    """Fixture files and what the kit must make of them."""

    files: dict[str, bytes] = field(default_factory=dict)
    entries: list[dict] = field(default_factory=list)

    def add(self, other: Messy) -> None:
        """Take over the fixtures of another part."""
        self.files |= other.files
        self.entries += other.entries

    def used(
        self, fixture: str, file: str, says: str, *, marks: Sequence[dict], used: int, settings: Mapping | None = None,
        set_aside: Sequence[tuple[int, str, str]] = (), choirs: Sequence[str] = ("",), **ledger: int,
    ) -> None:  # fmt: skip
        """Expect that a file of marks is used; ``set_aside`` lists (row, column or empty, reason)."""
        aside = [{"row": row, "column": column, "why": why} for row, column, why in set_aside]
        self.entries.append({
            "id": fixture, "files": [file], "kind": "scores", "settings": dict(settings or {}), "outcome": "used",
            "used": used, "set_aside": aside, "problems": [], "ledger": _ledger(ledger), "marks": list(marks),
            "choirs": list(choirs), "says": says,
        })  # fmt: skip

    def refused(
        self, fixture: str, file: str, says: str, *, why: str, row: int | None = None, settings: Mapping | None = None,
        kind: str = "scores",
    ) -> None:  # fmt: skip
        """Expect that a file is refused for one reason; nothing else is then compared."""
        self.entries.append({
            "id": fixture, "files": [file], "kind": kind, "settings": dict(settings or {}), "outcome": "refused",
            "used": 0, "set_aside": [], "problems": [{"why": why, "row": row}], "ledger": {}, "marks": [],
            "choirs": [], "says": says,
        })  # fmt: skip

    def roster(
        self, fixture: str, file: str, says: str, *, students: Sequence[dict], settings: Mapping | None = None
    ) -> None:
        """Expect that a roster is used, and what it says of each student."""
        self.entries.append({
            "id": fixture, "files": [file], "kind": "roster", "settings": dict(settings or {}), "outcome": "used",
            "used": len(students), "set_aside": [], "problems": [], "ledger": _ledger({}), "marks": [],
            "choirs": sorted({student["choir"] for student in students}), "students": list(students), "says": says,
        })  # fmt: skip

    def study(
        self, fixture: str, says: str, *, sources: Mapping[str, Sequence[Mapping]], used: int = 0,
        tables: Mapping[str, Sequence[Mapping]] | None = None, rules: Mapping | None = None,
        set_aside: Sequence[tuple[int, str, str]] = (), refused: Sequence[tuple[str, int | None]] = (),
        changes: Sequence[tuple[str, int]] = (), **ledger: int,
    ) -> None:  # fmt: skip
        """Expect what comes of files of any kind.

        Parameters
        ----------
        fixture, says : str
            Number with a letter for each branch, and the claim in a sentence.
        sources : mapping of str to sequence of mapping
            Kind (scores, rosters, drills, items, keys, patterns, ratings, attendance) -> what is declared of each
            file, ``file`` included; anything else is left to be recognised.
        used : int, optional
            Data rows used, of all files together.
        tables : mapping of str to sequence of mapping, optional
            Normalised table -> its rows in order, each with the columns to compare; a student by school id.
        rules : mapping, optional
            Fields of ``kit.load.declared.Rules``.
        set_aside, refused, changes : sequence of tuple, optional
            (row, column or empty, reason), (reason, row), (rule of a change, times): the complete lists.
        **ledger : int
            Rows that are no data; one header row unless told otherwise.
        """
        declared = {kind: list(map(dict, each)) for kind, each in sources.items()}
        files = sorted({source["file"] for each in declared.values() for source in each})
        self.entries.append({
            "id": fixture, "files": files, "kind": "study", "sources": declared,
            "settings": {"rules": dict(rules or {})}, "outcome": "refused" if refused else "used", "used": used,
            "set_aside": [{"row": row, "column": column, "why": why} for row, column, why in set_aside],
            "problems": [{"why": why, "row": row} for why, row in refused],
            "ledger": {} if refused else _ledger({"header": len(files)} | ledger), "marks": [], "choirs": [],
            "tables": {name: list(map(dict, rows)) for name, rows in (tables or {}).items()},
            "changes": [{"rule": rule, "times": times} for rule, times in changes], "says": says,
        })  # fmt: skip

    def write(self, folder: Path) -> None:
        """Write the files and ``manifest.json``."""
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in self.files.items():
            (folder / name).write_bytes(content)
        entries = sorted(self.entries, key=lambda entry: entry["id"])
        lines = ",\n".join(json.dumps(entry, ensure_ascii=False) for entry in entries)
        (folder / "manifest.json").write_bytes(f"[\n{lines}\n]\n".encode())


def marks(
    table: Mapping[str, Sequence[Expected]], occasions: Sequence[str] = ("pre", "post"), *,
    most: float | None = None, measure: str = "total",
) -> list[dict]:  # fmt: skip
    """List the marks that must come out.

    Parameters
    ----------
    table : mapping of str to sequence
        Student -> what is expected at each occasion.
    occasions : sequence of str, optional
        Occasions in the order of the sequences.
    most : float, optional
        Most points of every mark that does not bring its own.
    measure : str, optional
        What was marked.

    Returns
    -------
    list of dict
        Student, occasion, measure, points, most points, share and missing reason of each mark.
    """
    return [
        {"student": student, "occasion": occasion, "measure": measure, **_mark(expected, most)}
        for student, row in table.items()
        for occasion, expected in zip(occasions, row, strict=True)
        if expected is not None
    ]


def share(value: float) -> dict:
    """Expect a share where the most points are not known."""
    return {"points": None, "max_points": None, "share": value, "missing_reason": ""}


def sheet(headings: Sequence[str], rows: Iterable[Sequence], *, named: bool = False) -> list[list]:
    """Put ids (and names) before the marks: one row for each student, in the order of STUDENTS."""
    people = ([student, name] if named else [student] for student, name in STUDENTS.items())
    return [list(headings), *([*person, *row] for person, row in zip(people, rows, strict=False))]


def expect(rows: Iterable[Sequence[Expected]]) -> dict[str, Sequence[Expected]]:
    """Name the students of expected rows, in the order of STUDENTS."""
    return dict(zip(IDS, rows, strict=False))


def _mark(expected: Expected | dict, most: float | None) -> dict:
    """Write one expected mark out in full."""
    if isinstance(expected, dict):
        return expected
    if isinstance(expected, str):
        return {"points": None, "max_points": None, "share": None, "missing_reason": expected}
    points, own = expected if isinstance(expected, tuple) else (expected, most)
    return {"points": points, "max_points": own, "share": points / own if own else None, "missing_reason": ""}


def _ledger(counts: Mapping[str, int]) -> dict[str, int]:
    """Fill the counts of rows that are no student's."""
    return {"title": 0, "header": 1, "blank": 0, "total": 0} | counts
