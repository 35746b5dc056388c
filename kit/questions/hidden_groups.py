"""Which choirs, schools and approaches are not shown by themselves: small ones, and those that would tell of them."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
import pandas as pd

from kit.errors import TooFewError

OURS = ("ours", "original and ours")
"""How the two approaches are called beside another study, without their names."""
ALONE = ("choir", "school")
"""Columns whose groups have copies of their own."""


def hidden_groups(groups: pd.DataFrame, smallest: int) -> frozenset[str]:
    """Choose the choirs, schools and approaches that are not shown by themselves.

    Counted: students tested both times; in a study of one test everybody.

    Parameters
    ----------
    groups : DataFrame
        Columns choir, school, approach, size; an empty name is none.
    smallest : int
        Students that a shown group needs.

    Returns
    -------
    frozenset of str
        Their names. Taken to be told are the number of all and, unless small, those of each approach, also inside each
        school and choir, which have copies of their own. Choirs and schools with fewer than `smallest` are hidden, and
        so many others that the size of each small one, and of those who name no choir or school, stays unknown.
    """
    told = groups.groupby(["choir", "school", "approach"], as_index=False)["size"].sum()
    return _chosen(tuple(told.itertuples(index=False, name=None)), smallest)


def hidden_approaches(groups: pd.DataFrame, smallest: int) -> frozenset[str]:
    """Choose the approaches that are not shown by themselves in a copy.

    Counted: as for `hidden_groups`.

    Parameters
    ----------
    groups : DataFrame
        Columns approach and size, of those whom the copy is about.
    smallest : int
        Students that a shown group needs.

    Returns
    -------
    frozenset of str
        Small ones, with the next smallest until those that are not told are enough; with `OURS`, if any.
    """
    sizes = groups.groupby("approach")["size"].sum()
    sizes = sizes[sizes > 0].sort_values(kind="stable")
    untold = {name for name, size in sizes.items() if name == "" or size < smallest}
    if not {name for name in untold if sizes[name] < smallest}:
        return frozenset()
    rest = [name for name in sizes.index if name not in untold]
    while rest and (len(untold) == 1 or sizes[list(untold)].sum() < smallest):
        untold.add(rest.pop(0))
    names = untold - {""}
    return frozenset({*names, *OURS} if names else ())


def is_refused(
    groups: pd.DataFrame, hidden: frozenset[str], smallest: int, *, choir: str = "", school: str = ""
) -> bool:
    """Say whether nobody beyond the school may have a copy about one choir or school.

    Counted: everybody on file.

    Parameters
    ----------
    groups : DataFrame
        Columns choir, school, size.
    hidden : frozenset of str
        From `hidden_groups`.
    smallest : int
        Students that a shown group needs.
    choir, school : str, optional
        Whom the copy is about; without any it is about all and never refused.

    Returns
    -------
    bool
        True if it is hidden, or fewer than `smallest` belong to it.
    """
    asked = [(column, name) for column, name in (("choir", choir), ("school", school)) if name]
    if not asked:
        return False
    here = np.logical_and.reduce([groups[column] == name for column, name in asked])
    return groups.loc[here, "size"].sum() < smallest or any(name in hidden for _, name in asked)


@lru_cache(maxsize=16)
def _chosen(rows: tuple[tuple[str, str, str, int], ...], smallest: int) -> frozenset[str]:
    """Choose from the sizes of the smallest parts."""
    # imported here: only a copy for others needs scipy
    from kit.stats.linked_counts import Sums, leave_out  # noqa: PLC0415

    parts = pd.DataFrame(rows, columns=["choir", "school", "approach", "size"])
    names, members, open_, told = zip(*_sums(parts, smallest), strict=True)
    inside = np.array(members, dtype=float)
    truth = inside @ parts["size"].to_numpy(dtype=float)
    alone = np.array([name[0] in ALONE for name in names])
    small = (truth > 0) & (truth < smallest)
    sums = Sums(inside, truth, 0 * truth, np.full(len(truth), np.inf), np.where(open_, truth, np.inf))
    already = small | ~np.array(told)
    secrets = np.unique(inside[small & alone], axis=0)
    try:
        left = leave_out(sums, secrets, width=np.full(len(secrets), float(smallest)), already=already)
    except TooFewError:
        left = alone
    chosen = {name for (level, name), out in zip(names, left, strict=True) if level in ALONE and out and len(secrets)}
    return frozenset(chosen - {""}) | hidden_approaches(parts, smallest)


def _sums(parts: pd.DataFrame, smallest: int) -> Iterator[tuple[tuple[str, str], np.ndarray, bool, bool]]:
    """Give every sum that a copy may tell: what it is, its parts, whether it may be left out, whether it is told."""
    everybody = np.ones(len(parts), dtype=bool)
    yield ("", "all"), everybody, False, True
    copies = [("", "", everybody)]
    for column in ALONE:
        for name in sorted(set(parts[column])):
            here = (parts[column] == name).to_numpy()
            yield (column, name), here, True, name != ""
            if name:
                copies.append((column, name, here))
    for column, name, here in copies:
        untold = hidden_approaches(parts[here], smallest)
        approaches = sorted(set(parts.loc[here, "approach"]))
        for approach in approaches if len(approaches) > 1 else ():
            inside = here & (parts["approach"] == approach).to_numpy()
            # where it must not be told, whose copy tells it has none
            yield (column, name), inside, name != "", approach not in {"", *untold}
