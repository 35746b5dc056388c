"""Every number of students and tests that a report may tell: of which group, and of which parts it is the sum."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import pandas as pd

from kit.questions.scale import tested

CELL = ["choir", "school", "approach", "pre_form", "post_form", "flow", "more"]
"""What makes the smallest parts that students are counted in."""
FLOW = {(True, True): "both", (True, False): "before only", (False, True): "after only", (False, False): "neither"}
"""Tested before and after -> what that is called."""
TOLD = {
    "both": ("both",), "roster": ("both", "before only", "after only", "neither"),
    "first": ("both", "before only"), "second": ("both", "after only"),
    "lost": ("before only", "after only", "neither"), "not first": ("after only", "neither"),
    "not second": ("before only", "neither"), "before only": ("before only",), "after only": ("after only",),
    "neither": ("neither",),
}  # fmt: skip
"""What is told of a group of students, and of which parts it consists."""
PARTS = ("lost", "not first", "not second", "before only", "after only", "neither")
"""What must not be told of a group where it is small."""
TESTS, MISSED = "tests", "missed later"
"""What else is told of a group, and what must not be: how many tests were taken, and who missed one of the later."""
COST = {"roster": 5.0, "first": 2.0, "second": 2.0, "both": math.inf}
"""What is lost if one of these is rounded, against 1 for the others, for each student of it."""
LEVELS = {"all": 0.1, "approach": 1.0, "form": 1.0}
"""Column that makes groups that are looked at together -> what is lost with a number of one of them."""
TOGETHER = ["approach", "pre_form", "post_form"]
"""Columns whose groups are counted in a report about everybody."""


@dataclass(frozen=True, slots=True)
class Total:
    """One number that may be told: of which group, what, and of which cells it is the sum, each so many times."""

    level: str
    group: str
    told: str
    cells: tuple[int, ...]
    times: tuple[int, ...] = ()


def all_totals(cells: pd.DataFrame) -> list[Total]:
    """List every number that may be told; those that nobody is part of are none."""
    found = _of_group(cells, "all", "")
    for group, rows in cells[cells["approach"] != ""].groupby("approach", sort=True):
        found += _of_group(rows, "approach", str(group))
    for column, parts in (("pre_form", TOLD["first"]), ("post_form", TOLD["second"])):
        sung = cells[(cells[column] != "") & cells["flow"].isin(parts)]
        found += [Total("form", name, column, tuple(rows.index)) for name, rows in sung.groupby(column, sort=True)]
    return [*found, *_tests(cells)]


def _tests(cells: pd.DataFrame) -> Iterator[Total]:
    """List the numbers of tests of approaches and of every two of them, and who missed one beside the two."""
    if not (cells["more"] != "").any():
        return
    sat, of = cells["more"].str.split(" of ", expand=True).astype(int).to_numpy().T
    taken = taken_of(cells)
    names = sorted(set(cells["approach"]) - {""})
    everybody = [("all", set(cells["approach"])), *(("approach", {name}) for name in names)]
    for level, inside in everybody:
        here = cells["approach"].isin(inside).to_numpy() & (sat < of)
        yield Total(level, min(inside), MISSED, tuple(np.flatnonzero(here)))
    for inside in [{name} for name in names] + [{*two} for two in combinations(names, 2)]:
        here = np.flatnonzero(cells["approach"].isin(inside))
        yield Total("approach", min(inside), TESTS, tuple(here), tuple(taken[here]))


def taken_of(cells: pd.DataFrame) -> np.ndarray:
    """Say how many tests each student of a cell took: of the two, and of those beside them (``"1 of 2"``)."""
    beside = cells["more"].str.partition(" of ")[0].replace("", "0").astype(int)
    return (beside + cells["flow"].map({"both": 2, "neither": 0}).fillna(1).astype(int)).to_numpy()


def weights_of(total: Total, cells: int) -> np.ndarray:
    """Say how many times each cell is in a number."""
    found = np.zeros(cells)
    found[list(total.cells)] = total.times or 1
    return found


def _of_group(rows: pd.DataFrame, level: str, group: str) -> list[Total]:
    """List what may be told of one group."""
    inside = {told: tuple(rows.index[rows["flow"].isin(parts)]) for told, parts in TOLD.items()}
    return [Total(level, group, told, cells) for told, cells in inside.items() if cells]


def cost_of(total: Total, size: float) -> float:
    """Say what is lost if a number is rounded."""
    return LEVELS[total.level] * COST.get(total.told, 1.0) * size


def rounded(size: float, step: int) -> int:
    """Round a number of students to the nearest multiple of a step, halves up."""
    return step * math.floor(size / step + 0.5)


def step(size: int, width: int) -> tuple[int, int]:
    """Give the ends between which a number of tests is told: a range of one width around a multiple of it."""
    near = rounded(size, width)
    return max(near - width // 2, 0), near + width // 2 - 1


def sizes_of(pairs: pd.DataFrame, later: Iterable[pd.DataFrame] = ()) -> pd.Series:
    """Count the students of the smallest parts.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    later : iterable of DataFrame, optional
        The same students lined up with each test beside the two; those who sat more of them are another part, as
        ``"1 of 2"``.

    Returns
    -------
    Series of int
        By the columns `CELL`.
    """
    flow = [FLOW[pair] for pair in zip(tested(pairs, "pre"), tested(pairs, "post"), strict=True)]
    sat = [pairs["student"].isin(table.loc[tested(table, "post"), "student"]) for table in later]
    more = [f"{sum(each)} of {len(sat)}" for each in zip(*sat, strict=True)] if sat else ""
    return pairs.assign(flow=flow, more=more)[CELL].astype(str).value_counts(sort=False).sort_index()
