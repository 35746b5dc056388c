"""Messy fixtures about what may leave the school: a formula, a small choir, marks that all have (F108 to F110)."""

from __future__ import annotations

from collections.abc import Sequence

from messy_files import Messy
from workbook import text_table

_HEADINGS = ("ID", "Choir", "Pre /20", "Post /20")
_FORMULA = "=SUM(1,2)"


def sharing_fixtures() -> Messy:
    """Make the fixtures about sharing; each loads without a fault, the export decides what goes out."""
    made = Messy()
    mixed = [(at % 13, 4 + at % 11) for at in range(24)]
    _choirs(made, "F108", [(_FORMULA, mixed[:12]), ("Larch", mixed[12:])],
            "A choir whose name looks like a formula is a name like any other; exported files escape it.")  # fmt: skip
    _choirs(made, "F109", [("Larch", mixed[:12]), ("Alder", mixed[12:]), ("Willow", mixed[:4])],
            "A choir of four students loads; exported files do not show it.")  # fmt: skip
    _choirs(made, "F110", [("Larch", mixed[:12]), ("Alder", [(at % 13, 20) for at in range(12)])],
            "A choir in which all have the same mark loads; exported files leave that mark out.")  # fmt: skip
    return made


def _choirs(made: Messy, fixture: str, choirs: Sequence[tuple[str, Sequence[tuple[int, int]]]], says: str) -> None:
    """Write a file of choirs, and expect every mark."""
    rows = [(f"n{at:02}", choir, *marks) for at, (choir, marks) in enumerate(
        (choir, marks) for choir, each in choirs for marks in each)]  # fmt: skip
    made.files[f"{fixture}.csv"] = text_table([_HEADINGS, *rows])
    scores = [
        {"student": student, "choir": choir, "occasion": occasion, "points": float(points), "max_points": 20.0}
        for student, choir, *marks in rows
        for occasion, points in zip(("pre", "post"), marks, strict=True)
    ]
    made.study(
        fixture, says, sources={"scores": [{"file": f"{fixture}.csv"}]}, used=len(rows), tables={"scores": scores}
    )
