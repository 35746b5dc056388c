"""Small tables for the tests of questions."""

from kit.questions.pairs import line_up
from kit.tables import SCORES, STUDENTS, Table, conform


def table_of(rows, table: Table):
    """Make a normalised table from dicts; text that is not given is empty."""
    empty = {column.name: "" for column in table.columns if column.type == "text"}
    return conform([empty | {"file": "s.csv", "row": number} | row for number, row in enumerate(rows, 2)], table)


def students(rows):
    """Make a students table from dicts."""
    return table_of(rows, STUDENTS)


def scores(rows):
    """Make a scores table from dicts; the measure is ``total`` and shares follow from points, unless given."""
    full = [{"measure": "total", "attempt": 1} | row for row in rows]
    for row in full:
        if row.get("points") is not None and row.get("max_points"):
            row.setdefault("share", row["points"] / row["max_points"])
    return table_of(full, SCORES)


def lined_up(people, marks, **options):
    """Line up dicts of students and of marks."""
    return line_up(students(people), scores(marks), measure="total", pre="pre", post="post", **options)


def choir_of(pre, post, *, most=20, most_after=None, choir="Treble 2", approach="", first=0):
    """Make students and marks of one choir, as dicts; None is an absence."""
    people, marks = [], []
    maxima = (most, most_after or most)
    for number, pair in enumerate(zip(pre, post, strict=True), first):
        people.append({"student": f"S{number:03}", "choir": choir, "approach": approach})
        for occasion, points, maximum in zip(("pre", "post"), pair, maxima, strict=True):
            mark = {"missing_reason": "absent"} if points is None else {"points": points, "max_points": maximum}
            marks.append({"student": f"S{number:03}", "occasion": occasion, **mark})
    return people, marks


def pairs_of(pre, post, **options):
    """Line up one choir."""
    return lined_up(*choir_of(pre, post, **options))


def choirs_of(*choirs):
    """Line up several choirs, each given as (name, approach, pre, post)."""
    people, marks = [], []
    for name, approach, pre, post in choirs:
        more_people, more_marks = choir_of(pre, post, choir=name, approach=approach, first=len(people))
        people += more_people
        marks += more_marks
    return lined_up(people, marks)


def named(estimates) -> dict:
    """Give estimates by name and about."""
    return {(estimate.name, estimate.about): estimate for estimate in estimates}


def numbers(counts) -> dict:
    """Give counts by what they are about."""
    return {estimate.about: int(estimate.value) for estimate in counts}
