"""What a study file declares about its school files: which heading is what. Plain records, checked by ``kit.study``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import ClassVar, Literal

Scale = Literal["", "points", "percent", "share"]
Dash = Literal["", "of", "range"]
Decimal = Literal["", ",", "."]
ChoirFrom = Literal["", "column", "sheet", "title"]
Attempts = Literal["first", "last", "best", "mean"]

_STRICT: Mapping[str, str] = {"extra": "forbid"}


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkColumn:
    """One column of marks: of which occasion, of what, out of how many."""

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    column: str
    occasion: str = ""
    measure: str = "total"
    max_points: float | None = None
    form: str = ""
    rater: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ScoreSource:
    """A file of marks. Headings are compared without regard to case and spaces.

    In the wide layout each mark column names its occasion; in the long layout ``occasion`` names
    the column that does.
    """

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    file: str
    sheets: tuple[str, ...] = ()
    student: str = ""
    name: tuple[str, ...] | str = ()
    choir: str = ""
    choir_from: ChoirFrom = ""
    occasion: str = ""
    date: str = ""
    form: str = ""
    rater: str = ""
    attempt: str = ""
    max_points: str = ""
    marks: tuple[MarkColumn, ...] = ()
    scale: Scale = ""
    dash: Dash = ""
    decimal: Decimal = ""
    encoding: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RosterSource:
    """A file that lists the students of the choirs."""

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    file: str
    sheets: tuple[str, ...] = ()
    student: str = ""
    name: tuple[str, ...] | str = ()
    choir: str = ""
    choir_from: ChoirFrom = ""
    school: str = ""
    grade: str = ""
    voice_part: str = ""
    approach: str = ""
    experience: str = ""
    consent: str = ""
    encoding: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """What holds for all files of a study.

    Attributes
    ----------
    occasions : mapping of str to tuple of str
        Occasion -> other words for it in the files, in the order of time.
    id_width : int or None
        Digits of a student id, where leading zeros were lost in some files.
    attempts : str
        Which mark counts when a student was tested twice on one occasion.
    approaches : mapping of str to tuple of str
        Approach -> other words for it in the files.
    """

    occasions: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    id_width: int | None = None
    attempts: Attempts = "first"
    approaches: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def names_of(source: ScoreSource | RosterSource) -> tuple[str, ...]:
    """Headings that together make a student's name; none, one or several."""
    if isinstance(source.name, str):
        return (source.name,) if source.name else ()
    return tuple(source.name)
