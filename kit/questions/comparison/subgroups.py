"""Whether a difference between approaches differs between groups of students: interactions, exploratory by name."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.comparison import model_for, why_no_difference
from kit.questions.design import Design
from kit.questions.scale import measure_of, paired_marks
from kit.stats.clusters.robust import cluster_robust

SMALLEST = 10
"""Students of each approach that a group needs (our rule: with fewer, single students decide)."""
EXPLORATORY = "Exploratory: it was asked of groups that were not the point of the study, so no p-value is given."
ONE_GROUP = "At least two groups with {least} students of each approach are needed."
NO_COLUMN = "The roster does not say."


def declared_subgroups(
    compared: pd.DataFrame, students: pd.DataFrame, by: Sequence[str], *, design: Design, smallest: int,
    level: float = 0.95,
) -> dict[str, Answers]:  # fmt: skip
    """Ask `subgroups` for each declared column; groups need `smallest` students, and never fewer than `SMALLEST`.

    Counted: as in `subgroups`.
    """
    options = {"design": design, "smallest": max(smallest, SMALLEST), "level": level}
    return {column: subgroups(compared, students, by=column, **options) for column in by}


def subgroups(
    compared: pd.DataFrame, students: pd.DataFrame, *, by: str, design: Design, smallest: int = SMALLEST,
    level: float = 0.95,
) -> Answers:  # fmt: skip
    """Estimate by how much the difference between approaches differs from that of the largest group.

    Counted: students tested both times whose choir and group are known, in groups that are large enough.

    Parameters
    ----------
    compared : DataFrame
        From `kit.questions.compared.between`.
    students : DataFrame
        The students table.
    by : str
        Its column, such as ``"grade"``.
    design : Design
        From `kit.questions.design.classify` of `compared`.
    smallest : int, optional
        Students of each approach that a group needs.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        For each further group the interaction, by CR2 with choirs known, without p-values.
    """
    about = f"{measure_of(compared)}, by {by.replace('_', ' ')}"
    if by not in students:
        return Answers([LeftOut(about, NO_COLUMN)])
    if why := why_no_difference(compared, design):
        return Answers([LeftOut(about, why)])
    table, unit = _table(compared, students, by)
    sizes = table.groupby("group")["program"].agg(["sum", "size"])
    fewest = np.minimum(sizes["sum"], sizes["size"] - sizes["sum"])
    kept = sizes.loc[fewest >= smallest, "size"].sort_values(ascending=False, kind="stable").index
    if len(kept) < 2:
        return Answers([LeftOut(about, ONE_GROUP.format(least=smallest))])
    small = [LeftOut(f"{about}: {name}", ONE_GROUP.format(least=smallest)) for name in sizes.index.difference(kept)]
    rows = table[table["group"].isin(kept)]
    adjusted = model_for(design) == "adjusted"
    return Answers([*_interactions(rows, by, list(kept), adjusted=adjusted, unit=unit, level=level, compared=compared),
                    *small])  # fmt: skip


def _table(compared: pd.DataFrame, students: pd.DataFrame, by: str) -> tuple[pd.DataFrame, str]:
    """Lay out marks, approach, choir and group of those whose group is known."""
    chosen, pre, post = paired_marks(compared)
    groups = students.drop_duplicates("student").set_index("student")[by]
    named = compared["student"].map(groups).astype(object).fillna("").astype(str)
    table = compared[["program", "cluster"]].assign(pre=pre, post=post, group=named)
    return table[pre.notna() & post.notna() & (table["cluster"] != "") & (named != "")], chosen.unit


def _interactions(
    rows: pd.DataFrame, by: str, groups: list[str], *, adjusted: bool, unit: str, level: float, compared: pd.DataFrame
) -> Iterator[Estimate | LeftOut]:
    """Estimate each interaction, beside all others."""
    program = rows["program"].to_numpy(dtype=float)
    outcome = rows["post"] if adjusted else rows["post"] - rows["pre"]
    member = {name: (rows["group"] == name).to_numpy(dtype=float) for name in groups[1:]}
    word, measure = by.replace("_", " "), measure_of(compared)
    for name in groups[1:]:
        others = [program * inside for other, inside in member.items() if other != name]
        first_test = [rows["pre"].to_numpy()] if adjusted else []
        predictors = np.column_stack([program * member[name], program, *others, *member.values(), *first_test])
        found = ask(
            cluster_robust, outcome.to_numpy(), rows["cluster"].to_numpy(dtype=object).astype(str), predictors,
            about=f"{measure}, {word} {name} minus {word} {groups[0]}", unit=unit, level=level,
        )  # fmt: skip
        yield found if isinstance(found, LeftOut) else replace(found, p=None, notes=(*found.notes, EXPLORATORY))
