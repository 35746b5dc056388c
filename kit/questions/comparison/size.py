"""A difference between two approaches in standard deviations of students' second scores."""

from __future__ import annotations

from dataclasses import replace

from kit.estimate import Estimate
from kit.questions.answers import LeftOut, ask
from kit.questions.compared import Rows
from kit.stats.clusters.choirs import icc_clusters
from kit.stats.clusters.corrected_t import hedges_g_clusters
from kit.stats.noncentral import small_sample_correction
from kit.stats.student import pooled_spread

WIDE = (
    "Its interval uses how alike singers of one choir are and not how well the first test foretells the second, so it "
    "is wider than that of the difference in points."
)


def spread_after(rows: Rows) -> float | None:
    """Give the SD of students' second scores within approaches, pooled; None where there is none.

    Counted: everyone in `rows`.

    Parameters
    ----------
    rows : Rows
        From `kit.questions.compared.rows_of`.

    Returns
    -------
    float or None
    """
    sides = [rows.post[rows.program], rows.post[~rows.program]]
    if min(side.size for side in sides) < 2:
        return None
    return pooled_spread(*(part for side in sides for part in (side.size, float(side.std(ddof=1))))) or None


def size_in_sd(rows: Rows, main: Estimate, *, about: str, level: float) -> Estimate | LeftOut:
    """Put a difference into SD of students' second scores, as they are, never of what a first test leaves.

    Counted: everyone in `rows`.

    Parameters
    ----------
    rows : Rows
        From `kit.questions.compared.rows_of`.
    main : Estimate
        The difference in the unit of the test.
    about : str
        Whom and what the number is about, in words.
    level : float
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate or LeftOut
    """
    spread = spread_after(rows)
    if spread is None:
        return LeftOut(about, "Second scores have no spread, so a size in SD is not defined.")
    alike = ask(icc_clusters, rows.post, rows.choir, about=about, arms=rows.program, level=level)
    if isinstance(alike, LeftOut):
        return alike
    sizes = int(rows.program.sum()), int((~rows.program).sum())
    found = ask(
        hedges_g_clusters, main.value / spread * small_sample_correction(sum(sizes) - 2), n_program=sizes[0],
        n_comparison=sizes[1], clusters=rows.choirs, icc=min(max(alike.value, 0.0), 0.999), about=about, level=level,
    )  # fmt: skip
    return found if isinstance(found, LeftOut) else replace(found, p=None, notes=(*found.notes, WIDE))
