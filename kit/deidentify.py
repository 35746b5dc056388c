"""Normalised tables -> tables that say little of a single student: new ids, codes, weeks, no small groups."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import pandas as pd

from kit.code_words import code_words, fresh_ids
from kit.errors import TooFewError
from kit.load.notes import read_notes
from kit.small_groups import share_groups, smallest_cell, tells_who, told_by_group, without_consent
from kit.study import Study
from kit.tables import NORMALISED, Column, Table, conform, without_categories

GROUPS = ("approach", "school", "choir", "grade", "voice_part")
"""What others may know of a student, from the general to the special: the special is given up first."""

RESPONSES = ("flat", "sharp", "repeated", "unclear", "none", "declined")
"""What a log may note instead of notes."""

_TEST = {"student": "id", "occasion": "label", "date": "week", "measure": "label", "form": "label", "rater": "code",
         "missing_reason": "reason"}  # fmt: skip
_MARK = dict.fromkeys(("degree", "alter", "drilled", "right", "syllable_right"), "kept")
TREATED: Mapping[str, Mapping[str, str]] = {
    "students": {"student": "id", **dict.fromkeys(GROUPS, "group")},
    "scores": {**_TEST, **dict.fromkeys(("attempt", "points", "max_points", "share"), "kept")},
    "items": {**{name: how for name, how in _TEST.items() if name != "date"}, "melody": "label", "item": "kept",
              "approached_by": "vocabulary", **_MARK, "sung": "notes"},
    "drills": {"date": "week", "choir": "choir", "student": "id", "pattern": "label", "target": "notes",
               "sung": "notes", "response": "vocabulary",
               **dict.fromkeys(("unit", "activity", "stage"), "vocabulary"),
               **dict.fromkeys(("minutes", "attempt", "right", "notes_right", "notes_asked", "syllable_right",
                                "right_after", "class_rating", "errors_only", "summary"), "kept")},
    "patterns": {"pattern": "label", "notes": "notes"},
    "ratings": {"date": "week", "choir": "choir", "judge": "code", "part": "label",
                **dict.fromkeys(("rating", "best_rating", "worst_rating"), "kept")},
    "attendance": {"student": "id", "date": "week", "present": "vocabulary"},
}  # fmt: skip
"""What becomes of each column; a column that is not named is left out."""

SAID = {
    "id": "Drawn anew at random for this export.",
    "kept": "",
    "group": "Empty where fewer than {smallest} students share it with all that stands left of it.",
    "choir": "The code of the table of students; lines about a choir that is not shown there are left out.",
    "week": "Given as the Monday of its week; empty where fewer than {smallest} students share it.",
    "label": "Short labels such as A or P01 and common words are kept, all others replaced by a number.",
    "code": "Replaced by a number.",
    "vocabulary": "Words of the list only.",
    "notes": "Empty where it is not written in scale degrees.",
    "reason": "Reasons that fewer than {smallest} students have are given as unspecified.",
}
"""What the codebook says of each treatment."""


@dataclass(slots=True)
class Safe:
    """Tables that may leave the school after somebody has looked at them.

    Attributes
    ----------
    tables : dict of str to DataFrame
        Name -> rows; tables without rows are absent.
    described : dict of str to Table
        Name -> its columns as they are here.
    left_out : dict of str to int
        Sentence with ``{number}`` -> how many.
    smallest_cell : int
        Students of the smallest combination of approach, school, choir, grade and voice part; 0 without students.
    students : int
        Students in the tables.
    """

    tables: dict[str, pd.DataFrame] = field(default_factory=dict)
    described: dict[str, Table] = field(default_factory=dict)
    left_out: dict[str, int] = field(default_factory=dict)
    smallest_cell: int = 0
    students: int = 0

    def leave_out(self, sentence: str, number: int) -> None:
        """Count what was left out; nothing is said of nothing."""
        if number:
            self.left_out[sentence] = self.left_out.get(sentence, 0) + int(number)


def deidentify(study: Study, *, smallest: int, named: bool) -> Safe:
    """Make the tables of a study safe to share.

    Parameters
    ----------
    study : Study
        As read.
    smallest : int
        Students that a shown group needs.
    named : bool
        Whether choirs and schools keep their names.

    Returns
    -------
    Safe

    Raises
    ------
    TooFewError
        If fewer than ``smallest`` students are left.
    """
    safe = Safe()
    raw = {t.name: without_categories(rows) for t in NORMALISED if len(rows := getattr(study.loaded, t.name))}
    _keep_permitted(raw, safe)
    students = raw.get("students")
    if students is not None and len(students) < smallest:
        raise TooFewError(
            f"export_study: needs {smallest} students whose data may be shared, so that none of them can be "
            f"recognized. There are {'fewer' if len(students) else 'none'}."
        )
    if students is not None:
        raw["students"] = share_groups(students, GROUPS, smallest=smallest)
        safe.students, safe.smallest_cell = len(students), smallest_cell(raw["students"], GROUPS)
        _hide_choirs(raw, safe)
        _hide_few(raw, safe, students, smallest)
        _drop_told(raw, safe)
    words, ids = code_words(study.settings, _own_words(raw), named=named), fresh_ids(study)
    for table in NORMALISED:
        if len(raw.get(table.name, ())):
            rows = _treated(raw[table.name], TREATED[table.name], words, ids)
            safe.described[table.name] = described = _described(table, rows, smallest)
            safe.tables[table.name] = _ordered(conform(rows, described), table.name)
    return safe


def _keep_permitted(raw: dict[str, pd.DataFrame], safe: Safe) -> None:
    """Leave out students who may not be shared, and rows about students who are not on the list of students."""
    if "students" not in raw:
        return
    students = raw["students"]
    refused, silent = without_consent(students)
    safe.leave_out("{number} without consent to the sharing of their data", refused.sum())
    safe.leave_out("{number} for whom no consent is recorded, while it is for others", silent.sum())
    raw["students"] = students[~(refused | silent)]
    strangers: set[str] = set()
    for name, rows in raw.items():
        if "student" in rows and name != "students":
            strangers |= set(rows["student"]) - set(students["student"]) - {""}
            raw[name] = rows[rows["student"].isin({*raw["students"]["student"], ""})]
    safe.leave_out("{number} with marks or lines who are not on the list of students", len(strangers))


def _hide_choirs(raw: dict[str, pd.DataFrame], safe: Safe) -> None:
    """Leave out lines about choirs that are not shown among the students."""
    shown = set(raw["students"]["choir"])
    for name in ("drills", "ratings"):
        if name in raw:
            rows = raw[name]
            about_choir = rows["student"] == "" if "student" in rows else pd.Series(True, index=rows.index)
            kept = ~about_choir | rows["choir"].isin(shown - {""})
            # of a line about a student, the choir is that of the table of students or none
            raw[name] = rows[kept].assign(choir=rows["choir"].where(about_choir, ""))
            if not kept.all():
                safe.leave_out(f"lines of {name} about choirs that are too small to be shown", (~kept).sum())


def _hide_few(raw: dict[str, pd.DataFrame], safe: Safe, known: pd.DataFrame, smallest: int) -> None:
    """Give rows, weeks, raters, forms and reasons only where enough share them; `known` has every choir."""
    students = raw["students"]
    cells = students[["student", *GROUPS]].assign(cell=students.groupby(list(GROUPS), dropna=False).ngroup())
    beside = cells.rename(columns={"choir": "shown_choir"}).assign(own_choir=known["choir"].to_numpy())
    for name in ("scores", "items", "attendance", "drills"):
        if name in raw:
            own = raw[name].drop(columns=[c for c in ("choir",) if name != "drills" and c in raw[name]])
            few = tells_who(rows := own.merge(beside, on="student", how="left"), beside, smallest=smallest)
            safe.leave_out(f"rows of {name} that few have, or only some of the choirs that are not shown", few.sum())
            raw[name] = _hidden_in(rows[~few], smallest)
    for name in ("scores", "items"):
        if name in raw:
            reasons = raw[name].groupby("missing_reason")["student"].nunique()
            rare = raw[name]["missing_reason"].isin(set(reasons.index[reasons < smallest]) - {""})
            raw[name] = raw[name].assign(missing_reason=raw[name]["missing_reason"].mask(rare, "unspecified"))


def _hidden_in(rows: pd.DataFrame, smallest: int) -> pd.DataFrame:
    """Leave weeks empty that few of a group share; raters and forms that few have or that tell a choir not shown."""
    test = [column for column in ("occasion", "measure") if column in rows]
    if "date" in rows:
        rows = rows.assign(date=_week(rows))
        single = rows["student"] != ""
        shared = share_groups(rows[single], ["date"], smallest=smallest, within=[*test, "cell"])
        rows = pd.concat([rows[~single], shared])
    for column in (one for one in ("rater", "form") if one in rows):
        hidden, within = rows["shown_choir"] == "", [*test, "approach", "school"]
        rows = pd.concat([rows[~hidden], share_groups(rows[hidden], [column], smallest=smallest, within=within)])
        rows = share_groups(rows, [column], smallest=smallest, within=test if column == "form" else ())
    return rows


def _drop_told(raw: dict[str, pd.DataFrame], safe: Safe) -> None:
    """Leave out marks that all students of a group share: to be in the group would tell the mark."""
    test, told = ["cell", "occasion", "measure"], set()
    for name in ("scores", "items"):
        if name in raw:
            given = raw[name][raw[name]["missing_reason"] == ""]
            if name == "items":
                right = given.groupby([*test, "student"], as_index=False)["right"].sum()
                given = right.rename(columns={"right": "mark"})
            else:
                given = given.assign(mark=given["share"].fillna(given["points"]))
            same = told_by_group(given, within=test, value="mark")
            told |= set(given.loc[same, test].itertuples(index=False, name=None))
    for name in ("scores", "items"):
        if name in raw:
            kept = [row not in told for row in raw[name][test].itertuples(index=False, name=None)]
            safe.leave_out(f"rows of {name} of groups whose students all have the same mark", kept.count(False))
            raw[name] = raw[name][kept]


def _own_words(raw: dict[str, pd.DataFrame]) -> dict[str, set[str]]:
    """Gather the school's own words of each column, over all tables."""
    found: dict[str, set[str]] = {}
    for name, rows in raw.items():
        for column, how in TREATED[name].items():
            if how in ("label", "code", "group", "choir"):
                words = rows[column].str.split(" ").explode() if column == "pattern" else rows[column]
                found.setdefault(column, set()).update(words)
    return found


