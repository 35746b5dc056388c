"""What study.toml may say, and every fault of one at once, each with its line and what to write instead."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields, replace
from datetime import date
from pathlib import Path
from typing import Annotated, ClassVar

from annotated_types import Ge, Gt, Le, Lt

from kit.errors import Problem, StudyProblems
from kit.faults import FILE, fault_problem, listed, setting_lines
from kit.load.declared import Attempts, ChoirOfSchools, MissingReason, RosterSource, Rules, ScoreSource, Source
from kit.load.declared_music import (
    AttendanceSource,
    DateOrder,
    DrillSource,
    ItemSource,
    KeySource,
    PatternSource,
    RatingSource,
    Syllables,
)
from kit.purpose import Program, Repeats, Research, Target
from kit.questions.compared import Comparison
from kit.questions.design import How
from kit.questions.practice.plan import Practice

SECTION_OF: Mapping[type, str] = {
    RosterSource: "rosters", ScoreSource: "scores", KeySource: "keys", ItemSource: "items", PatternSource: "patterns",
    DrillSource: "drills", RatingSource: "ratings", AttendanceSource: "attendance",
}  # fmt: skip
"""Kind of file -> its section of study.toml."""
KINDS = tuple(SECTION_OF.values())

_USUAL = {"before": "pre", "after": "post"}
_STRICT: Mapping[str, str] = {"extra": "forbid"}
_DAYS = re.compile(r"\d{4}-\d{2}-\d{2}(?:\.\.\d{4}-\d{2}-\d{2})?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Assignment:
    """How students or choirs came to their teaching approach."""

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    how: How = "undeclared"


@dataclass(frozen=True, slots=True, kw_only=True)
class DeclaredTest:
    """What is known of a test beside its marks."""

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    what: str = ""
    reliability: Annotated[float, Ge(0), Lt(1)] | None = None
    reliability_from: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """A study file.

    Attributes
    ----------
    title : str
        Title of the study, printed on every report.
    before, after : str
        The two occasions whose change is reported.
    measure : str
        The measure reported first; empty: the only one, or ``total``.
    rater : str
        Whose marks count where several raters marked the same students.
    level : float
        Confidence level of all intervals.
    seed : int
        Seed of all resampling, printed in the report.
    synthetic : bool
        Whether the data are invented; then every page says so.
    aliases : str
        File of other spellings: columns kind (student, choir, approach), found, means.
    id_width, attempts, occasions, approaches, syllables, date_order, school_year, no_school,
    missing_codes, primary_choir, choir_of_several_schools, groups_inside_choirs
        See ``kit.load.declared.Rules``; the first word of an occasion is printed as its label.
    starts : mapping of str to date
        Choir -> the day on which it began with what is new, where choirs began one after another: under ``[starts]``
        lines such as ``"Treble 1" = 2026-01-12``.
    assignment, comparison, tests, practice, program, targets, repeats, research, and a list of files of each kind
        See the classes of those names; one file of marks, single notes, drills or ratings at least.
    """

    __pydantic_config__: ClassVar[Mapping[str, str]] = _STRICT
    title: str
    before: str = "pre"
    after: str = "post"
    measure: str = ""
    rater: str = ""
    level: Annotated[float, Gt(0), Lt(1)] = 0.95
    seed: int = 1
    synthetic: bool = False
    id_width: Annotated[int, Ge(1), Le(20)] | None = None
    attempts: Attempts | None = None
    occasions: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    approaches: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    aliases: str = ""
    syllables: Mapping[str, Syllables] = field(default_factory=dict)
    date_order: DateOrder = ""
    school_year: Annotated[int, Ge(1900), Le(2200)] | None = None
    no_school: tuple[str, ...] = ()
    missing_codes: Mapping[str, MissingReason] = field(default_factory=dict)
    primary_choir: tuple[str, ...] = ()
    choir_of_several_schools: ChoirOfSchools = ""
    groups_inside_choirs: bool = False
    starts: Mapping[str, date] = field(default_factory=dict)
    assignment: Assignment = Assignment()
    comparison: Comparison = field(default_factory=Comparison)
    tests: Mapping[str, DeclaredTest] = field(default_factory=dict)
    practice: Practice = field(default_factory=Practice)
    program: Program = field(default_factory=Program)
    targets: tuple[Target, ...] = ()
    repeats: Repeats = field(default_factory=Repeats)
    research: Research = field(default_factory=Research)
    scores: tuple[ScoreSource, ...] = ()
    rosters: tuple[RosterSource, ...] = ()
    items: tuple[ItemSource, ...] = ()
    keys: tuple[KeySource, ...] = ()
    drills: tuple[DrillSource, ...] = ()
    patterns: tuple[PatternSource, ...] = ()
    ratings: tuple[RatingSource, ...] = ()
    attendance: tuple[AttendanceSource, ...] = ()

    @property
    def sources(self) -> tuple[Source, ...]:
        """Every declared file."""
        return tuple(source for kind in KINDS for source in getattr(self, kind))

    @property
    def rules(self) -> Rules:
        """What holds for all files; the alias file is still to be read."""
        shared = {field.name for field in fields(Rules)} & {field.name for field in fields(self)} - {"aliases"}
        rules = Rules(**{name: getattr(self, name) for name in shared})
        # students assigned one by one are of several groups in one choir
        return replace(rules, groups_inside_choirs=True) if self.assignment.how == "students_at_random" else rules

    def label(self, occasion: str) -> str:
        """Name an occasion the way reports print it."""
        words = self.occasions.get(occasion, ())
        return words[0] if words else occasion


def read_settings(folder: Path) -> Settings:
    """Read and check the study file of a folder.

    Parameters
    ----------
    folder : Path
        The study folder.

    Returns
    -------
    Settings
        The study file, complete with defaults.

    Raises
    ------
    StudyProblems
        If the file is missing or is no TOML, or with every fault of every setting.
    """
    path = folder / FILE
    if not folder.exists():
        raise StudyProblems([
            Problem(why="file_missing", file=folder.name, found="There is no such file or folder.",
                    do="Check its name, and where you are.")
        ])  # fmt: skip
    if not path.is_file():
        raise StudyProblems([
            Problem(why="file_missing", file=FILE, found=f"There is no {FILE} in {folder.name or 'this folder'}.",
                    do="Make one with: python -m kit new FOLDER --from FILES")
        ])  # fmt: skip
    text = _text_of(path)
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        at = re.search(r"line (\d+)", str(error))
        raise StudyProblems([
            Problem(why="setting", file=FILE, row=int(at[1]) if at else None,
                    found=f"The line cannot be read: {str(error).partition(' (')[0].lower()}.",
                    do='Write settings as  name = "value"  and lists as  ["one", "two"].')
        ]) from None  # fmt: skip
    return check_settings(raw, text)


def _text_of(path: Path) -> str:
    """Read the study file as text; saved with another encoding it is refused, with its first such line."""
    content = path.read_bytes()
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise StudyProblems([
            Problem(why="setting", file=FILE, row=content.count(b"\n", 0, error.start) + 1,
                    found="A letter cannot be read, since the file is not saved as UTF-8.",
                    do="Save it again with the encoding UTF-8; editors ask for it under Save as.")
        ]) from None  # fmt: skip


def check_settings(raw: Mapping, text: str = "") -> Settings:
    """Check the content of a study file.

    Parameters
    ----------
    raw : mapping
        The parsed file.
    text : str, optional
        The file itself, to tell the line of each fault.

    Returns
    -------
    Settings

    Raises
    ------
    StudyProblems
        With every fault at once.
    """
    # here, since the check of a single file has no study file and need not wait for the checking library
    from pydantic import TypeAdapter, ValidationError  # noqa: PLC0415

    try:
        settings = TypeAdapter(Settings).validate_python(raw)
    except ValidationError as error:
        lines = dict(setting_lines(text))
        raise StudyProblems([fault_problem(fault, lines) for fault in error.errors()]) from None
    faults = list(_contradictions(settings, dict(setting_lines(text))))
    if faults:
        raise StudyProblems(faults)
    return settings


def _contradictions(settings: Settings, lines: Mapping[tuple, int]) -> Iterator[Problem]:
    """Find settings that do not go together."""
    yield from _missing_or_misspelt(settings, lines)
    known = set(settings.occasions) | {mark.occasion for source in settings.scores for mark in source.marks} - {""}
    for name in ("before", "after"):
        occasion = getattr(settings, name)
        # a study with one test so far keeps the usual name of the other
        waits = occasion == _USUAL[name] and {settings.before, settings.after} & known
        if known and occasion not in known and not waits:
            yield Problem(
                why="setting", file=FILE, row=lines.get((name,)), column=name,
                found=f'"{occasion}" is no occasion of this study.', do=f"Write one of {listed(sorted(known))}.",
            )  # fmt: skip
    meant: dict[str, str] = {}
    for occasion, words in settings.occasions.items():
        for word in words:
            if meant.setdefault(word.casefold(), occasion) != occasion:
                yield Problem(
                    why="setting", file=FILE, row=lines.get(("occasions", occasion)), column=f"occasions.{occasion}",
                    found=f'"{word}" is also a word for {meant[word.casefold()]}.',
                    do="Leave it under one occasion only.",
                )  # fmt: skip
    if settings.before == settings.after:
        yield Problem(
            why="setting", file=FILE, row=lines.get(("after",)), column="after",
            found="The two occasions are the same.", do="Name two different occasions.",
        )  # fmt: skip
    for name, test in settings.tests.items():
        if test.reliability is not None and not test.reliability_from:
            yield Problem(
                why="setting", file=FILE, row=lines.get(("tests", name, "reliability")), column="reliability",
                found="The reliability has no source.",
                do='Say where it is from: reliability_from = "two melodies, spring 2026".',
            )  # fmt: skip


def _missing_or_misspelt(settings: Settings, lines: Mapping[tuple, int]) -> Iterator[Problem]:
    """Find that no file is named, and days that are none."""
    if not any((settings.scores, settings.items, settings.drills, settings.ratings)):
        yield Problem(
            why="setting", file=FILE, found="The study names no file of marks, single notes, drills or ratings.",
            do="Add a section such as  [[scores]]  with  file = \"scores.xlsx\".",
        )  # fmt: skip
    for days in settings.no_school:
        if not _DAYS.fullmatch(days):
            yield Problem(
                why="setting", file=FILE, row=lines.get(("no_school",)), column="no_school",
                found=f'"{days}" is no day or span of days.',
                do='Write days as "2025-11-27" and spans as "2025-12-22..2026-01-05".',
            )  # fmt: skip
