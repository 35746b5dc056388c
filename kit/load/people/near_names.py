"""Names that are nearly another student's: a nickname or a slip of the pen from one test to the next."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from difflib import get_close_matches

from kit.load.people.keys import is_partial
from kit.load.sheets import Row

CLOSE = 0.85
"""How alike two names with a word in common must be, from 0 to 1 by the longest parts they share (our own rule)."""


def near_names(rows: Iterable[Row]) -> dict[str, Row]:
    """Find names without an id that are no other student's, but nearly so.

    Parameters
    ----------
    rows : iterable of Row
        Rows of all files, rosters first.

    Returns
    -------
    dict of str to Row
        Name -> a row with the name it is close to. Names count as settled that have an id or are on a roster; where
        there are no such names, those met before. Two names that are on one test are two students.
    """
    first: dict[str, Row] = {}
    sittings: dict[str, set] = defaultdict(set)
    anchors: dict[str, Row] = {}
    for row in rows:
        if not row.name or is_partial(row.name):
            continue
        first.setdefault(row.name, row)
        sittings[row.name] |= _sittings(row)
        if row.school_id or "consent" in row.fields:
            anchors.setdefault(row.name, row)
    everywhere = set().union(*sittings.values())
    missed = [name for name in first if name not in anchors and sittings[name] != everywhere]
    return _close(missed, anchors, first, sittings)


def _sittings(row: Row) -> set:
    """List the tests that a row has marks of: file, sheet and occasion."""
    sheet = row.account.sheet
    return {(sheet.file, sheet.name, column.occasion) for column, mark in row.marks if not mark.missing_reason}


def _close(
    names: list[str], anchors: dict[str, Row], first: dict[str, Row], sittings: dict[str, set]
) -> dict[str, Row]:
    """Match each name with the closest settled one that is on no test with it, or with one met before."""
    met = {name: at for at, name in enumerate(first)}
    holding: dict[str, list[str]] = defaultdict(list)
    for name in anchors or first:
        for word in set(name.split()):
            holding[word].append(name)
    near: dict[str, Row] = {}
    for name in names:
        # names that share no word are not compared: thousands of names would make millions of pairs
        sharing = sorted({other for word in name.split() for other in holding[word]} - {name}, key=met.__getitem__)
        candidates = sharing if anchors else [other for other in sharing if met[other] < met[name]]
        apart = [other for other in candidates if other not in near and not sittings[other] & sittings[name]]
        found = get_close_matches(name, apart, n=1, cutoff=CLOSE)
        if found:
            near[name] = first[found[0]]
    return near
