"""Small drill logs for the tests of questions about practice."""

import pandas as pd

from kit.tables import DRILLS, ITEMS, PATTERNS
from tests.questions.worlds import table_of


def day(number):
    """Give a day; 0 is a Monday."""
    return pd.Timestamp("2025-09-01") + pd.Timedelta(days=number)


def log(rows):
    """Make a drill log from dicts; ``on`` counts days from a Monday; a line with a student is one first try."""
    full = []
    for row in rows:
        line = {"choir": "Larch", "errors_only": False, "summary": False} | row
        if "on" in line:
            line["date"] = day(line.pop("on"))
        line.setdefault("unit", "one" if line.get("student") else "class")
        full.append(line)
    return table_of(full, DRILLS)


def heard(student, sung, right, **more):
    """Make one first try of ``1 2 3`` on the first Monday, as a dict, unless told otherwise."""
    line = {"student": student, "pattern": "P1", "target": "1 2 3", "sung": sung, "right": right, "attempt": 1}
    return {"on": 0} | line | more


def meeting(on, minutes=None, **more):
    """Make a line about the whole class, as a dict."""
    return {"on": on, "minutes": minutes} | more


def patterns(*pairs):
    """Make a list of patterns from pairs of code and notes."""
    return table_of([{"pattern": code, "notes": notes} for code, notes in pairs], PATTERNS)


def marked(rows):
    """Make single notes of tests from dicts."""
    return table_of(rows, ITEMS)
