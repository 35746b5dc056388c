"""What can go wrong, named: faults of files and settings, all at once; too little data; no fit; an unknown option."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One fault, said so that a teacher can mend it.

    Attributes
    ----------
    why : str
        Reason code, a key of ``kit.reasons.REASONS``.
    found : str
        What stands there, in words.
    do : str
        What to do about it, in words.
    file, sheet, column : str
        Where; empty where it does not apply.
    row : int or None
        Row as the spreadsheet program shows it, counted from 1; for text files the line.
    type_this : str
        Line of the study file that would settle it, such as ``id_width = 5``; empty where the school's file is to
        be mended instead.
    """

    why: str
    found: str
    do: str
    file: str = ""
    sheet: str = ""
    row: int | None = None
    column: str = ""
    type_this: str = ""

    @property
    def place(self) -> str:
        """Say where, the way a person would: ``spring.xlsx, sheet "Grade 6", row 14, column Post``."""
        settings = self.file.endswith(".toml")
        parts = [
            self.file,
            f'sheet "{self.sheet}"' if self.sheet else "",
            f"{'line' if settings else 'row'} {self.row}" if self.row is not None else "",
            f"{'' if settings else 'column '}{self.column}" if self.column else "",
        ]
        return ", ".join(part for part in parts if part)

    def __str__(self) -> str:
        """Give place, finding and remedy in one line."""
        place = f"{self.place}: " if self.place else ""
        return f"{place}{self.found} {self.do}".strip()


class StudyProblems(ValueError):
    """Files or settings cannot be used as they stand; ``problems`` lists every reason at once.

    Parameters
    ----------
    problems : iterable of Problem
        All faults, most serious first.
    """

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))

    def _render_traceback_(self) -> list[str]:
        """Show the problems alone in a notebook: where the kit found them helps nobody to mend a file."""
        return [f"{len(self.problems)} to mend:", *map(str, self.problems)]


class TooFewError(ValueError):
    """Too few students, choirs or days, or too little spread, for the statistic asked for."""


class NotConvergedError(ValueError):
    """A search for the best fit did not arrive, so there is no number to give."""


class ClaimRefusedError(ValueError):
    """A sentence says more than the design of the study can support."""


class UnknownChoiceError(ValueError):
    """An option was given a word that it does not have.

    Parameters
    ----------
    function, option : str
        Who was asked, and for what.
    value : object
        The word that was given.
    choices : tuple of str
        Every word that is allowed.
    """

    def __init__(self, function: str, option: str, value: object, choices: tuple[str, ...]) -> None:
        listed = ", ".join(repr(choice) for choice in choices)
        super().__init__(f"{function}: {option} must be one of {listed}. Got {value!r}.")
