"""Which choirs and schools must not be shown by themselves so that the average of a small one stays unknown."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
import pandas as pd

from kit.questions.hidden_groups import ALONE, hidden_approaches

WIDE = 0.25
"""How far apart, as a share of the scale, the lowest and the highest average lie that a small choir or school can have
by all that is told (our own choice)."""
NARROW = 0.1
"""The same below which nothing more is hidden for it, since even with all choirs hidden it would be known that well."""
_DUST = 1e-9
"""What is taken for nothing: rounding of the computer."""


def hidden_averages(groups: pd.DataFrame, hidden: frozenset[str], smallest: int) -> frozenset[str]:
    """Add so many choirs and schools to the hidden ones that no average of a small one can be worked out.

    Counted: as for `kit.questions.hidden_groups.hidden_groups`.

    Parameters
    ----------
    groups : DataFrame
        Columns choir, school, approach, size; an empty name is none.
    hidden : frozenset of str
        Choirs, schools and approaches that are not shown by themselves so far.
    smallest : int
        Students that a shown group needs.

    Returns
    -------
    frozenset of str
        With those in `hidden`. Taken to be told exactly are the averages of all and, unless small, of each approach,
        also inside each school and choir that has a copy of its own: once by students and once by choirs, where a choir
        of four counts as much as one of forty. The two together give the average of a small choir away that is hidden
        with one other alone.
    """
    told = groups.groupby([*ALONE, "approach"], as_index=False)["size"].sum()
    return _chosen(tuple(told[told["size"] > 0].itertuples(index=False, name=None)), hidden, smallest)


@lru_cache(maxsize=16)
def _chosen(rows: tuple[tuple[str, str, str, int], ...], hidden: frozenset[str], smallest: int) -> frozenset[str]:
    """Add the smallest choir or school that helps as long as an average can be worked out; take back what was needless.

    An average that follows from those of all and of the approaches stays as it is: nothing that could be hidden helps.
    """
    parts = pd.DataFrame(rows, columns=[*ALONE, "approach", "size"])
    sums = [(column, name, size) for column in ALONE for name, size in parts.groupby(column)["size"].sum().items()]
    sizes = {name: size for _, name, size in sums}
    copies = dict(_copies(parts, hidden, smallest))
    told, always, added = sum(copies.values()), copies.pop(""), []
    small = [np.where(parts[column] == name, parts["size"], 0) / size for column, name, size in sums if size < smallest]
    secrets = [(one, min(WIDE, width - _DUST)) for one in small if (width := _width(always, one)) >= NARROW]
    for secret, wide in secrets:
        while _width(told, secret) < wide:
            wider = {name: _width(told - copies[name], secret) for name in sorted(copies, key=lambda n: (sizes[n], n))}
            best = next((name for name, width in wider.items() if width >= wide), max(wider, key=wider.__getitem__))
            told = told - copies.pop(best)
            added.append(best)
    again = dict(_copies(parts, hidden, smallest))
    for name in sorted(added, key=lambda name: (-sizes[name], name)):
        if all(_width(told + again[name], secret) >= wide for secret, wide in secrets):
            told = told + again[name]
            added.remove(name)
    return hidden | set(added)


def _width(told: np.ndarray, secret: np.ndarray) -> float:
    """Say how far an average can move at least, as a share of the scale, while all that is told stays.

    Averages move along that part of the asked one that no told one holds, until one has moved by the whole scale.
    """
    values, vectors = np.linalg.eigh(told)
    open_ = vectors[:, values < _DUST * values.max()]
    free = open_ @ (open_.T @ secret)
    farthest = np.abs(free).max()
    return float(free @ secret / farthest) if farthest > _DUST else 0.0


def _copies(parts: pd.DataFrame, hidden: frozenset[str], smallest: int) -> Iterator[tuple[str, np.ndarray]]:
    """Give what each copy tells, as the sum of the squares of the weights of its averages; of all under no name."""
    named = [(name, (parts[column] == name).to_numpy()) for column in ALONE for name in sorted(set(parts[column]))]
    everybody = ("", np.ones(len(parts), dtype=bool))
    for name, here in [everybody, *(one for one in named if one[0] not in {"", *hidden})]:
        weights = np.array(list(_averages(parts, here, hidden | hidden_approaches(parts[here], smallest))))
        yield name, weights.T @ weights


def _averages(parts: pd.DataFrame, here: np.ndarray, untold: frozenset[str]) -> Iterator[np.ndarray]:
    """Give the weights of the averages of one copy: by students and by choirs, of all and of each approach."""
    approaches = sorted(set(parts.loc[here, "approach"]) - untold - {""})
    for inside in (here, *(here & (parts["approach"] == one).to_numpy() for one in approaches)):
        size = np.where(inside, parts["size"], 0.0)
        yield size / size.sum()
        choirs = parts["choir"].where(inside, "").to_numpy()
        each = pd.Series(size).groupby(choirs).transform("sum").to_numpy()
        yield np.where(choirs != "", size / np.maximum(each, 1), 0) / max(1, len(set(choirs) - {""}))
