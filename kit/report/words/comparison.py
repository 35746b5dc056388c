"""Sentences about two approaches: how far apart they ended, how sure that is, and by which of two ways."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from kit.estimate import Estimate
from kit.report.numbers import percent_level, show
from kit.report.phrases import distance, gain_between, holds_zero, is_zero, people, pick, went
from kit.report.said import Said
from kit.report.spoken import SPOKEN
from kit.report.words.comparison_checks import (
    apart,
    declared_subgroups,
    missing,
    outcomes,
    sensitivity,
    subgroups,
)
from kit.report.words.comparison_growth import paces
from kit.report.words.comparison_start import BY_LOT, COMPARED, NOTHING, attrition, baseline, compared, dose
from kit.report.words.review import changed_approach, review_path, standardised, two_choirs

__all__ = [
    "alike", "attrition", "baseline", "changed_approach", "compared", "declared_subgroups", "dose", "missing",
    "outcomes", "paces", "primary", "review_path", "sensitivity", "standardised", "subgroups", "two_choirs",
    "two_models",
]  # fmt: skip

TESTED = ("D3a", "D4", "D5", "D7")
"""Designs that may say how often chance alone would bring such a difference."""


class Primary(Protocol):
    """The answer; see ``kit.questions.comparison.Primary``."""

    main: Estimate | None
    shuffled: Estimate | None
    program_first: Estimate | None
    comparison_first: Estimate | None
    program: Estimate | None
    comparison: Estimate | None
    names: tuple[str, str]
    units: str
    method: str
    model: str
    schools: str
    tested: bool
    why_not: str
    smallest: float | None


METHODS = {
    "choir means": "each {unit} counts once, by the average of its students",
    "students in choirs": "students are counted, with an interval that knows which {unit} each belongs to",
    "students": "students are counted one by one, as they were assigned",
}
MODELS = {
    "adjusted": "adjusted for the first test",
    "gain": "by the gains from the first test to the second",
}
ADJUSTED = "Adjusted for the first test, "
TOO_FEW = "Too few choirs or students took both tests to compare the approaches."
RARE = 0.05
"""Share above which it is said how often chance alone would bring the clearest result that could be (our choice)."""
HELD_APART = ", with schools held apart"
"""Why stands below the table of the answer."""
LEFT_IN = (
    "Choirs were assigned inside schools, and schools gave different shares of their choirs to the approaches; with so "
    "few choirs schools cannot be held apart, so part of what sets them apart is in this difference."
)


def primary(found: Primary, *, code: str) -> Said:
    """Say how far apart the approaches ended, how sure that is, and what chance alone could have brought.

    Parameters
    ----------
    found : Primary
        From ``kit.questions.comparison.primary``.
    code : str
        Code of the design; it decides what a difference may be called.

    Returns
    -------
    Said
    """
    if code not in COMPARED:
        return Said((NOTHING,))
    averages = (found.program_first, found.comparison_first, found.program, found.comparison)
    sides = [] if None in averages else [_side_by_side(found)]
    if code == "D2" or found.main is None:
        why = [] if code == "D2" else [found.why_not or TOO_FEW]  # what a single choir cannot tell is said in one place
        used = tuple(one for one in averages if one is not None)
        return Said((*sides, *why, SPOKEN[code].cannot), used, limits=True).passed(code, approaches=found.names)
    told = [*sides, _difference(found, code), _how(found), *([LEFT_IN] if found.schools == "left in" else [])]
    if not found.tested:
        told.append(found.why_not)
    elif code in TESTED and found.shuffled is not None:
        told += _by_shuffling(found)
    used = tuple(one for one in (*averages, found.main, found.shuffled) if one is not None)
    return Said((*told, SPOKEN[code].cannot), used, limits=True).passed(code, approaches=found.names)


def _side_by_side(found: Primary) -> str:
    """Say from where to where each approach went; a single choir is spoken of as one."""
    sides = zip(
        found.names, (found.program_first, found.comparison_first), (found.program, found.comparison), strict=True
    )
    one, other = (
        f'{f"the {found.units[:-1]}" if second.n == 1 and found.units != "students" else found.units} taught "{name}" '
        f"{went(first, second)}"
        for name, first, second in sides
    )
    return f"Between the two tests {one} on average, and {other}."


def _how(found: Primary) -> str:
    """Say what counts as one, and whether schools are held apart."""
    counts = METHODS[found.method].format(unit=found.units[:-1])
    return f"{counts[0].upper()}{counts[1:]}{HELD_APART if found.schools == 'held apart' else ''}."


def _difference(found: Primary, code: str) -> str:
    """Say the difference with its interval, in the words that the design can carry; the upper side stands first."""
    main = found.main
    turned = main.value < 0
    above, below = found.names[::-1] if turned else found.names
    size = distance(main.value, main.unit)
    adjusted = ADJUSTED if found.model == "adjusted" else ""
    told = f"{adjusted}{_apart_by(found, above, below, start=not adjusted)}"
    if main.interval is None:
        return f"{told}; {main.notes[0]}"
    between = f"{percent_level(main.interval.level)} interval {gain_between(main, turned=turned)}"
    if holds_zero(main):
        return f"{told} ({between}); {_open(code, found)}"
    if code in ("D4", "D5"):
        start = f"{adjusted}teaching" if adjusted else "Teaching"
        return f'{start} "{above}" instead of "{below}" raised scores by {size} on average ({between}).'
    if code == "D3a":
        what = "scores" if adjusted else "gains"
        return f'{adjusted}"{above}" was associated with {what} {size} above those of "{below}" ({between}).'
    return f"{told} ({between})."


def _apart_by(found: Primary, above: str, below: str, *, start: bool) -> str:
    """Say how far one approach ended above the other, or how much more it gained where gains are compared."""
    whole, gains = found.units.capitalize() if start else found.units, found.model == "gain"
    if is_zero(found.main):
        return f'{whole} taught "{above}" and "{below}" {"gained the same" if gains else "ended at the same height"}'
    size = distance(found.main.value, found.main.unit)
    how = f"gained {size} more than" if gains else f"ended {size} above"
    return f'{whole} taught "{above}" {how} {found.units} taught "{below}"'


def _open(code: str, found: Primary) -> str:
    """Say what an interval that includes zero leaves open: never that there is nothing."""
    which = "gained more" if found.model == "gain" else "lies above"
    whom = "" if code == "D5b" else f" from these {found.units}"
    return f"the interval includes zero, so which of the two {which} is not known{whom}."


def _by_shuffling(found: Primary) -> list[str]:
    """Say how often chance alone would bring such a difference, and the rarest it could have been."""
    told = [
        f"Had the approaches been dealt out to these {found.shuffled.counted} by chance alone, a difference at least "
        f"as far from zero would come about {_times(found.shuffled.p)}"
        f"{'; so chance alone could be the reason' if holds_zero(found.main) else ''}."
    ]
    rarest = found.smallest or 0.0
    if rarest and _times(rarest) == _times(found.shuffled.p):
        return [f"{told[0].removesuffix('.')}; these {found.shuffled.counted} could show none that is rarer."]
    if rarest > RARE:
        told.append(
            f"With so few {found.shuffled.counted} even the clearest result would come about {_times(rarest)} by "
            "chance alone."
        )
    return told


def _times(share: float) -> str:
    """Write how often: ``12 times in 100``, ``3 times in 1,000``."""
    per = next((size for size in (100, 1_000, 10_000, 100_000) if share * size >= 1), 1_000_000)
    number = f"{share * per:.0f}"
    return f"{number} time{'' if number == '1' else 's'} in {per:,}"


class TwoModels(Protocol):
    """Both ways to use the first test; see ``kit.questions.comparison.models.TwoModels``."""

    adjusted: Estimate | None
    gain: Estimate | None
    names: tuple[str, str]
    settled: bool
    apart: float | None
    recommended: str


def two_models(found: TwoModels, *, code: str) -> Said:
    """Say both answers side by side, what each takes for granted, and whether they agree.

    Parameters
    ----------
    found : TwoModels
        From ``kit.questions.comparison.models.two_models``.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    if code not in COMPARED or code == "D2":
        return Said(() if code not in COMPARED else ("With a single choir in an approach this is not asked.",))
    told, used = [], []
    for one, how, assumes in (
        (found.adjusted, "Adjusted for the first test", "singers who began with the same score would have ended alike"),
        (found.gain, "By gains", "both groups would have moved by the same amount"),
    ):
        if one is None:
            continue
        told.append(
            f"{how}: {apart(one, found.names, gains=one is found.gain)}; it takes for granted that, taught alike, "
            f"{assumes}."
        )
        used.append(one)
    if len(used) < 2:
        why = f"{'Only one' if used else 'Neither'} of the two ways can be computed here."
        return Said((*told, why), tuple(used)).passed(code, approaches=found.names)
    if found.settled:
        told.append(f"The two answers lie {show(found.apart, 'SD')} from each other, close enough to agree.")
    else:
        told.append(
            f"The two answers lie {show(found.apart, 'SD')} from each other or point in different directions: the "
            "matter is not settled, and neither of them should be quoted alone."
        )
    told.append(f"The one reported first is {MODELS[found.recommended]}, since {_why(found.recommended, code)}.")
    return Said(tuple(told), tuple(used)).passed(code, approaches=found.names)


