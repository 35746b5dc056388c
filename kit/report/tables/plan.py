"""The tables and the caption of the planning workbench: a plan's numbers laid out, with what must stand below them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import pandas as pd

from kit.estimate import Estimate
from kit.report.numbers import interval_cell, show, value_cell
from kit.report.phrases import people
from kit.report.said import Caption
from kit.report.trace import cited

TESTS = {False: "Without a first test", True: "With a first test"}


class Plan(Protocol):
    """What a plan must tell; see ``kit.questions.plans.Plan``."""

    choirs: int
    students: int
    correlation: float
    alike: tuple[float, ...]
    difference: float
    power: float
    level: float
    from_study: tuple[str, ...]


class Grid(Protocol):
    """Rows and their numbers; see ``kit.questions.planning.Grid``."""

    rows: pd.DataFrame
    estimates: Sequence[Estimate]


def grid_table(grid: Grid) -> pd.DataFrame:
    """Lay a grid out for print: a row for each share between choirs, a column without and one with a first test.

    Parameters
    ----------
    grid : Grid
        From ``kit.questions.planning``.

    Returns
    -------
    DataFrame
    """
    numbers = iter(grid.estimates)
    cells = ["too few choirs" if row.why else _cell(next(numbers)) for row in grid.rows.itertuples()]
    told = grid.rows.assign(cell=cells, column=grid.rows["first_test"].map(TESTS))
    wide = told.pivot_table(index="alike", columns="column", values="cell", aggfunc="first", sort=False)
    between = [f"{100 * alike:g} %" for alike in wide.index]
    wide.insert(0, "Variance between choirs", between)
    return wide[["Variance between choirs", *TESTS.values()]].reset_index(drop=True)


def grid_notes(grid: Grid) -> list[str]:
    """Give what must be printed with the numbers of a grid: their notes, why some are missing, and the texts.

    Parameters
    ----------
    grid : Grid
        From ``kit.questions.planning``.

    Returns
    -------
    list of str
    """
    notes = dict.fromkeys(note for one in grid.estimates for note in one.notes)
    reasons = dict.fromkeys(why for why in grid.rows["why"] if why)
    return [*notes, *reasons, *([f"Sources: {cited(grid.estimates)}."] if grid.estimates else [])]


def choirs_caption(grid: Grid, plan: Plan) -> Caption:
    """Describe the picture of sizes against the number of choirs.

    Parameters
    ----------
    grid : Grid
        From ``kit.questions.planning.by_number_of_choirs``.
    plan : Plan
        The plan.

    Returns
    -------
    Caption
    """
    told = [
        f"{100 * alike:g} percent between choirs: "
        + ", ".join(f"{row.choirs} choirs {show(row.value, 'SD')}" for row in rows.itertuples())
        for alike, rows in grid.rows.groupby("alike", sort=True)
    ]
    return Caption(
        "Smallest difference that would probably be seen, by number of choirs",
        f"Lines that fall steeply at first and then flatten. {'; '.join(told)}. An upright line marks "
        f"{people(plan.choirs, 'choir')}.",
        "Filled marks: adjusted for a first test. Hollow marks: too few choirs for that.",
    )


def few_choirs_table(simulated: pd.DataFrame, *, alike: float = 0.1) -> pd.DataFrame:
    """Lay out how often each way to compare few choirs is wrong, and how often its interval holds the truth.

    Parameters
    ----------
    simulated : DataFrame
        From ``kit.questions.few_choirs.simulated``.
    alike : float, optional
        Share of the variance between choirs, one of those simulated.

    Returns
    -------
    DataFrame
        A row for each number of choirs, with the program and in all, and kind of sizes; a column for each way, in
        percent: a line for wrong, a line for held.
    """
    chosen = simulated[simulated["alike"] == alike]
    told = chosen.assign(
        cell=[
            f"{_tested(row, row.false_positives, 'wrong')}\n{100 * row.covered:.1f} % held"
            for row in chosen.itertuples()
        ],
        Choirs=[
            f"{row.choirs}, {row.sizes} sizes"
            + ("" if 2 * row.program == row.choirs else f", {row.program} with the program")
            for row in chosen.itertuples()
        ],
    )  # fmt: skip
    wide = told.pivot_table(index="Choirs", columns="way", values="cell", aggfunc="first", sort=False)
    return wide.rename_axis(columns=None).reset_index()


FEW_CHOIRS_NOTES = (
    "Wrong: how often a test at 5 % finds a difference where there is none. Held: how often a 95 % interval holds the "
    "truth. 2,000 simulated studies a row with normal scores and 10 % of the variance between choirs; each number may "
    "lie 1 percentage point off by chance. Of the mixed model drawn anew, which fits 999 drawings of each study, there "
    "are 500 studies, and its numbers may lie 2 to 3 points off.",
    "Unequal sizes: half of the choirs have 10 students, the others 40. Half of the choirs have the program where "
    "nothing else is said. Of fewer than 6 choirs the kit makes no test.",
    "Wild: all patterns of signs, or 9,999 draws where there are more. Shuffled: all ways to deal out the approaches; "
    "where these are fewer than 20 none can come out below 5 %, however large.",
)


def districts_table(simulated: pd.DataFrame) -> pd.DataFrame:
    """Lay out what each way to compare approaches makes of the invented district, drawn again and again.

    Parameters
    ----------
    simulated : DataFrame
        From ``kit.questions.few_choirs.simulated_districts``.

    Returns
    -------
    DataFrame
        A row for each number of choirs and outcome; a column for each way, in percent: differences found, truth held.
    """
    told = simulated.assign(
        cell=[_found_and_held(row) for row in simulated.itertuples()],
        What=[f"{row.outcome}, {row.choirs} choirs, truth {row.truth:.2f} points" for row in simulated.itertuples()],
    )
    wide = told.pivot_table(index="What", columns="way", values="cell", aggfunc="first", sort=False)
    return wide.rename_axis(columns=None).reset_index()


def _found_and_held(row: object) -> str:
    """Write how often a way finds a difference and how often its interval holds the truth."""
    held = "" if pd.isna(row.covered) else f"\n{100 * row.covered:.1f} % held"
    return _tested(row, row.positives, "found") + held


def _tested(row: object, share: float, word: str) -> str:
    """Write a share of those that gave a p-value, and how many did where it is not all of them."""
    if row.tested < row.draws / 2:
        return "p mostly withheld"
    of = "" if row.tested == row.draws else f" of {100 * row.tested / row.draws:.0f} % tested"
    return f"{100 * share:.1f} % {word}{of}"


DISTRICTS_NOTES = (
    "Found: how often a test at 5 % finds a difference: for rhythm, where there is none, it should be about 5 %. Held: "
    "how often a 95 % interval holds the truth. 2,000 districts a row: lots inside schools, choirs, singers, days, "
    "notes, marks and absences drawn anew; each number may lie 1 percentage point off by chance.",
    "With 6 choirs in 2 schools there are 9 ways to deal out the approaches, so shuffling cannot come out below 5 %.",
    "Reports hold schools apart in districts like these, where schools give different shares of their choirs to the "
    "approaches, as soon as 4 degrees of freedom remain (from 12 choirs here); by choir means below 20 choirs, by CR2 "
    "from there on.",
)


def _cell(estimate: Estimate) -> str:
    """Write a number of a grid, with its interval where it has one."""
    ends = f" ({interval_cell(estimate)})" if estimate.interval else ""
    return f"{value_cell(estimate)}{ends}"
