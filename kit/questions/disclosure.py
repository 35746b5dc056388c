"""Which numbers of students a copy for others must not tell exactly, since small groups would follow from them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from hashlib import sha256
from itertools import product

import numpy as np
import pandas as pd

from kit.errors import TooFewError
from kit.questions.hidden_groups import hidden_approaches, hidden_groups, is_refused
from kit.questions.scale import tested
from kit.questions.told_averages import hidden_averages
from kit.questions.told_totals import (
    CELL,
    FLOW,
    MISSED,
    PARTS,
    TESTS,
    TOGETHER,
    TOLD,
    Total,
    all_totals,
    cost_of,
    rounded,
    sizes_of,
    step,
    taken_of,
    weights_of,
)  # fmt: skip

MANY = 10
"""How many times the smallest group a number is at least that is rounded to twice the smallest group."""
APART = 3
"""How many sizes apart the smallest and the largest lie that a small group can have by all that is told (three: the
absolute minimum of the US Privacy Technical Assistance Center)."""
LIMITS = frozenset({"worst case", "best case"})
"""What a difference would be if all missing marks were as bad or as good as can be."""
REASONS = ("not first", "not second")
"""What the reasons for missing marks of all students add up to, test by test."""
WIDER = (1, 2, 4)
"""How many times as wide the ranges of numbers of students are made, until no small group follows from them."""
FEWER = 5
"""How many times the ranges of numbers of tests are made twice as wide, until no small group follows from them."""


@dataclass(frozen=True, slots=True)
class Withheld:
    """What a copy must not tell exactly.

    Attributes
    ----------
    ranges : mapping of int to tuple of int
        Number of students that is not told exactly -> the ends between which readers know it.
    hidden : frozenset of str
        Choirs, schools and approaches that are not shown by themselves; see `kit.questions.hidden_groups`. `LIMITS`
        where few students of an approach have one of both marks.
    exempt : frozenset of str
        Choirs and schools whose own numbers are told exactly where they are shown.
    tests : int
        Width of the ranges by which numbers of tests are told; 0 where they are told exactly.
    few : bool
        Whether fewer students of a choir have both marks than a shown group needs.
    """

    ranges: Mapping[int, tuple[int, int]] = field(default_factory=dict)
    hidden: frozenset[str] = field(default_factory=frozenset)
    exempt: frozenset[str] = field(default_factory=frozenset)
    tests: int = 0
    few: bool = False


def withheld(
    pairs: pd.DataFrame, *, smallest: int, choir: str = "", school: str = "", later: Iterable[pd.DataFrame] = ()
) -> Withheld:
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
    later : iterable of DataFrame, optional
        The same students lined up with each test beside the two, as its second.

    Returns
    -------
    Withheld
        Taken to be told are, of all students and of each approach: how many are on file, were tested at each time,
        both times, once or never; and of each form how many sang it. Each of these with 1 to ``smallest - 1``
        students keeps possible sizes that lie `APART` or more apart. Of schools and choirs, which have reports of
        their own, nothing but those tested both times is told exactly where one of them has such a small part. How
        many were tested both times is told exactly, but of choirs in `Withheld.hidden`. Numbers of tests are told by
        ranges, so that nobody knows how many missed a later test where they are few.
    """
    if smallest < 2 or pairs.empty:
        return Withheld()
    sizes = sizes_of(pairs, later)
    twice = pairs.loc[tested(pairs, "pre") & tested(pairs, "post") & (pairs["choir"] != ""), "choir"].value_counts()
    found = _chosen(tuple(sizes.index), tuple(int(size) for size in sizes), smallest, choir, school)
    return replace(found, few=bool((twice < smallest).any()))


