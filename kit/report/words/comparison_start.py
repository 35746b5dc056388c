"""Sentences about two approaches before they are compared: who and what, how alike, whom they lost, what each had."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from kit.estimate import Estimate
from kit.report.numbers import bare, show
from kit.report.phrases import listed, people, score
from kit.report.said import Said
from kit.report.spoken import SPOKEN

COMPARED = ("D2", "D3", "D3a", "D3b", "D4", "D5", "D5b", "D7")
"""Designs in which two approaches are compared."""
NOTHING = "Two approaches are not compared in this study."
CHOIRS_ALIKE = "Singers of one choir are taught together and resemble each other, so the choirs are what is counted."
BANDS = {
    "close": "that counts as close, and needs no adjusting",
    "adjust": "that is close enough if the comparison adjusts for it",
    "apart": "that is too far apart for a fair comparison of groups that were not assigned at random, adjusted or not",
}
ADJUSTED_BELOW = ", as one of the two answers below does"
SD_MEANS = "A standard deviation (SD) is how far single singers usually lie from the average of their approach."
BY_LOT = ("D4", "D5", "D5b")
"""Designs in which the lot still holds: few were lost since."""
BY_CHANCE = (
    "Since approaches were assigned at random, such an imbalance came about by chance; it still makes the answer "
    "depend on how the first test is taken into account."
)
RATINGS = {
    "low": "inside the limit",
    "borderline": "at the limit, inside or outside depending on rounding",
    "high": "outside the limit",
}


class Design(Protocol):
    """What kind of comparison it is; see ``kit.questions.design.Design``."""

    code: str
    because: Sequence[str]
    assigned: str
    analysed: str
    units: int


class Start(Protocol):
    """How alike on one measure; see ``kit.questions.comparison.start.Start``."""

    measure: str
    program: Estimate
    comparison: Estimate
    apart: Estimate
    band: str


class Baseline(Protocol):
    """How alike on all; see ``kit.questions.comparison.start.Baseline``."""

    rows: Sequence[Start]
    names: tuple[str, str]
    at_random: bool


def compared(design: Design, *, names: tuple[str, str]) -> Said:
    """Say what is compared, what was assigned and what is counted, and what such a comparison can say.

    Parameters
    ----------
    design : Design
        From ``kit.questions.design.classify`` of the two approaches.
    names : tuple of str
        The two approaches.

    Returns
    -------
    Said
    """
    if design.code not in COMPARED:
        return Said((NOTHING,))
    whole = design.assigned == design.analysed
    units = (
        f"Assigned to an approach were {design.assigned}, and {'so ' if whole else ''}{design.analysed} are counted "
        f"here: {design.units} of them."
    )
    spoken = SPOKEN[design.code]
    return Said(
        (
            f'Compared are "{names[0]}" and "{names[1]}"; every difference below is the first minus the second.', units,
            *([CHOIRS_ALIKE] if design.analysed != "students" else []), *design.because, spoken.can, spoken.cannot,
        ),
        limits=True,
    ).passed(design.code, approaches=names)  # fmt: skip


def baseline(found: Baseline, *, code: str) -> Said:
    """Say how far the approaches lay apart before, in which band that is, and what follows.

    Parameters
    ----------
    found : Baseline
        From ``kit.questions.comparison.start.baseline``.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    if code not in COMPARED:
        return Said(())
    if not found.rows:
        return Said(("How alike the approaches were at the first test cannot be told from these marks.",))
    told, used = [SD_MEANS], []
    for row in found.rows:
        below = ADJUSTED_BELOW if row.band == "adjust" and code != "D2" else ""
        told.append(
            f'{row.measure.capitalize()}, first test, averaged over students: "{found.names[0]}" {score(row.program)}, '
            f'"{found.names[1]}" {score(row.comparison)}, {_in_sd(row.apart)} apart: {BANDS[row.band]}{below}.'
        )
        used += [row.program, row.comparison, row.apart]
    if found.at_random and code in BY_LOT and any(row.band != "close" for row in found.rows):
        told.append(BY_CHANCE)
    return Said(tuple(told), tuple(used)).passed(code, approaches=found.names)


