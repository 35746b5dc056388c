"""Tables of the grant report: the program in its own words, its logic model, targets, costs, numbers for pooling."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import zip_longest
from typing import Protocol

import pandas as pd

from kit.estimate import Estimate
from kit.report.numbers import bare, interval_cell, value_cell
from kit.report.trace import escape_formulas

MET = {
    "met": "met: the whole range lies above the target",
    "not met": "not met: the whole range lies below the target",
    "too close to call": "too close to call: the range holds the target",
    "not measured": "not measured",
}
ASPECTS = {
    "name": "Name", "why": "Why", "what": "What", "who": "Who provides it", "how_much": "How much",
    "where": "Where", "adaptations": "What was changed on the way", "lessons": "What was learned",
    "standards": "Codes of standards",
}  # fmt: skip
"""Field of the program -> what is asked, in the order of a description of an intervention."""
MODEL = {"inputs": "What goes in", "activities": "What is done", "outputs": "What comes of it at once",
         "outcomes": "What it is for"}  # fmt: skip


class Target(Protocol):
    """A promise; see ``kit.questions.targets.Target``."""

    says: str
    students: float
    reach: float
    test: str


class Outcome(Protocol):
    """A promise beside what was reached; see ``kit.questions.targets.Outcome``."""

    target: Target
    actual: object
    met: str


class Program(Protocol):
    """The program in the words of those who run it; see ``kit.purpose.Program``."""

    currency: str
    costs: Sequence


def program_table(program: Program) -> pd.DataFrame:
    """Lay out what study.toml says of the program; no row where nothing is said.

    Parameters
    ----------
    program : Program
        From the study file.

    Returns
    -------
    DataFrame
        Columns Asked, Said.
    """
    rows = [(asked, getattr(program, field)) for field, asked in ASPECTS.items() if getattr(program, field)]
    return pd.DataFrame(rows, columns=["Asked", "Said"])


def logic_model_table(program: Program) -> pd.DataFrame:
    """Lay the logic model out, one column for each step.

    Parameters
    ----------
    program : Program
        From the study file.

    Returns
    -------
    DataFrame
        No row where nothing is said.
    """
    columns = [getattr(program, field) for field in MODEL]
    return pd.DataFrame(list(zip_longest(*columns, fillvalue="")), columns=list(MODEL.values()))


def costs_table(program: Program) -> pd.DataFrame:
    """Lay out costs as they were entered, with their sum.

    Parameters
    ----------
    program : Program
        From the study file.

    Returns
    -------
    DataFrame
        No row where none were entered.
    """
    heading = f"Amount ({program.currency})" if program.currency else "Amount"
    rows = [(cost.what, f"{cost.amount:,.2f}") for cost in program.costs]
    if rows:
        rows.append(("Together", f"{sum(cost.amount for cost in program.costs):,.2f}"))
    return pd.DataFrame(rows, columns=["What", heading])


def targets_table(outcomes: Sequence[Outcome], *, hide: Callable[[Estimate], bool] = lambda _: False) -> pd.DataFrame:
    """Lay out target beside actual.

    Parameters
    ----------
    outcomes : sequence of Outcome
        From ``kit.questions.targets.targets``.
    hide : callable, optional
        Says of an estimate whether this audience must not see it.

    Returns
    -------
    DataFrame
        Columns Promised, Target, Reached, Interval, Students, Settled.
    """
    rows = []
    for one in outcomes:
        known = isinstance(one.actual, Estimate)
        actual = one.actual if known and not hide(one.actual) else None
        rows.append((
            one.target.says, f"{100 * one.target.students:g} %",
            value_cell(actual) if actual else "", interval_cell(actual) if actual else "",
            str(actual.n) if actual else "", MET[one.met].partition(":")[0] if actual or not known else "not shown",
        ))  # fmt: skip
    return pd.DataFrame(rows, columns=["Promised", "Target", "Reached", "Interval", "Students", "Settled"])


def shown_cells(cells: pd.DataFrame, *, smallest: int) -> pd.DataFrame:
    """Keep the numbers for pooling that an audience may see: all approaches, or none where one has too few students.

    Beyond the school means and standard deviations have two decimals, or as many in percent: all digits would make
    the total of marks exact, and with it what is left when other totals are taken off.

    Parameters
    ----------
    cells : DataFrame
        From ``kit.questions.cells.cells``.
    smallest : int
        Students that a shown group needs; with one approach hidden the others and the total would give it away.

    Returns
    -------
    DataFrame
    """
    if smallest == 1 or (cells["n"] < smallest).any():
        return cells if smallest == 1 else cells.iloc[:0]
    columns = [name for name in cells if name.startswith(("mean_", "sd_"))]
    whole = 10.0 ** cells["unit"].map({"share": 4}).fillna(2).to_numpy()[:, None]
    return cells.assign(**(cells[columns].astype(float).mul(whole).round() / whole))


def cells_files(cells: pd.DataFrame) -> dict[str, str]:
    """Write the numbers for pooling with all digits, as a file beside the page.

    Parameters
    ----------
    cells : DataFrame
        From `shown_cells`.

    Returns
    -------
    dict of str to str
        No file where there is no row.
    """
    return {"pooling.csv": escape_formulas(cells).to_csv(index=False, lineterminator="\n")} if len(cells) else {}


def cells_table(cells: pd.DataFrame) -> pd.DataFrame:
    """Lay out the numbers that a later pooling of studies needs, rounded for print.

    Parameters
    ----------
    cells : DataFrame
        From ``kit.questions.cells.cells``.

    Returns
    -------
    DataFrame
        Empty where there is nothing to pool.
    """
    if cells.empty:
        return pd.DataFrame()
    unit = cells["unit"].iloc[0]

    def written(column: str, kind: str) -> pd.Series:
        return cells[column].map(lambda value: "" if pd.isna(value) else bare(value, kind))

    # a column for each approach: there are few of those, and many numbers
    return pd.DataFrame({
        "What": cells["approach"].replace("", "not named"), "Choirs": cells["choirs"].astype(str),
        "Students": cells["n"].astype(str),
        "Mean, first test": written("mean_first", unit), "SD, first test": written("sd_first", unit),
        "Mean, second test": written("mean_second", unit), "SD, second test": written("sd_second", unit),
        "Correlation of both tests": written("correlation", "correlation"),
        "Likeness inside choirs, first test": written("between_choirs_first", "correlation"),
        "Likeness inside choirs, second test": written("between_choirs_second", "correlation"),
    }).set_index("What").T.rename_axis(index="What", columns=None).reset_index()  # fmt: skip
