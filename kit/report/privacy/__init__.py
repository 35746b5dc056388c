"""Who may read what: small groups, the next ones that would give them away, shares that tell about few."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal, get_args

import pandas as pd

from kit.errors import UnknownChoiceError
from kit.estimate import Estimate
from kit.report.privacy.coding import is_flat, must_code

Audience = Literal["teacher", "district", "public"]
SMALLEST_GROUP: dict[str, int] = {"teacher": 1, "district": 5, "public": 10}
"""Students that a shown group needs (10 for the public: the most common rule of US states; 5 inside a district)."""

NO_PEOPLE = ("choirs", "schools", "meetings", "minutes", "hours")
"""Units of counts that tell of no student."""


def smallest_group(audience: str) -> int:
    """Give the number of students that a group needs to be shown to an audience.

    Parameters
    ----------
    audience : str
        ``"teacher"``, ``"district"`` or ``"public"``.

    Returns
    -------
    int

    Raises
    ------
    UnknownChoiceError
        If there is no such audience.
    """
    if audience not in get_args(Audience):
        raise UnknownChoiceError("smallest_group", "audience", audience, get_args(Audience))
    return SMALLEST_GROUP[audience]


def keep(
    groups: Sequence[Estimate], audience: str, *, total_known: bool = True, hidden: Iterable[str] = ()
) -> tuple[list[Estimate], list[Estimate]]:
    """Part groups into those that may be shown and those that are hidden.

    A single hidden group can be worked out from the total and the others; then the next smallest is hidden
    too (complementary suppression), and so on while the hidden ones together are still too few.

    Parameters
    ----------
    groups : sequence of Estimate
        One for each group. Its size is ``n``; of a count it is the value, since ``n`` is the whole.
    audience : str
        Who will read it.
    total_known : bool, optional
        Whether the reader also sees the number of all groups together.
    hidden : iterable of str, optional
        Choirs and approaches that must not be shown by themselves, since a small one would follow from them.

    Returns
    -------
    shown, hidden : list of Estimate
        In the given order.
    """
    least = smallest_group(audience)
    sizes = [_size(group) for group in groups]
    names = tuple(hidden)
    out = {
        at for at, size in enumerate(sizes)
        if 0 < size < least or is_hidden(groups[at], names) or (least > 1 and is_flat(groups[at]))
    }  # fmt: skip
    rest = sorted(
        (at for at, size in enumerate(sizes) if size >= least and at not in out), key=lambda at: (sizes[at], at)
    )
    # what is hidden as a whole is known too, from the total and the rest: it must not be small either
    while total_known and out and rest and (len(out) == 1 or sum(sizes[at] for at in out) < least):
        out.add(rest.pop(0))
    shown = [group for at, group in enumerate(groups) if at not in out]
    return shown, [group for at, group in enumerate(groups) if at in out]


def is_hidden(estimate: Estimate, names: Iterable[str]) -> bool:
    """Say whether a number is about a choir or approach that is not shown by itself.

    Parameters
    ----------
    estimate : Estimate
        Its ``about`` says whom it is about, between commas: ``"pitch, Treble 2"``, ``"ear-first minus as usual"``.
    names : iterable of str
        What is not shown.

    Returns
    -------
    bool
        Never True of what counts no people, such as meetings and choirs.
    """
    if estimate.unit in NO_PEOPLE:
        return False
    about = f", {estimate.about}, "
    return any(f", {name}{end}" in about or f" minus {name}, " in about for name in names for end in (", ", " minus "))


FLOW_PARTS = ("tested both times", "tested before only", "tested after only", "tested neither time")
FLOW_WHOLES = ("on the roster", "tested both times")


def keep_flow(flow: Sequence[Estimate], audience: str) -> list[Estimate]:
    """Keep the counts of who was tested when that may be shown.

    Parameters
    ----------
    flow : sequence of Estimate
        Counts; those about `FLOW_PARTS` add up to everybody.
    audience : str
        Who will read it.

    Returns
    -------
    list of Estimate
        All of them, or `FLOW_WHOLES` alone where a part is too small: every other count would give it away. Where
        nobody was tested twice all of them stay, since then the parts are the wholes.
    """
    parts = [one for one in flow if one.about in FLOW_PARTS]
    twice = any(one.value for one in parts if one.about == "tested both times")
    if not twice or not keep(parts, audience)[1]:
        return list(flow)
    return [one for one in flow if one.about in FLOW_WHOLES]


def is_small(estimate: Estimate, least: int) -> bool:
    """Say whether a number rests on too few students to be shown, or counts too few of them; none is no group."""
    if estimate.counted != "students" or least <= 1:
        return False
    return estimate.n < least or (estimate.name == "count" and 0 < estimate.value < least)


def tells_on_few(estimate: Estimate, audience: str) -> bool:
    """Say whether a number tells a reader outside the school about single students, however many it rests on.

    Parameters
    ----------
    estimate : Estimate
        Any number; only shares and averages of students can tell.
    audience : str
        Who will read it; a teacher may know.

    Returns
    -------
    bool
        True if so few students are in the share, or outside it, that it is told as a range or not at all; see
        `kit.report.privacy.coding`.
    """
    return smallest_group(audience) > 1 and (must_code(estimate) or is_flat(estimate))


def merge_small_bands(bands: pd.DataFrame, audience: str) -> pd.DataFrame:
    """Join neighbouring bands of a distribution until each holds enough students, or nobody.

    Parameters
    ----------
    bands : DataFrame
        Columns low, high, before, after.
    audience : str
        Who will read it.

    Returns
    -------
    DataFrame
        As many bands as can be shown: all as they are for the teacher, none if all students together are
        too few.
    """
    least = smallest_group(audience)
    if any(0 < bands[side].sum() < least for side in ("before", "after")):
        return bands.iloc[:0]
    rows = bands.to_dict("records")
    at = 0
    while at < len(rows) and len(rows) > 1:
        if any(0 < rows[at][side] < least for side in ("before", "after")):
            other = at + 1 if at + 1 < len(rows) else at - 1
            first, second = sorted((at, other))
            rows[first : second + 1] = [_joined(rows[first], rows[second])]
            at = 0
        else:
            at += 1
    return pd.DataFrame(rows, columns=list(bands.columns))


def _size(group: Estimate) -> int:
    """Say how many students a group has; 0 if it does not count students."""
    if group.counted != "students":
        return 0
    return round(group.value) if group.name == "count" else group.n


def _joined(one: dict, other: dict) -> dict:
    """Join two neighbouring bands."""
    return {
        "low": one["low"], "high": other["high"], "before": one["before"] + other["before"],
        "after": one["after"] + other["after"],
    }  # fmt: skip
