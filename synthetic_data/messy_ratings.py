"""Messy fixtures about ratings of choirs and about attendance (F75 to F78, F106)."""

from __future__ import annotations

from collections.abc import Sequence

from messy_files import IDS, Messy
from workbook import text_table, workbook

CHOIRS = ("Teasel Treble", "Larch Chamber", "Bramble Mixed", "Fern Concert", "Moss Treble", "Alder Men")
DAY = "2026-03-12"
HEADINGS = ("Choir", "Judge 1", "Judge 2", "Judge 3", "Final")


def rating_fixtures() -> Messy:
    """Make the fixtures about ratings and attendance."""
    made = Messy()
    for part in (_labels, _signs, _roman_letters, _directions, _finals, _points, _not_rated, _attendance,
                 _attendance_days):  # fmt: skip
        part(made)
    return made


def rows_of(choir: str, ratings: Sequence[tuple[str, float]], *, best: float = 1, worst: float = 5) -> list[dict]:
    """Expect ratings of one choir: judge and number."""
    return [
        {"choir": choir, "judge": judge, "rating": float(rating), "best_rating": float(best),
         "worst_rating": float(worst)}
        for judge, rating in ratings
    ]  # fmt: skip


def _table(cells: Sequence[Sequence], headings: Sequence[str] = HEADINGS) -> list[list]:
    """Put the choirs before their ratings."""
    return [list(headings), *([choir, *row] for choir, row in zip(CHOIRS, cells, strict=False))]


def _expected(numbers: Sequence[Sequence[float | None]], *, best: float = 1, worst: float = 5) -> list[dict]:
    """Expect the ratings of the choirs in order; None where there is none."""
    names = ("Judge 1", "Judge 2", "Judge 3", "panel")
    return [
        row
        for choir, ratings in zip(CHOIRS, numbers, strict=False)
        for row in rows_of(
            choir, [(n, r) for n, r in zip(names, ratings, strict=False) if r is not None], best=best, worst=worst
        )
    ]


def _labels(made: Messy) -> None:
    """F75: Roman numerals, numbers, divisions and words in one sheet."""
    cells = [("I", "1", "Superior", "I"), ("II", "Division 2", "Excellent", "2"), ("III", "Div. III", "Good", "III"),
             ("IV", "4", "fair", "Fair"), ("V", "Poor", "5", "Division V")]  # fmt: skip
    made.files["F75.csv"] = text_table(_table(cells))
    made.study(
        "F75a", "Roman numerals, divisions, words and the numbers among them are one scale with 1 best.",
        sources={"ratings": [{"file": "F75.csv"}]}, used=5,
        tables={"ratings": _expected([(n, n, n, n) for n in range(1, 6)])},
        changes=[("label read as the number of its rating", 16)],
    )  # fmt: skip


def _signs(made: Messy) -> None:
    """F75: a plus or minus behind a rating."""
    cells = [("I", "II", "II-", "II"), ("2+", "2", "II", "II"), ("III", "II", "II", "II")]
    made.files["F75_signs.csv"] = text_table(_table(cells))
    label = "label read as the number of its rating"
    made.study(
        "F75b", "A sign behind a rating has several readings and is set aside.",
        sources={"ratings": [{"file": "F75_signs.csv"}]}, used=3,
        tables={"ratings": _expected([(1, 2, None, 2), (None, 2, 2, 2), (3, 2, 2, 2)])}, changes=[(label, 9)],
        set_aside=[(2, "Judge 3", "unclear_mark"), (3, "Judge 1", "unclear_mark")],
    )  # fmt: skip
    made.study(
        "F75c", "Signs are thirds of a rating where the study file says so; a minus is worse.",
        sources={"ratings": [{"file": "F75_signs.csv", "signs": "thirds"}]}, used=3,
        tables={"ratings": _expected([(1, 2, 2 + 1 / 3, 2), (2 - 1 / 3, 2, 2, 2), (3, 2, 2, 2)])},
        changes=[(label, 9), ("sign read as a third", 2)],
    )  # fmt: skip
    made.study(
        "F75d", "Signs are left out where the study file says so.",
        sources={"ratings": [{"file": "F75_signs.csv", "signs": "ignored"}]}, used=3,
        tables={"ratings": _expected([(1, 2, 2, 2), (2, 2, 2, 2), (3, 2, 2, 2)])},
        changes=[(label, 9), ("sign left out", 2)],
    )  # fmt: skip


def _roman_letters(made: Messy) -> None:
    """F76: the numeral I typed as l or 1."""
    cells = [("l", "II", "I", "1"), ("ll", "11", "II", "II"), ("III", "lll", "111", "III"), ("lV", "IV", "1V", "IV")]
    made.files["F76.csv"] = text_table(_table(cells))
    made.study(
        "F76a", "Among Roman numerals l, ll and 11 are numerals too.",
        sources={"ratings": [{"file": "F76.csv"}]}, used=4,
        tables={"ratings": _expected([(1, 2, 1, 1), (2, 2, 2, 2), (3, 3, 3, 3), (4, 4, 4, 4)])},
        changes=[("l or 1 read as a Roman numeral", 7), ("label read as the number of its rating", 8)],
    )  # fmt: skip
    made.files["F76_numbers.csv"] = text_table(_table([("1", "2", "l", "2"), ("2", "11", "2", "2")]))
    made.study(
        "F76b", "Among plain numbers l and 11 are no ratings.",
        sources={"ratings": [{"file": "F76_numbers.csv", "best": 1, "worst": 5}]}, used=2,
        tables={"ratings": _expected([(1, 2, None, 2), (2, None, 2, 2)])},
        set_aside=[(2, "Judge 3", "unknown_rating"), (3, "Judge 2", "unknown_rating")],
    )  # fmt: skip