def _why(recommended: str, code: str) -> str:
    """Say why one of the two ways is reported first."""
    if recommended == "adjusted":
        return "approaches were assigned at random"
    return "so few choirs leave too little to adjust by" if code in BY_LOT else "the groups existed before"


def alike(estimates: Sequence[Estimate], *, code: str) -> Said:
    """Say how much alike singers of one choir are, and what that costs.

    Parameters
    ----------
    estimates : sequence of Estimate
        From ``kit.questions.comparison.models.alike``.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    share, times = pick(estimates, "icc_clusters"), pick(estimates, "design_effect")
    if code not in COMPARED:
        return Said(())
    if share is None:
        return Said(("How alike singers of one choir are cannot be told from these numbers.",)).passed(code)
    ends = share.interval
    sure = f" (interval {show(max(ends.low, 0.0), 'share')} to {show(ends.high, 'share')})" if ends else ""
    part = show(max(share.value, 0.0), "share")
    told = [f"Of the differences among singers' second scores {part} lies between choirs{sure}."]
    if times is not None and times.value > 1:
        told.append(
            f"So {people(share.n)} tell as much about the approaches as about {share.n / times.value:.0f} would who "
            "were not in choirs."
        )
    return Said(tuple(told), tuple(one for one in (share, times) if one is not None)).passed(code)
