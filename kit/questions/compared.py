"""Two approaches side by side: which students belong to which, and what each choir's averages are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import ClassVar, Literal

import numpy as np
import pandas as pd

from kit.errors import UnknownChoiceError
from kit.estimate import Estimate
from kit.questions.answers import LeftOut
from kit.questions.both_ways import crossed_over, listed_twice
from kit.questions.design import How, unit_column
from kit.questions.lost import Leaving
from kit.questions.scale import paired_marks, tested_both
from kit.stats.counts import count

Within = Literal["", "school"]
Movers = Literal["as_assigned", "left_out"]
TwoChoirs = Literal["first", "most_meetings", "left_out"]
ALONE = "One {what} alone, so there is no spread to make an interval from."
NO_COMPARISON = "Only one approach has students, so there is nothing to compare."


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """What is declared of a comparison, before its outcome is known.

    Attributes
    ----------
    program, comparison : str
        The two approaches; differences are the first minus the second.
    how : str
        How choirs or students came to these two approaches; empty: as the whole study's.
    within : {"", "school"}
        Inside what choirs were assigned; empty: all choirs together.
    movers : {"as_assigned", "left_out"}
        What becomes of students whose second mark stands in a choir of the other approach.
    two_choirs : {"first", "most_meetings", "left_out"}
        What becomes of students who are listed in two choirs: they count in the one listed first or declared under
        ``primary_choir``, or in the one whose meetings they came to more often by the attendance on record (decided as
        the study is read, see `kit.questions.both_ways.by_meetings`), or not at all.
    primary, secondary : tuple of str
        Measures that decide, and measures looked at beside them.
    negative_control : str
        A measure that neither approach teaches; a difference there warns of other reasons.
    subgroups : tuple of str
        Columns of the roster by which a difference may differ.
    leaving : {"cautious", "optimistic"}
        Whether the program could influence who leaves.
    """

    __pydantic_config__: ClassVar[Mapping[str, str]] = {"extra": "forbid"}
    program: str = ""
    comparison: str = ""
    how: How | Literal[""] = ""
    within: Within = ""
    movers: Movers = "as_assigned"
    two_choirs: TwoChoirs = "first"
    primary: tuple[str, ...] = ()
    secondary: tuple[str, ...] = ()
    negative_control: str = ""
    subgroups: tuple[str, ...] = ()
    leaving: Leaving = "cautious"


NOTHING_DECLARED = Comparison()


def between(pairs: pd.DataFrame, declared: Comparison = NOTHING_DECLARED) -> pd.DataFrame:
    """Keep the students of the two approaches that are compared.

    Counted: everyone in `pairs` whose approach is one of the two.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    declared : Comparison, optional
        Which two. Where there are only two approaches they need not be declared; then the first by name is compared
        with the other.

    Returns
    -------
    DataFrame
        `pairs` with columns program (bool), cluster (what was assigned: the choir, or the school where schools chose)
        and block (the school within which choirs were assigned, or empty). In ``attrs`` the names of the two
        approaches, ``how`` they came about, as declared, ``units`` (``"choirs"`` or ``"schools"``), ``assigned`` (these
        or ``"students"``), ``crossed``, how many students had their second test in a choir of the other approach, and
        ``twice`` and ``both_ways``, how many tested both times are listed in two choirs, and in choirs of both
        approaches. No rows where there are fewer than two approaches.

    Raises
    ------
    UnknownChoiceError
        If an approach is declared that nobody has, or there are three or more and two are not declared.
    """
    known = tuple(sorted(set(pairs["approach"]) - {""}))
    one, other = _two_of(known, declared)
    chosen = pairs[pairs["approach"].isin([one, other]) & (one != other)].copy()
    crossed = crossed_over(pairs).reindex(chosen.index)
    twice, both_ways = listed_twice(pairs, chosen)
    if declared.movers == "left_out":
        chosen = chosen[~crossed]
    if declared.two_choirs == "left_out":
        chosen = chosen[~twice.reindex(chosen.index)]
    column = unit_column(chosen, declared.how)
    chosen["program"] = (chosen["approach"] == one).astype(bool)
    chosen["cluster"] = chosen[column or "choir"]
    chosen["block"] = chosen["school"] if declared.within == "school" and column == "choir" else ""
    chosen.attrs = {
        **pairs.attrs, "program": one, "comparison": other, "how": declared.how,
        "units": "schools" if column == "school" else "choirs",
        "assigned": {"school": "schools", "choir": "choirs", "": "students"}[column], "crossed": int(crossed.sum()),
        "movers": declared.movers, "two_choirs": declared.two_choirs,
        "twice": int((twice & tested_both(pairs).reindex(twice.index)).sum()), "both_ways": both_ways,
    }  # fmt: skip
    return chosen


def crossed(compared: pd.DataFrame) -> Estimate:
    """Count students whose second mark stands in a choir of the other approach.

    Counted: students tested both times, with those who were left out for that reason.

    Parameters
    ----------
    compared : DataFrame
        From `between`.

    Returns
    -------
    Estimate
        A count about ``"changed approach"``.
    """
    number = compared.attrs.get("crossed", 0)
    left_out = number if compared.attrs.get("movers") == "left_out" else 0
    return count(number, about="changed approach", of=int(tested_both(compared).sum()) + left_out)


def _two_of(known: tuple[str, ...], declared: Comparison) -> tuple[str, str]:
    """Choose the two approaches, or refuse."""
    if len(known) < 2:
        return "", ""
    for option in ("program", "comparison"):
        name = getattr(declared, option)
        if (name or len(known) > 2) and name not in known:
            raise UnknownChoiceError("between", option, name, known)
    one = declared.program or next(name for name in known if name != declared.comparison)
    other = declared.comparison or next(name for name in known if name != one)
    if one == other:
        raise UnknownChoiceError("between", "comparison", other, tuple(name for name in known if name != one))
    return one, other


def names_of(compared: pd.DataFrame) -> tuple[str, str]:
    """Name the two approaches, the program's first; empty where there is no comparison.

    Counted: nobody; the names stand beside the rows.

    Parameters
    ----------
    compared : DataFrame
        From `between`.

    Returns
    -------
    tuple of str
    """
    return compared.attrs.get("program", ""), compared.attrs.get("comparison", "")


def choir_means(compared: pd.DataFrame) -> pd.DataFrame:
    """Average both tests and the gain of each choir, by name; of each school where schools were assigned.

    Counted: students tested both times whose choir is named.

    Parameters
    ----------
    compared : DataFrame
        From `between`.

    Returns
    -------
    DataFrame
        Columns choir, approach, program, block, students, pre, post, gain, in the unit of ``attrs["unit"]``. A choir
        with students of both approaches, as where students were assigned one by one, makes two rows.
    """
    rows = rows_of(compared)
    table = pd.DataFrame({
        "choir": rows.choir, "program": rows.program, "block": rows.block, "pre": rows.pre, "post": rows.post,
        "gain": rows.post - rows.pre,
    })  # fmt: skip
    means = table.groupby(["choir", "program"], sort=True).agg(
        block=("block", "first"), students=("gain", "size"), pre=("pre", "mean"), post=("post", "mean"),
        gain=("gain", "mean"),
    ).reset_index()  # fmt: skip
    means["program"] = means["program"].astype(bool)
    means["approach"] = np.where(means["program"], *names_of(compared))
    means.attrs = {**compared.attrs, "unit": rows.unit}
    return means


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """Students tested both times whose choir is named, as arrays that formulas take.

    Attributes
    ----------
    pre, post : ndarray of float, shape (n,)
        Both marks, in `unit`.
    program : ndarray of bool, shape (n,)
        True for the program.
    choir, block : ndarray of str, shape (n,)
        Choir (the school where schools were assigned), and school within which choirs were assigned (empty: none).
    unit : str
        ``"points"`` or ``"share"``.
    nameless : int
        Students tested both times who name no choir and are left out.
    """

    pre: np.ndarray
    post: np.ndarray
    program: np.ndarray
    choir: np.ndarray
    block: np.ndarray
    unit: str
    nameless: int

    @property
    def choirs(self) -> int:
        """How many choirs."""
        return len(np.unique(self.choir))

    @property
    def fewest(self) -> int:
        """Choirs of the approach that has fewer."""
        return min(len(np.unique(self.choir[self.program == side])) for side in (True, False))


def rows_of(compared: pd.DataFrame) -> Rows:
    """Give the students of a comparison as arrays.

    Counted: students tested both times whose choir is named.

    Parameters
    ----------
    compared : DataFrame
        From `between`.

    Returns
    -------
    Rows
    """
    chosen, pre, post = paired_marks(compared)
    both = pre.notna() & post.notna()
    kept = both & (compared["cluster"] != "")
    table = compared[kept]
    return Rows(
        pre=pre[kept].to_numpy(dtype=float), post=post[kept].to_numpy(dtype=float),
        program=table["program"].to_numpy(dtype=bool), choir=table["cluster"].to_numpy(dtype=object).astype(str),
        block=table["block"].to_numpy(dtype=object).astype(str), unit=chosen.unit, nameless=int((both & ~kept).sum()),
    )  # fmt: skip


def of_units(answer: Estimate | LeftOut, what: str) -> Estimate | LeftOut:
    """Say of a number made from averages of choirs or schools that these are what it counts.

    Counted: nothing.

    Parameters
    ----------
    answer : Estimate or LeftOut
        A number made from one average for each.
    what : {"choirs", "schools"}
        What they are.

    Returns
    -------
    Estimate or LeftOut
    """
    if isinstance(answer, LeftOut):
        return answer
    notes = (ALONE.format(what=what.removesuffix("s")),) if answer.n == 1 else answer.notes
    return replace(answer, counted=what, clusters=answer.n, notes=notes)