def _in_sd(apart: Estimate) -> str:
    """Write a size in SD without its sign, with a third digit where two would hide on which side of a limit it lies."""
    size = abs(apart.value)
    if any(bare(size, "SD") == bare(end, "SD") and size != end for end in (0.05, 0.25)):
        return f"{size:.3f} SD" if f"{size:.3f}" not in ("0.050", "0.250") else f"{size:.4f} SD"
    return show(size, "SD")


class Attrition(Protocol):
    """Shares lost; see ``kit.stats.attrition.Attrition``."""

    overall: float
    differential: float
    limit: float
    rating: str
    bias: float | None


class Lost(Protocol):
    """Loss of one kind of unit; see ``kit.questions.lost.Lost``."""

    what: str
    began: tuple[int, int]
    kept: tuple[int, int]
    approaches: tuple[str, str]
    loss: Attrition


class Loss(Protocol):
    """Whom the approaches lost; see ``kit.questions.comparison.start.Loss``."""

    levels: Sequence[Lost]
    answers: Sequence[Estimate]
    leaving: str
    at_random: bool


def attrition(found: Loss, *, code: str) -> Said:
    """Say whom each approach lost, choirs first, and whether that is inside the published limit.

    Parameters
    ----------
    found : Loss
        From ``kit.questions.comparison.start.attrition``.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    if not found.levels:
        return Said((NOTHING,))
    told = []
    for level in found.levels:
        gone = [began - kept for began, kept in zip(level.began, level.kept, strict=True)]
        each = listed([
            f"{lost} of {began} in \"{name}\""
            for lost, began, name in zip(gone, level.began, level.approaches, strict=True)
        ])  # fmt: skip
        those = f"{level.what.capitalize()} without both tests{of_those(found.levels, level)}"
        if not any(gone):
            told.append(f"{those}: none.")
            continue
        told.append(
            f"{those}: {each}, {show(level.loss.overall, 'share')} overall and "
            f"{_points(level.loss.differential)} apart, where at that overall loss {_points(level.loss.limit)} is the "
            f"limit ({found.leaving}): {RATINGS[level.loss.rating]}."
        )
    whom = (
        "It was made for groups assigned at random, as these were."
        if found.at_random
        else "It was made for groups assigned at random, which these were not, so it is shown for orientation only."
    )
    if any(level.began != level.kept for level in found.levels):
        told += ["The limit is that of the federal evidence review.", whom]
    return Said(tuple(told), tuple(found.answers)).passed(code, approaches=found.levels[0].approaches)


def of_those(levels: Sequence[Lost], level: Lost) -> str:
    """Say that students of lost choirs are not counted a second time, where any were lost."""
    first = levels[0]
    return f", of the {first.what} that stayed" if level is not first and first.began != first.kept else ""


def _points(share: float) -> str:
    """Write a distance of two shares in percentage points with one decimal, as the published limit is printed."""
    return f"{100 * abs(share):.1f} percentage points"


def dose(estimates: Sequence[Estimate], *, names: tuple[str, str], code: str) -> Said:
    """Say how many tests, meetings and minutes each approach had, as far as they are on record.

    Parameters
    ----------
    estimates : sequence of Estimate
        From ``kit.questions.comparison.dose.dose``.
    names : tuple of str
        The two approaches.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    told = []
    for name in names:
        found = {one.about.removeprefix(f"{name}, "): one for one in estimates if one.about.startswith(f"{name}, ")}
        parts = [
            f"{found[what].value:,.0f} {words}"
            for what, words in (("tests taken", "tests taken"), ("meetings logged", "meetings logged"),
                                ("minutes logged", "minutes of drill logged"))
            if what in found
        ]  # fmt: skip
        if parts:
            whom = people(found["students"].value) if "students" in found else "students"
            told.append(f'"{name}", {whom}: {listed(parts)}.')
    if not told:
        return Said(())
    told.append(
        "Where one approach was tested or drilled more than the other, that comes along with the approach and cannot "
        "be told from it."
    )
    return Said(tuple(told), tuple(estimates), limits=True).passed(code, approaches=names)
