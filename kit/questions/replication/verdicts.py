"""What a rule declared before the data says of a replication: a word by rule, or none where none was declared."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, get_args

from kit.errors import UnknownChoiceError

Rule = Literal["same_direction", "prediction", "equivalence", "small_telescopes", "all_three", "none_declared"]
Verdict = Literal[
    "consistent", "inconclusive", "no_meaningful_effect", "too_small_for_the_original", "inconsistent", "none_declared"
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """What the rules look at.

    Attributes
    ----------
    same_way, other_way : bool
        Whether our interval leaves zero out on the original's side, or on the other.
    inside : bool
        Whether ours lies within the prediction interval.
    prediction_tells : bool
        Whether the prediction interval leaves zero out.
    negligible : bool
        Whether our 90 % interval lies within the bound declared as too small to matter.
    too_small : bool
        Whether our 90 % interval lies below what the original could see.
    """

    same_way: bool
    other_way: bool
    inside: bool
    prediction_tells: bool
    negligible: bool
    too_small: bool


def verdict_of(rule: Rule, evidence: Evidence) -> Verdict:
    """Apply the declared rule.

    Counted: nothing; it looks at what was counted before.

    Parameters
    ----------
    rule : Rule
        ``"same_direction"``: consistent where our interval leaves zero out on the original's side, inconsistent on
        the other. ``"prediction"``: inconsistent outside the prediction interval; inside, consistent only where
        either that interval or ours leaves zero out, else no effect would be as consistent. ``"equivalence"``: no
        meaningful effect where our 90 % interval lies within the declared bound, else as ``"same_direction"``.
        ``"small_telescopes"``: too small for the original where our 90 % interval lies below what it could see, else
        as ``"same_direction"``. ``"all_three"``: outside the prediction interval inconsistent; within the bound no
        meaningful effect; else as ``"same_direction"``.
    evidence : Evidence
        What the rules look at.

    Returns
    -------
    Verdict
        ``"inconclusive"`` where the rule settles nothing.

    Raises
    ------
    UnknownChoiceError
        If `rule` is another word.
    """
    if rule not in get_args(Rule):
        raise UnknownChoiceError("verdict_of", "rule", rule, get_args(Rule))
    return _RULES[rule](evidence)


def _same_direction(evidence: Evidence) -> Verdict:
    """Look at our interval and zero only."""
    return "consistent" if evidence.same_way else "inconsistent" if evidence.other_way else "inconclusive"


def _prediction(evidence: Evidence) -> Verdict:
    """Look at the prediction interval, and whether no effect would have fitted as well."""
    if not evidence.inside:
        return "inconsistent"
    return "consistent" if evidence.prediction_tells or evidence.same_way else "inconclusive"


def _equivalence(evidence: Evidence) -> Verdict:
    """Look at the declared bound first."""
    return "no_meaningful_effect" if evidence.negligible else _same_direction(evidence)


def _small_telescopes(evidence: Evidence) -> Verdict:
    """Look at the other direction, then at what the original could see."""
    if evidence.other_way:
        return "inconsistent"
    return "too_small_for_the_original" if evidence.too_small else _same_direction(evidence)


def _all_three(evidence: Evidence) -> Verdict:
    """Look at prediction, bound and direction, in that order."""
    return _equivalence(evidence) if evidence.inside else "inconsistent"


_RULES: dict[Rule, Callable[[Evidence], Verdict]] = {
    "same_direction": _same_direction,
    "prediction": _prediction,
    "equivalence": _equivalence,
    "small_telescopes": _small_telescopes,
    "all_three": _all_three,
    "none_declared": lambda _: "none_declared",
}
