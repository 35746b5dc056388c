"""Small tables for the tests of questions."""

import pandas as pd

from kit.questions.whom import line_up
from kit.tables import SCORES, STUDENTS, conform


def students(rows):
    """Make a students table from dicts."""
    return conform([{"file": "r.csv", "row": n, **row} for n, row in enumerate(rows, 2)], STUDENTS)


def scores(rows):
    """Make a scores table from dicts."""
    full = [{"file": "s.csv", "row": n, "measure": "total", "attempt": 1, **row} for n, row in enumerate(rows, 2)]
    for row in full:
        if "points" in row and row.get("max_points"):
            row.setdefault("share", row["points"] / row["max_points"])
    return conform(full, SCORES)


def choir_of(pre, post, *, most=20, choir="Treble 2", approach="", first=0):
    """Make students and scores rows of one choir; None is an absence."""
    people, marks = [], []
    for number, pair in enumerate(zip(pre, post, strict=True), first):
        people.append({"student": f"S{number:03}", "choir": choir, "approach": approach})
        for occasion, points in zip(("pre", "post"), pair, strict=True):
            mark = {"student": f"S{number:03}", "occasion": occasion}
            mark |= {"missing_reason": "absent"} if points is None else {"points": points, "max_points": most}
            marks.append(mark)
    return people, marks


def pairs_of(pre, post, **options):
    """Line up one choir."""
    people, marks = choir_of(pre, post, **options)
    return line_up(students(people), scores(marks), measure="total", pre="pre", post="post")


def choirs_of(*choirs):
    """Line up several choirs, each given as (name, approach, pre, post)."""
    people, marks = [], []
    for name, approach, pre, post in choirs:
        more_people, more_marks = choir_of(pre, post, choir=name, approach=approach, first=len(people))
        people += more_people
        marks += more_marks
    return line_up(students(people), scores(marks), measure="total", pre="pre", post="post")
