"""Which numbers of students a copy for others must not tell exactly, since small groups would follow from them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from hashlib import sha256

import numpy as np
import pandas as pd

from kit.errors import TooFewError
from kit.questions.scale import tested

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
COST = {"roster": 5.0, "first": 2.0, "second": 2.0, "both": math.inf}
"""What is lost if one of these is rounded, against 1 for the others, for each student of it."""
LEVELS = {"all": 0.1, "approach": 1.0, "form": 1.0}
"""Column that makes groups that are looked at together -> what is lost with a number of one of them."""
TOGETHER = ["approach", "pre_form", "post_form"]
"""Columns whose groups are counted in a report about everybody."""
MANY = 10
"""How many times the smallest group a number is at least that is rounded to twice the smallest group."""
APART = 3
"""How many sizes apart the smallest and the largest lie that a small group can have by all that is told (three: the
absolute minimum of the US Privacy Technical Assistance Center)."""
CELL = ["choir", "school", "approach", "pre_form", "post_form", "flow"]


@dataclass(frozen=True, slots=True)
class Withheld:
    """What a copy must not tell exactly.

    Attributes
    ----------
    ranges : mapping of int to tuple of int
        Number of students that is not told exactly -> the ends between which readers know it.
    hidden : frozenset of str
        Choirs that are not shown by themselves: small ones, and those from which a small one follows.
    exempt : frozenset of str
        Choirs and schools whose own numbers are told exactly where they are shown.
    """

    ranges: Mapping[int, tuple[int, int]] = field(default_factory=dict)
    hidden: frozenset[str] = field(default_factory=frozenset)
    exempt: frozenset[str] = field(default_factory=frozenset)


@dataclass(frozen=True, slots=True)
class _Total:
    """One number that may be told: of which group, what, and of which cells it is the sum."""

    level: str
    group: str
    told: str
    cells: tuple[int, ...]


def withheld(pairs: pd.DataFrame, *, smallest: int, choir: str = "", school: str = "") -> Withheld:
    """Choose what is not told exactly, so that no small group follows from all numbers of students together.

    Counted: every row of `pairs`.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`, of the whole study also where a report is about a part of it: copies of
        several parts can be laid side by side.
    smallest : int
        Students that a shown group needs; 1 for a reader who may know everything.
    choir, school : str, optional
        The part of the study that a report is about; empty for all of it.

    Returns
    -------
    Withheld
        Taken to be told are, of all students and of each approach: how many are on file, were tested at each time,
        both times, once or never; and of each form how many sang it. Each of these with 1 to ``smallest - 1``
        students keeps possible sizes that lie `APART` or more apart. Of schools and choirs, which have reports of
        their own, nothing but those tested both times is told exactly where one of them has such a small part. How
        many were tested both times is told exactly, but of choirs in `Withheld.hidden`.
    """
    if smallest < 2 or pairs.empty:
        return Withheld()
    before, after = tested(pairs, "pre"), tested(pairs, "post")
    flow = [FLOW[pair] for pair in zip(before, after, strict=True)]
    sizes = pairs.assign(flow=flow)[CELL].astype(str).value_counts(sort=False).sort_index()
    return _chosen(tuple(sizes.index), tuple(int(size) for size in sizes), smallest, choir, school)


@lru_cache(maxsize=16)
def _chosen(
    cells: tuple[tuple[str, ...], ...], sizes: tuple[int, ...], smallest: int, choir: str, school: str
) -> Withheld:
    """Choose from the sizes of the smallest parts."""
    table = pd.DataFrame(cells, columns=CELL).assign(size=sizes)
    if choir or school:
        ranges = _own_copy(table, "choir" if choir else "school", choir or school, smallest)
    else:
        together = table.groupby([*TOGETHER, "flow"], as_index=False)["size"].sum()
        ranges = dict(_together(together, smallest))
    hidden = _hidden(table[table["flow"] == "both"], smallest)
    exempt = set() if choir or school else {*table["choir"], *table["school"]} - {""}
    told = {number: ends for number, ends in ranges.items() if number >= smallest}
    return Withheld(told, hidden, frozenset(exempt))


def _together(cells: pd.DataFrame, smallest: int) -> Iterator[tuple[int, tuple[int, int]]]:
    """Give ranges for the numbers of all students, approaches and forms that are not told exactly."""
    # imported here: only a copy for others needs scipy
    from kit.stats.linked_counts import Sums, leave_out  # noqa: PLC0415

    totals = _totals(cells)
    members = np.array([np.isin(np.arange(len(cells)), total.cells) for total in totals], dtype=float)
    truth = members @ cells["size"].to_numpy(dtype=float)
    small = (truth > 0) & (truth < smallest)
    few = small & np.array([total.told in PARTS for total in totals])
    whole = {(one.level, one.group): size for one, size in zip(totals, truth, strict=True) if one.told == "both"}
    both = [0 if one.told in PARTS else whole.get((one.level, one.group), 0) for one in totals]
    known = [_ends(int(size), int(begin), smallest) for size, begin in zip(truth, both, strict=True)]
    low, high = np.array(known, dtype=float).T
    costs = [_cost(total, size) for total, size in zip(totals, truth, strict=True)]
    sums = Sums(members, truth, np.where(small, 0, low), np.where(small, np.inf, high), np.array(costs))
    secrets = np.unique(members[few], axis=0)
    try:
        left = leave_out(sums, secrets, width=np.full(len(secrets), float(APART)), already=small)
    except TooFewError:
        left = np.array([total.told != "both" for total in totals])
    for at in np.flatnonzero(left & ~small):
        if totals[at].told not in _untold(totals[at].level) and truth[at] != both[at]:
            yield int(truth[at]), known[at]


def _untold(level: str) -> tuple[str, ...]:
    """List what no report prints of a group, though it follows from others; a number like it may count anything."""
    return ("not first", "not second") if level == "all" else tuple(part for part in PARTS if part != "lost")


def _own_copy(table: pd.DataFrame, level: str, name: str, smallest: int) -> dict[int, tuple[int, int]]:
    """Give ranges for the numbers of one school or choir: of every one as soon as one of a kind has a small part."""
    wide = table[table[level] != ""].pivot_table(index=level, columns="flow", values="size", aggfunc="sum")
    flows = wide.reindex(columns=list(FLOW.values())).fillna(0)
    told = {what: flows[list(parts)].sum(axis=1) for what, parts in TOLD.items()}
    if not any(told[part].between(1, smallest - 1).any() for part in PARTS):
        return {}
    both = int(told["both"][name])
    begin = {int(sizes[name]): 0 if what in PARTS else both for what, sizes in told.items()}
    return {number: _ends(number, low, smallest) for number, low in begin.items() if number != both}


def _hidden(twice: pd.DataFrame, smallest: int) -> frozenset[str]:
    """Choose the choirs that are not shown by themselves, by how many were tested both times."""
    from kit.stats.linked_counts import Sums, leave_out  # noqa: PLC0415

    both = twice.groupby(["choir", "school", "approach"], as_index=False)["size"].sum()
    names = [("choir", name) for name in sorted(set(both["choir"]) - {""})]
    margins = [(level, name) for level in ("school", "approach") for name in sorted(set(both[level]) - {""})]
    members = np.array([*((both[level] == name) for level, name in names + margins), np.ones(len(both))], dtype=float)
    truth = members @ both["size"].to_numpy(dtype=float)
    alone = np.arange(len(truth)) < len(names)
    small = alone & (truth > 0) & (truth < smallest)
    sums = Sums(members, truth, 0 * truth, np.full(len(truth), np.inf), np.where(alone, truth, np.inf))
    try:
        left = leave_out(sums, members[small], width=np.full(small.sum(), float(smallest)), already=small)
    except TooFewError:
        left = alone
    return frozenset(name for (_, name), out in zip(names, left[: len(names)], strict=True) if out)


def released(pairs: pd.DataFrame) -> tuple[dict[str, int], str]:
    """Count what a copy is about, and take a fingerprint of its marks, for the record of what was given out.

    Counted: every row of `pairs`.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.

    Returns
    -------
    numbers : dict
        ``students``, ``before``, ``after``, ``both``.
    marks : str
        The same for the same marks in any order.
    """
    before, after = tested(pairs, "pre"), tested(pairs, "post")
    numbers = {"students": len(pairs), "before": before.sum(), "after": after.sum(), "both": (before & after).sum()}
    columns = ["pre_points", "pre_share", "post_points", "post_share"]
    lines = sorted(pairs[columns].astype("float64").round(6).to_csv(header=False, index=False).splitlines())
    return {name: int(number) for name, number in numbers.items()}, sha256("\n".join(lines).encode()).hexdigest()[:16]


def rounded(size: float, step: int) -> int:
    """Round a number of students to the nearest multiple of a step, halves up."""
    return step * math.floor(size / step + 0.5)


def _ends(size: int, begin: int, smallest: int) -> tuple[int, int]:
    """Give the ends between which a number is told.

    A large one is rounded. Ranges for others begin at those tested both times, so that how many more there are is known
    to lie in a range of one width, and no better.
    """
    if size >= MANY * smallest:
        near = rounded(size, 2 * smallest)
        return near - smallest, near + smallest - 1
    low = begin + (size - begin) // smallest * smallest
    return low, low + smallest - 1


def _totals(cells: pd.DataFrame) -> list[_Total]:
    """List every number that may be told; those that nobody is part of are none."""
    found = _of_group(cells, "all", "")
    for group, rows in cells[cells["approach"] != ""].groupby("approach", sort=True):
        found += _of_group(rows, "approach", str(group))
    for column, parts in (("pre_form", TOLD["first"]), ("post_form", TOLD["second"])):
        sung = cells[(cells[column] != "") & cells["flow"].isin(parts)]
        found += [_Total("form", name, column, tuple(rows.index)) for name, rows in sung.groupby(column, sort=True)]
    return found


def _of_group(rows: pd.DataFrame, level: str, group: str) -> list[_Total]:
    """List what may be told of one group."""
    inside = {told: tuple(rows.index[rows["flow"].isin(parts)]) for told, parts in TOLD.items()}
    return [_Total(level, group, told, cells) for told, cells in inside.items() if cells]


def _cost(total: _Total, size: float) -> float:
    """Say what is lost if a number is rounded."""
    return LEVELS[total.level] * COST.get(total.told, 1.0) * size