def _treated(
    rows: pd.DataFrame, treated: Mapping[str, str], words: dict[str, dict[str, str]], ids: dict[str, str]
) -> pd.DataFrame:
    """Put in the place of each column what may be shared."""
    rows = rows.copy()
    for column, how in treated.items():
        match how:
            case "id":
                rows[column] = rows[column].map(ids)
            case "week":
                rows[column] = pd.to_datetime(_week(rows).replace("", None))
            case "notes":
                notes = {text for text in rows[column].unique() if _are_notes(text)}
                rows[column] = rows[column].where(rows[column].isin(notes), "")
            case "group" | "choir" | "label" | "code":
                rows[column] = rows[column].map(lambda value, of=words[column]: _replaced(value, of))
            case "vocabulary":
                rows[column] = rows[column].where(rows[column].isin(_vocabulary(column)), "")
    return rows[list(treated)]


def _described(table: Table, rows: pd.DataFrame, smallest: int) -> Table:
    """Describe a table as it is after the treatment."""
    treated = TREATED[table.name]
    columns = tuple(_column(column, treated[column.name], rows[column.name], smallest) for column in table.columns
                    if column.name in treated)  # fmt: skip
    return replace(table, columns=columns)


def _column(column: Column, how: str, values: pd.Series, smallest: int) -> Column:
    """Describe one column; the words that are left in it are those that are allowed."""
    meaning = "Study id." if how == "id" else column.meaning
    allowed = column.allowed
    if how in ("label", "code", "choir") and column.name != "pattern":
        allowed = tuple(sorted(set(values) - {""}))
    return replace(
        column, meaning=" ".join(filter(None, (meaning, SAID[how].format(smallest=smallest)))),
        allowed=RESPONSES if column.name == "response" else allowed,
        required=column.required and how not in ("week", "notes", "group"),
    )  # fmt: skip


def _vocabulary(column: str) -> tuple[str, ...]:
    """List the words that a column may hold."""
    own = (of.allowed for table in NORMALISED for of in table.columns if of.name == column and of.allowed)
    return RESPONSES if column == "response" else next(own)


def _week(rows: pd.DataFrame) -> pd.Series:
    """Write the Monday of each date's week; empty where there is no date."""
    dates = pd.to_datetime(rows["date"].replace("", None))
    return (dates - pd.to_timedelta(dates.dt.day_of_week, unit="D")).dt.strftime("%Y-%m-%d").fillna("").astype(object)


def _are_notes(text: str) -> bool:
    """Say whether a text is notes in the kit's own form, so that it can hold no words."""
    try:
        read_notes(text)
    except ValueError:
        return False
    return True


def _replaced(value: str, words: Mapping[str, str]) -> str:
    """Replace a word, or each of several codes with single spaces."""
    return words[value] if value in words else " ".join(words[part] for part in value.split(" "))


def _ordered(rows: pd.DataFrame, name: str) -> pd.DataFrame:
    """Put rows in the order of their own content, so that their order tells nothing; patterns keep that of teaching."""
    return rows if name == "patterns" else rows.sort_values(list(rows.columns), ignore_index=True)
