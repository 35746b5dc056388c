"""Marks of single notes and of several raters, for the tests of questions about the quality of a test."""

import numpy as np

from kit.tables import ITEMS
from tests.questions.worlds import choir_of, lined_up, scores, table_of

TESTS = ("pre", "post")


def notes_of(right, *, occasion="pre", form="A", rater="", melodies=3, first=0, choir="Treble 2"):
    """Make note marks, as dicts, from an array of students by notes; NaN is a note without a mark."""
    right = np.asarray(right, dtype=float)
    each = right.shape[1] // melodies
    return [
        {
            "student": f"S{student:03}", "choir": choir, "occasion": occasion, "measure": "total", "form": form,
            "rater": rater, "melody": str(note // each + 1), "item": note % each + 1,
            **({"missing_reason": "no_response"} if np.isnan(mark) else {"right": bool(mark)}),
        }
        for student, row in enumerate(right, first) for note, mark in enumerate(row)
    ]  # fmt: skip


def items(rows):
    """Make an items table from dicts."""
    return table_of(rows, ITEMS)


def singers(number, notes=24, seed=1):
    """Draw right and wrong notes of singers who differ."""
    rng = np.random.default_rng([seed, number])
    return (rng.normal(size=(number, 1)) + rng.normal(size=(number, notes)) > 0).astype(float)


def marked_by(marks, *, most=20, choirs=None, form=""):
    """Make scores and pairs from marks: (occasion, rater) -> one mark a student, None where there is none."""
    number = max(map(len, marks.values()))
    people = [
        {"student": f"S{at:03}", "choir": choirs[at] if choirs else "Treble 2"} for at in range(number)
    ]  # fmt: skip
    rows = [
        {"student": f"S{at:03}", "occasion": occasion, "rater": rater, "points": points, "max_points": most, "form": form}
        for (occasion, rater), given in marks.items() for at, points in enumerate(given) if points is not None
    ]  # fmt: skip
    return scores(rows), lined_up(people, rows, rater=next(iter(marks))[1])


def roster(number, **options):
    """Line up students with marks that do not matter."""
    return lined_up(*choir_of([5] * number, [6] * number, **options))