def _directions(made: Messy) -> None:
    """F77: two schools whose numbers run in opposite directions."""
    for name, cells in (("low", [(1, 2, 1, 1), (3, 2, 2, 2)]), ("high", [(5, 4, 5, 5), (3, 4, 4, 4)])):
        made.files[f"F77_{name}.xlsx"] = workbook({"Ratings": _table(cells)})
    files = [{"file": "F77_low.xlsx"}, {"file": "F77_high.xlsx"}]
    made.study(
        "F77a", "Plain numbers do not tell which end is the best one, and each file is asked about.",
        sources={"ratings": files}, refused=[("rating_direction", None), ("rating_direction", None)],
    )  # fmt: skip
    made.study(
        "F77b", "One file that is declared does not settle the other one.",
        sources={"ratings": [files[0] | {"higher_is_better": False}, files[1]]},
        refused=[("rating_direction", None)],
    )  # fmt: skip
    low, high = _expected([(1, 2, 1, 1), (3, 2, 2, 2)]), _expected([(5, 4, 5, 5), (3, 4, 4, 4)], best=5, worst=1)
    made.study(
        "F77c", "Declared for each file, the numbers keep their own direction.",
        sources={"ratings": [files[0] | {"higher_is_better": False}, files[1] | {"higher_is_better": True}]}, used=4,
        tables={"ratings": [*low, *high]},
    )  # fmt: skip


def _finals(made: Messy) -> None:
    """F78: a result that does not follow the rule of the panel."""
    cells = [("I", "II", "II", "II"), ("I", "I", "III", "I"), ("II", "I", "III", "I"), ("III", "III", "II", "III")]
    made.files["F78.csv"] = text_table(_table(cells))
    label = ("label read as the number of its rating", 16)
    numbers = [(1, 2, 2, 2), (1, 1, 3, 1), (2, 1, 3, 1), (3, 3, 2, 3)]
    made.study(
        "F78a", "Without a declared rule the result stands as it is.",
        sources={"ratings": [{"file": "F78.csv"}]}, used=4, tables={"ratings": _expected(numbers)}, changes=[label],
    )  # fmt: skip
    made.study(
        "F78b", "A result that is not the median of the judges is set aside; their ratings stay.",
        sources={"ratings": [{"file": "F78.csv", "panel_rule": "median"}]}, used=4, changes=[label],
        tables={"ratings": _expected([*numbers[:2], (2, 1, 3, None), numbers[3]])},
        set_aside=[(4, "Final", "panel_final")],
    )  # fmt: skip
    made.study(
        "F78c", "Another rule finds other results at fault.",
        sources={"ratings": [{"file": "F78.csv", "panel_rule": "mean_round_half_up"}]}, used=4, changes=[label],
        tables={"ratings": _expected([numbers[0], (1, 1, 3, None), (2, 1, 3, None), numbers[3]])},
        set_aside=[(3, "Final", "panel_final"), (4, "Final", "panel_final")],
    )  # fmt: skip
    chart = {"1 2 2": 2, "1 1 3": 1, "1 2 3": 2, "2 3 3": 3}
    made.study(
        "F78d", "A printed chart of the panel is followed combination by combination.",
        sources={"ratings": [{"file": "F78.csv", "panel_rule": "lookup_table", "chart": chart}]}, used=4,
        tables={"ratings": _expected([*numbers[:2], (2, 1, 3, None), numbers[3]])}, changes=[label],
        set_aside=[(4, "Final", "panel_final")],
    )  # fmt: skip


def _points(made: Messy) -> None:
    """F78: points of the judges, and a rating by bands of their sum."""
    cells = [(35, 33, 34, "I"), (30, 28, 31.5, "II"), (25, 24, 26, "II")]
    made.files["F78_points.xlsx"] = workbook({"Sheet1": _table(cells)})
    source = {"file": "F78_points.xlsx", "best": 35, "worst": 0, "panel_rule": "sum_bands", "bands": [99, 84, 69, 0]}
    judges = _expected([(35, 33, 34), (30, 28, 31.5), (25, 24, 26)], best=35, worst=0)
    panel = rows_of(CHOIRS[0], [("panel", 1)], worst=4) + rows_of(CHOIRS[1], [("panel", 2)], worst=4)
    made.study(
        "F78e", "Points run upward while the rating made of their sum runs downward.",
        sources={"ratings": [source]}, used=3, set_aside=[(4, "Final", "panel_final")],
        tables={"ratings": [*judges[:3], panel[0], *judges[3:6], panel[1], *judges[6:]]},
        changes=[("label read as the number of its rating", 3)],
    )  # fmt: skip


