"""What study.toml may say of why a study is made: program, targets and costs, the study repeated, the plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, ClassVar, Literal

from annotated_types import Ge, Gt, Le

from kit.questions.replication.original import Original
from kit.questions.replication.verdicts import Rule
from kit.questions.targets import Target

__all__ = ["Cost", "Deviation", "Program", "Repeats", "Research", "Target"]

_STRICT: Mapping[str, str] = {"extra": "forbid"}
When = Literal["before data were collected", "before data were seen", "after data were seen, before results",
               "after results were known", "not known"]  # fmt: skip
Kind = Literal["", "direct", "approximate", "conceptual"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """One line of the costs, as entered."""

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    what: str
    amount: Annotated[float, Ge(0)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """The program in the words of those who run it.

    Attributes
    ----------
    name, why, what, who, how_much, where, adaptations : str
        As a description of an intervention is asked for: name, reason, content, providers, amount, place, changes.
    inputs, activities, outputs, outcomes : tuple of str
        The logic model.
    costs : tuple of Cost
        Costs, in one currency.
    currency : str
        Its name or sign.
    costs_leave_out : str
        What the costs do not hold, such as the paid hours of teachers.
    limits : mapping of str to int
        Most characters, blanks included, that a funder's form takes: heading of a part of the report -> number.
    lessons, agreement, standards : str
        What was learned; the agreement under which data are used; codes of curriculum standards.
    """

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    name: str = ""
    why: str = ""
    what: str = ""
    who: str = ""
    how_much: str = ""
    where: str = ""
    adaptations: str = ""
    inputs: tuple[str, ...] = ()
    activities: tuple[str, ...] = ()
    outputs: tuple[str, ...] = ()
    outcomes: tuple[str, ...] = ()
    costs: tuple[Cost, ...] = ()
    currency: str = ""
    costs_leave_out: str = ""
    limits: Mapping[str, Annotated[int, Ge(1)]] = field(default_factory=dict)
    lessons: str = ""
    agreement: str = ""
    standards: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Deviation:
    """One departure from the plan: what was planned, what was done, why, when it was decided, what it may change."""

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    planned: str
    done: str
    why: str = ""
    when: When = "not known"
    may_change: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeats:
    """The study that is repeated, and the rule declared beforehand.

    Attributes
    ----------
    published : str
        Its name in the kit's table of published studies; or ``printed``.
    printed : Original or None
        What the original printed.
    kind : {"direct", "approximate", "conceptual"}
        How closely the original was followed; empty: not said.
    why, contact : str
        Why this study was chosen; whether its authors were asked, and what they said.
    rule : Rule
        The rule declared before our data were seen.
    bound : float or None
        Smallest size that would matter, declared beforehand.
    plan_file : str
        A file in the study folder that holds the plan; its fingerprint is printed.
    same_and_different : mapping of str to pair of str
        Feature -> original, ours; such as test, weeks, singers.
    deviations : tuple of Deviation
        Departures from the plan.
    """

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    published: str = ""
    printed: Original | None = None
    kind: Kind = ""
    why: str = ""
    contact: str = ""
    rule: Rule = "none_declared"
    bound: Annotated[float, Gt(0), Le(5)] | None = None
    plan_file: str = ""
    same_and_different: Mapping[str, tuple[str, str]] | None = None
    deviations: tuple[Deviation, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Research:
    """What a committee or a reporting checklist asks of a study beside its numbers, in the words of those who make it.

    Attributes
    ----------
    questions, eligibility, recruitment, sample_size, assignment, timing, masking, raters_trained, analysis : str
        How it was planned: questions and hypotheses; which choirs and students could take part; how they were found;
        how its size was chosen; how and by whom choirs were dealt out; when; who did not know which approach a choir
        had; how raters were trained; what of the analysis was planned.
    harms, generality, interpretation : str
        What went wrong for students; to whom results may extend; what they mean beside earlier work.
    registration, ethics_review, consent, funding, conflicts, prior_use, raters_masked, materials : str
        What stands in an author note; prior use of the same data; whether raters were masked; where materials are.
    """

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    questions: str = ""
    eligibility: str = ""
    recruitment: str = ""
    sample_size: str = ""
    assignment: str = ""
    timing: str = ""
    masking: str = ""
    raters_trained: str = ""
    analysis: str = ""
    harms: str = ""
    generality: str = ""
    interpretation: str = ""
    registration: str = ""
    ethics_review: str = ""
    consent: str = ""
    funding: str = ""
    conflicts: str = ""
    prior_use: str = ""
    raters_masked: str = ""
    materials: str = ""
