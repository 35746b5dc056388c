"""The printed numbers of an original study, as they stand in its text."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar, Literal, get_args

from kit.errors import UnknownChoiceError

OriginalDesign = Literal["two_groups", "one_group", "correlation"]
Direction = Literal["higher", "lower"]
Went = Literal["better", "worse", ""]


@dataclass(frozen=True, slots=True, kw_only=True)
class Original:
    """An original study by its printed statistics, each as text with the digits that were printed.

    Attributes
    ----------
    study : str
        Author and year.
    design : {"two_groups", "one_group", "correlation"}
        What was compared: program with comparison group, second test with first, or one score with another.
    n : tuple of int
        ``(program, comparison)`` students for two groups, else ``(students,)``.
    direction : {"higher", "lower"}
        Which scores are better; effects are given so that positive is better.
    went : {"better", "worse", ""}
        Which way the effect went (program better, or second test better), for a t, F or p printed without a sign.
    means, sds : tuple of str
        ``(program, comparison)`` or ``(first test, second test)``; empty where not printed.
    t, f, p, r, df : str
        Empty where not printed; F with one degree of freedom between. For one group r is the correlation of the tests.
    """

    __pydantic_config__: ClassVar[Mapping[str, str]] = {"extra": "forbid"}
    study: str
    design: OriginalDesign
    n: tuple[int, ...]
    direction: Direction
    went: Went = ""
    means: tuple[str, str] | tuple[()] = ()
    sds: tuple[str, str] | tuple[()] = ()
    t: str = ""
    f: str = ""
    p: str = ""
    r: str = ""
    df: str = ""

    def __post_init__(self) -> None:
        """Refuse words that do not exist and numbers of students that do not fit the design."""
        for option, words in (("design", OriginalDesign), ("direction", Direction), ("went", Went)):
            if getattr(self, option) not in get_args(words):
                raise UnknownChoiceError("Original", option, getattr(self, option), get_args(words))
        expected = 2 if self.design == "two_groups" else 1
        if len(self.n) != expected:
            raise ValueError(f"Original: n must hold {expected} numbers of students for {self.design}. Got {self.n!r}.")

    @property
    def df_expected(self) -> int:
        """Degrees of freedom that follow from the numbers of students."""
        return sum(self.n) - (1 if self.design == "one_group" else 2)