def _not_rated(made: Messy) -> None:
    """Choirs that sang for comments only, and a row for each judge."""
    rows = [("Date", "Choir", "Judge", "Event", "Rating"), (DAY, CHOIRS[0], "A", "concert", "Gold"),
            (DAY, CHOIRS[0], "B", "concert", "Silver"), (DAY, CHOIRS[0], "panel", "concert", "Silver"),
            (DAY, CHOIRS[1], "A", "concert", "CO"), ("", "", "A", "concert", "Gold"),
            (DAY, CHOIRS[2], "A", "concert", "Platinum"), (DAY, CHOIRS[0], "A", "concert", "Gold")]  # fmt: skip
    made.files["F75_medals.csv"] = text_table(rows)
    medal = {"best_rating": 1.0, "worst_rating": 4.0, "date": DAY, "part": "concert", "choir": CHOIRS[0]}
    made.study(
        "F75e", "Medals are a scale of four; comments only is no rating, and an unknown medal is set aside.",
        sources={"ratings": [{"file": "F75_medals.csv"}]}, used=3,
        tables={"ratings": [medal | {"judge": "A", "rating": 1.0}, medal | {"judge": "B", "rating": 2.0},
                            medal | {"judge": "panel", "rating": 2.0}]},
        set_aside=[(5, "", "not_rated"), (6, "", "no_choir"), (7, "Rating", "unknown_rating"),
                   (8, "", "same_row_twice")],
        changes=[("label read as the number of its rating", 4), ("word read as not rated", 1)],
    )  # fmt: skip


def _present(student: str, day: str, present: str) -> dict:
    """Expect what was noted for one student on one day."""
    return {"student": student, "date": day, "present": present}


def _attendance(made: Messy) -> None:
    """F106: a row for each student and day, in codes."""
    rows = [("ID", "Date", "Code"), (IDS[0], "2025-09-15", "P"), (IDS[1], "2025-09-15", "A"),
            (IDS[2], "2025-09-15", "T"), (IDS[0], "2025-09-16", "X"), (IDS[1], "2025-09-16", "P"),
            (IDS[2], "2025-09-16", "Q"), (IDS[1], "2025-09-16", "P"), (IDS[1], "2025-09-16", "A")]  # fmt: skip
    made.files["F106.csv"] = text_table(rows)
    made.study(
        "F106a", "Codes of attendance are never guessed: the file is refused with the codes to explain.",
        sources={"attendance": [{"file": "F106.csv"}]}, refused=[("unknown_code", None)],
    )  # fmt: skip
    codes = {"P": "present", "T": "present", "A": "absent", "X": "excused"}
    first, second = "2025-09-15", "2025-09-16"
    made.study(
        "F106b", "Declared codes are read; one that is not declared, and a day noted twice, are set aside.",
        sources={"attendance": [{"file": "F106.csv", "codes": codes}]}, used=5,
        tables={"attendance": [_present(IDS[0], first, "present"), _present(IDS[1], first, "absent"),
                               _present(IDS[2], first, "present"), _present(IDS[0], second, "excused"),
                               _present(IDS[1], second, "present")]},
        set_aside=[(7, "Code", "unknown_code"), (8, "", "same_row_twice"), (9, "Code", "unclear_mark")],
        changes=[("code read as present", 4), ("code read as absent", 2), ("code read as excused", 1)],
    )  # fmt: skip


def _attendance_days(made: Messy) -> None:
    """F106: a column for each day."""
    rows = [("ID", "9/15/2025", "9/16/2025", "9/17/2025"), (IDS[0], "present", "absent", ""),
            (IDS[1], "Present", "excused", "no school")]  # fmt: skip
    made.files["F106_days.csv"] = text_table(rows)
    made.study(
        "F106c", "Words that say what they mean need no declaration, and an empty cell says nothing.",
        sources={"attendance": [{"file": "F106_days.csv"}]}, used=2,
        tables={"attendance": [
            _present(IDS[0], "2025-09-15", "present"), _present(IDS[0], "2025-09-16", "absent"),
            _present(IDS[1], "2025-09-15", "present"), _present(IDS[1], "2025-09-16", "excused"),
            _present(IDS[1], "2025-09-17", "no_school"),
        ]}, changes=[("code read as no school", 1)],
    )  # fmt: skip
    made.study(
        "F106d", "Where only exceptions are noted, the study file says that an empty cell means present.",
        sources={"attendance": [{"file": "F106_days.csv", "codes": {"": "present"}}]}, used=2,
        tables={"attendance": [
            _present(IDS[0], "2025-09-15", "present"), _present(IDS[0], "2025-09-16", "absent"),
            _present(IDS[0], "2025-09-17", "present"), _present(IDS[1], "2025-09-15", "present"),
            _present(IDS[1], "2025-09-16", "excused"), _present(IDS[1], "2025-09-17", "no_school"),
        ]}, changes=[("code read as no school", 1), ("code read as present", 1)],
    )  # fmt: skip