def refused(pairs: pd.DataFrame, *, smallest: int, choir: str = "", school: str = "") -> bool:
    """Say whether no copy about one choir or school may be made, since it or one that follows from it is too small.

    Counted: every row of `pairs`.

    Parameters
    ----------
    pairs, smallest, choir, school
        As for `withheld`.

    Returns
    -------
    bool
    """
    if smallest < 2 or pairs.empty or not (choir or school):
        return False
    table = sizes_of(pairs).rename("size").reset_index()
    return is_refused(table, _hidden(table, smallest), smallest, choir=choir, school=school)


@lru_cache(maxsize=16)
def _chosen(
    cells: tuple[tuple[str, ...], ...], sizes: tuple[int, ...], smallest: int, choir: str, school: str
) -> Withheld:
    """Choose from the sizes of the smallest parts."""
    table = pd.DataFrame(cells, columns=CELL).assign(size=sizes)
    here = table[((table["choir"] == choir) | (not choir)) & ((table["school"] == school) | (not school))]
    if choir or school:
        ranges = _own_copy(table, "choir" if choir else "school", choir or school, smallest)
        width = _own_width(here, smallest)
    else:
        together = table.groupby([*TOGETHER, "flow", "more"], as_index=False)["size"].sum()
        ranges, width = _together(together, smallest)
    hidden = _hidden(table, smallest) | hidden_approaches(_counted(here), smallest)
    hidden |= LIMITS if _few_lost(here, smallest) else frozenset()
    exempt = set() if choir or school else {*table["choir"], *table["school"]} - {""}
    told = {number: ends for number, ends in ranges.items() if number >= smallest}
    return Withheld(told, hidden, frozenset(exempt), width)


def _hidden(table: pd.DataFrame, smallest: int) -> frozenset[str]:
    """Choose the choirs, schools and approaches that are not shown by themselves in any copy."""
    counted = _counted(table)
    return hidden_averages(counted, hidden_groups(counted, smallest), smallest)


def _few_lost(here: pd.DataFrame, smallest: int) -> bool:
    """Say whether an approach has few students with one mark: how far a difference moves with theirs tells how many."""
    once = here[here["flow"].isin(("before only", "after only")) & (here["approach"] != "")]
    return bool(once.groupby("approach")["size"].sum().between(1, smallest - 1).any())


def _counted(table: pd.DataFrame) -> pd.DataFrame:
    """Take those tested both times; in a study of one test everybody."""
    twice = table[table["flow"] == "both"]
    return twice if twice["size"].sum() else table


def _together(cells: pd.DataFrame, smallest: int) -> tuple[dict[int, tuple[int, int]], int]:
    """Give ranges for the numbers of all students, approaches and forms that are not told exactly, and of tests."""
    totals = all_totals(cells)
    members = np.array([weights_of(total, len(cells)) for total in totals])
    truth = members @ cells["size"].to_numpy(dtype=float)
    small = (truth > 0) & (truth < smallest)
    whole = {(one.level, one.group): size for one, size in zip(totals, truth, strict=True) if one.told == "both"}
    both = [0 if one.told in PARTS else whole.get((one.level, one.group), 0) for one in totals]
    begins = _begins(zip(truth, both, strict=True))
    for wide, width in product(WIDER, 2 * smallest * 2 ** np.arange(FEWER)):
        known = [
            step(int(size), width) if one.told == TESTS else _told(int(size), begins[int(size)], wide * smallest)
            for one, size in zip(totals, truth, strict=True)
        ]
        if (left := _left_out(totals, members, truth, known, smallest)) is not None:
            break
    else:
        left = np.array([total.told != "both" for total in totals])
    return {
        int(truth[at]): known[at] for at in np.flatnonzero(left & ~small)
        if totals[at].told not in _untold(totals[at].level) and truth[at] != both[at]
    }, int(width)  # fmt: skip


