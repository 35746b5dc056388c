"""What a study file declares about its school files: which heading is what. Plain records, checked by ``kit.study``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import ClassVar, Literal

from kit.load.declared_music import (
    AttendanceSource,
    ChoirFrom,
    DateOrder,
    DrillSource,
    ItemSource,
    KeySource,
    PatternSource,
    RatingSource,
    Syllables,
)

Scale = Literal["", "points", "percent", "share"]
MissingReason = Literal[
    "absent", "excused", "declined", "voice", "left", "not_enrolled", "technical", "unscorable", "unspecified"
]
Dash = Literal["", "of", "range"]
Decimal = Literal["", ",", "."]
DateMarks = Literal["", "month_is_points", "day_is_points"]
Attempts = Literal["first", "last", "best", "mean"]
ChoirOfSchools = Literal["", "one_choir", "one_in_each"]

_STRICT: Mapping[str, str] = {"extra": "forbid"}


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkColumn:
    """One column of marks: of which occasion, of what, out of how many.

    ``attempt`` is the number of the try that the column holds, 0 where it is not told; ``adjudicates`` says that its
    rater marked only where the others disagreed. ``order`` lists words or letters used as marks from worst to best;
    ``parts`` the measures of a column whose cells hold several marks, ``part_points`` the most points of each.
    ``date`` is the heading of the day of this test.
    """

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    column: str
    occasion: str = ""
    measure: str = "total"
    max_points: float | None = None
    form: str = ""
    rater: str = ""
    attempt: int = 0
    adjudicates: bool | None = None
    order: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    part_points: tuple[float, ...] = ()
    date: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ScoreSource:
    """A file of marks. Headings are compared without regard to case and spaces.

    In the wide layout each mark column names its occasion; in the long layout ``occasion`` names
    the column that does. ``cells`` is the range (``"A1:D30"``) where a sheet holds two tables side by side;
    ``date_marks`` says what dates in a column of marks were typed as; ``raters`` lists initials that may stand
    behind a mark, as in ``17 (JM)``. ``total_of`` lists measures whose marks add up to a total; with ``prorate_from``
    a total is estimated from that many of them at least, else every one must have a mark.
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
    date_marks: DateMarks = ""
    date_order: DateOrder = ""
    raters: tuple[str, ...] = ()
    total_of: tuple[str, ...] = ()
    prorate_from: int = 0
    cells: str = ""
    decimal: Decimal = ""
    encoding: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RosterSource:
    """A file that lists the students of the choirs; ``moved_to`` names the school a student left for."""

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
    moved_to: str = ""
    cells: str = ""
    encoding: str = ""


Source = (
    ScoreSource | RosterSource | DrillSource | KeySource | PatternSource | ItemSource | RatingSource | AttendanceSource
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """What holds for all files of a study.

    Attributes
    ----------
    occasions : mapping of str to tuple of str
        Occasion -> other words for it in the files, in the order of time.
    id_width : int or None
        Digits of a student id, where leading zeros were lost in some files.
    attempts : str or None
        Which mark counts when a student was tested twice on one occasion; undeclared, the first one, but many ids with
        two marks are asked about.
    approaches : mapping of str to tuple of str
        Approach -> other words for it in the files.
    aliases : mapping of str to mapping of str to str
        Kind (student, choir, approach) -> other word in the files -> the word that counts, from the alias file.
    syllables : mapping of str to Syllables
        Choir -> its system; under ``"all"`` the system of every other choir.
    date_order : str
        Whether 9/10 is the ninth of October or September the tenth, where the dates themselves do not tell.
    school_year : int or None
        Calendar year in which the school year begins, for dates without a year.
    missing_codes : mapping of str to str
        Number in a mark cell -> why there is no mark, such as ``"999" = "absent"``.
    primary_choir : tuple of str
        Choirs that count where a student sings in several; for others the first one listed.
    choir_of_several_schools : str
        Whether a name of a choir that stands in several schools means ``"one_choir"`` or ``"one_in_each"``.
    groups_inside_choirs : bool
        Whether students, not choirs, were assigned to approaches.
    no_school : tuple of str
        Days without school, such as ``"2025-11-27"`` or ``"2025-12-22..2026-01-05"``.
    """

    occasions: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    id_width: int | None = None
    attempts: Attempts | None = None
    approaches: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    aliases: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    syllables: Mapping[str, Syllables] = field(default_factory=dict)
    date_order: DateOrder = ""
    school_year: int | None = None
    no_school: tuple[str, ...] = ()
    missing_codes: Mapping[str, MissingReason] = field(default_factory=dict)
    primary_choir: tuple[str, ...] = ()
    choir_of_several_schools: ChoirOfSchools = ""
    groups_inside_choirs: bool = False

    def syllables_of(self, source: DrillSource | ItemSource | KeySource | PatternSource, choir: str = "") -> Syllables:
        """Find the syllables of a file and choir: the file's own, else the choir's, else those of all."""
        return source.syllables or self.syllables.get(choir) or self.syllables.get("all") or Syllables()


def names_of(source: Source) -> tuple[str, ...]:
    """Headings that together make a student's name; none, one or several."""
    name = getattr(source, "name", ())
    if isinstance(name, str):
        return (name,) if name else ()
    return tuple(name)
