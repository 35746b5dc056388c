"""The key numbers for R: a script beside the page, and the tables from which it computes them again."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Protocol

import pandas as pd

from kit.estimate import Estimate
from kit.plaintext import escape_formula
from kit.report.attached import attached
from kit.report.committee.numbers import (
    IGNORED,
    SHUFFLED,
    SHUFFLED_AGAIN,
    WAYS,
    Key,
    Page,
    Primary,
    Repeated,
    Sensitivity,
    TwoModels,
    key_numbers,
)
from kit.report.layout import Shown, text
from kit.report.phrases import people
from kit.report.privacy import smallest_group
from kit.report.trace import escape_formulas

SCRIPT = Path(__file__).parents[1] / "template" / "committee.R"
TABLES = ("numbers", "settings", "choirs", "students", "melodies")
FILES = ("committee.R", *(f"committee_{name}.csv" for name in TABLES))
"""Everything that may lie beside a page."""
SMALL = "a choir is too small to be shown in this copy, or all its students have the same mark"
ONLY_STUDENTS = "its range needs single students, which this copy does not hold"
AS_IT_STANDS = "it does not follow from means, deviations or t of two groups, so R takes it as it stands"
FEW_SINGERS = "too few students sang this test for this copy"
OF_CHOIRS = ("difference", "difference by gains", "difference adjusted", SHUFFLED, *WAYS, SHUFFLED_AGAIN, IGNORED,
             "size in SD", "prediction for ours", "ours less original", "ours over original")  # fmt: skip
"""Numbers that need choirs or students."""
OF_ONE_METHOD = OF_CHOIRS[:3]
"""Numbers computed by the method that the design calls for."""


class Tables(Protocol):
    """Tables for computing again; see ``kit.questions.recompute.Recompute``."""

    students: pd.DataFrame
    choirs: pd.DataFrame
    melodies: pd.DataFrame
    smallest: int
    all_alike: bool
    units: Collection[str]
    approaches: Sequence[str]
    unit: str
    printed: Mapping[str, float]


def committee_files(
    page: Page, tables: Tables, keys: Sequence[Key], *, main: Primary, repeated: Repeated | None = None
) -> tuple[dict[str, str], list[Key]]:  # fmt: skip
    """Write the script and its tables, as far as an audience may see them.

    Parameters
    ----------
    page : Page
        The report: single students stand only in a teacher's copy, choirs only where none of them is hidden.
    tables : Tables
        From ``kit.questions.recompute.recompute``.
    keys : sequence of Key
        From `key_numbers`.
    main : Primary
        The main answer: its model and method, and whether schools are held apart.
    repeated : Repeated, optional
        The original and ours.

    Returns
    -------
    files : dict of str to str
        Name -> content; none where no number can be computed again.
    keys : list of Key
        With the reason beside each number that cannot be computed again from this copy.
    """
    if not keys:
        return {}, []
    least = smallest_group(page.audience)
    singly = least == 1
    small = tables.smallest < least or tables.all_alike or bool(set(tables.units) & set(page.hidden))
    shown = len(tables.choirs) > 0 and (singly or not small)
    # a covariance has the number of students in its digits
    sung = tables.melodies["students"]
    melodies = tables.melodies[(sung >= least) & ~sung.isin(page.rounding.numbers)]
    options = {"shown": shown, "singly": singly, "method": main.method, "printed": bool(tables.printed)}
    told = [_with_reason(key, **options, sung=set(melodies["test"])) for key in keys]
    if all(key.why_not for key in told):
        return {}, told
    written = {
        "numbers": pd.DataFrame([(k.number, k.part, k.ours, k.label, k.why_not) for k in told],
                                columns=["number", "part", "ours", "label", "why_not"]),
        "settings": _settings(main, page.level, tables, repeated, told),
        **({"choirs": tables.choirs} if shown else {}),
        **({"students": tables.students} if singly and len(tables.students) else {}),
        **({"melodies": melodies} if len(melodies) else {}),
    }  # fmt: skip
    files = {f"committee_{name}.csv": _csv(table) for name, table in written.items()}
    return {"committee.R": SCRIPT.read_text(encoding="utf-8"), **files}, told


def _with_reason(key: Key, *, shown: bool, singly: bool, method: str, sung: set[str], printed: bool) -> Key:
    """Say why a number cannot be computed again, if so."""
    of_test = key.number.removeprefix("alpha: ")
    if key.number in OF_CHOIRS and not shown:
        return replace(key, why_not=SMALL)
    alone = key.number == IGNORED or (key.number in OF_ONE_METHOD and method == "students")
    if alone and not singly and key.part != "value":
        return replace(key, why_not=ONLY_STUDENTS)
    if key.number == "original" and not printed:
        return replace(key, why_not=AS_IT_STANDS)
    if key.number != of_test and not key.why_not and of_test not in map(escape_formula, sung):
        return replace(key, why_not=FEW_SINGERS)
    return key


def _settings(
    main: Primary, level: float, tables: Tables, repeated: Repeated | None, keys: Sequence[Key]
) -> pd.DataFrame:  # fmt: skip
    """Write how the numbers were computed, one setting a line."""
    rows: list[tuple[str, object]] = [
        ("model", main.model), ("method", main.method), ("schools", main.schools or "as they are"), ("level", level),
        ("unit", tables.unit),
        *zip(("program", "comparison"), tables.approaches, strict=False),
        *{f"draws: {key.number}": key.draws for key in keys if key.draws}.items(),
    ]  # fmt: skip
    size = getattr(getattr(repeated, "knowing_choirs", None), "original", None)
    if tables.printed:
        rows += [("original", "as printed"), *tables.printed.items()]
    elif size is not None:
        rows += [("original", "as given"), ("original_value", size.value), ("original_error", size.error)]
    return pd.DataFrame([(name, str(value)) for name, value in rows], columns=["setting", "value"])


def _csv(table: pd.DataFrame) -> str:
    """Write a table with every digit."""
    return escape_formulas(table).to_csv(index=False, lineterminator="\n")


def committee(
    page: Page, tables: Tables, main: Primary, *, both: TwoModels, size: Estimate | None, ways: Sensitivity,
    repeated: Repeated | None = None, reliability: Iterable[Estimate] = (),
) -> Shown:  # fmt: skip
    """Say on the page what lies beside it for R, and hand the files over.

    Parameters
    ----------
    page : Page
        The report: its audience and level.
    tables, main, both, size, ways, repeated, reliability
        As for `committee_files` and `key_numbers`.

    Returns
    -------
    Shown
    """
    options = {"both": both, "size": size, "ways": ways, "repeated": repeated, "reliability": reliability}
    keys = key_numbers(page, main, **options)
    files, told = committee_files(page, tables, keys, main=main, repeated=repeated)
    said = text(sentences(files, told))
    return attached(said, files=files)


def sentences(files: Mapping[str, str], keys: Sequence[Key]) -> list[str]:
    """Say what lies beside the page for R.

    Parameters
    ----------
    files, keys
        From `committee_files`.

    Returns
    -------
    list of str
    """
    missing = [key for key in keys if key.why_not]
    why = "; ".join(dict.fromkeys(key.why_not for key in missing))
    if not keys:
        return ["No two approaches are compared, so there is no number that a script for R could compute again."]
    if not files:
        return [f"No number of this copy can be computed again by a script for R: {why}."]
    told = [
        "Beside this page lies committee.R, a script for the statistics program R, with the tables it reads. It "
        f"computes {people(len(keys) - len(missing), 'number')} of this report again with formulas written out in it, "
        "prints each beside ours and stops with an error where two of them differ. It is run with: Rscript committee.R."
    ]
    drawn = [key for key in keys if key.draws not in ("", "all") and key.part != "value" and not key.why_not]
    if drawn:
        told.append(
            f"Behind {people(len(drawn), 'number')} of these lie chance draws, made again in R; there the two count as "
            "the same within five standard errors of drawing."
        )
    if missing:
        told.append(f"It cannot compute {people(len(missing), 'number')} from this copy: {why}.")
    if "committee_students.csv" in files:
        told.append(
            "The table committee_students.csv has a line for each student, so this copy must not leave the school."
        )
    return told