def _left_out(
    totals: list[Total], members: np.ndarray, truth: np.ndarray, known: list[tuple[int, int]], smallest: int
) -> np.ndarray | None:
    """Choose the numbers that are not told exactly; None where none of them would help."""
    # imported here: only a copy for others needs scipy
    from kit.stats.linked_counts import Sums, leave_out  # noqa: PLC0415

    low, high = np.array(known, dtype=float).T
    small, tests = (truth > 0) & (truth < smallest), np.array([total.told == TESTS for total in totals])
    untold = small & ~tests | np.array([total.told == MISSED for total in totals])
    # reasons for missing marks are told exactly or not at all
    open_ = untold | np.array([total.told in REASONS for total in totals])
    costs = [cost_of(total, size) for total, size in zip(totals, truth, strict=True)]
    sums = Sums(members, truth, np.where(open_, 0, low), np.where(open_, np.inf, high), np.array(costs))
    secrets = np.unique(members[small & np.array([total.told in (*PARTS, MISSED) for total in totals])], axis=0)
    try:
        return leave_out(sums, secrets, width=np.full(len(secrets), float(APART)), already=untold | tests)
    except TooFewError:
        return None


def _untold(level: str) -> tuple[str, ...]:
    """List what no report prints of a group, though it follows from others; a number like it may count anything."""
    parts = () if level == "all" else tuple(part for part in PARTS if part != "lost")
    return (*parts, TESTS, MISSED)


def _own_copy(table: pd.DataFrame, level: str, name: str, smallest: int) -> dict[int, tuple[int, int]]:
    """Give ranges for the numbers of one school or choir: of every one as soon as one of a kind has a small part."""
    wide = table[table[level] != ""].pivot_table(index=level, columns="flow", values="size", aggfunc="sum")
    flows = wide.reindex(columns=list(FLOW.values())).fillna(0)
    told = {what: flows[list(parts)].sum(axis=1) for what, parts in TOLD.items()}
    if not any(told[part].between(1, smallest - 1).any() for part in PARTS):
        return {}
    both = int(told["both"][name])
    begins = _begins((sizes[name], 0 if what in PARTS else both) for what, sizes in told.items())
    return {number: _ends(number, begin, smallest) for number, begin in begins.items() if number != both}


def _begins(sizes: Iterable[tuple[float, float]]) -> dict[int, int]:
    """Say from where the range of each number is counted: it is told in one way, whatever counts that many.

    From the highest number below it that readers know to be part of what it counts, or they would know better.
    """
    begins: dict[int, int] = {}
    for size, begin in sizes:
        begins[int(size)] = max(begins.get(int(size), 0), int(begin) if begin < size else 0)
    return begins


def _own_width(here: pd.DataFrame, smallest: int) -> int:
    """Give the width of the ranges of tests of one school or choir: so wide that few missed tests are not known."""
    groups = [here, *(rows for _, rows in here.groupby("approach"))]
    taken = [(int((taken_of(rows) * rows["size"]).sum()), rows) for rows in groups]
    most = [int(rows["size"].sum()) * (2 + int(rows["more"].str.partition(" of ")[2].replace("", "0").max()))
            for _, rows in taken]  # fmt: skip
    widths = 2 * smallest * 2 ** np.arange(FEWER)
    enough = [width for width in widths if all(
        top in (size, 0) or top - step(size, width)[0] >= APART for top, (size, _) in zip(most, taken, strict=True)
    )]  # fmt: skip
    return int((enough or widths)[0])


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


def _told(size: int, begin: int, smallest: int) -> tuple[int, int]:
    """Give the ends between which a number is told that is solved with all others: a large one is rounded."""
    if size < MANY * smallest:
        return _ends(size, begin, smallest)
    near = rounded(size, 2 * smallest)
    return near - smallest, near + smallest - 1


def _ends(size: int, begin: int, smallest: int) -> tuple[int, int]:
    """Give the ends between which a number is told.

    Ranges begin at those tested both times, so that how many more there are is known to lie in a range of one width,
    and no better.
    """
    low = begin + (size - begin) // smallest * smallest
    return low, low + smallest - 1
