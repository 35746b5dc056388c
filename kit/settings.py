"""What study.toml may say, and every fault of one at once, each with its line and what to write instead."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, ClassVar

from annotated_types import Ge, Gt, Le, Lt, MinLen

from kit.errors import Problem, StudyProblems
from kit.load.declared import Attempts, RosterSource, Rules, ScoreSource, Source
from kit.questions.design import How

FILE = "study.toml"

_STRICT: Mapping[str, str] = {"extra": "forbid"}


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
    id_width, attempts, occasions, approaches
        See ``kit.load.declared.Rules``; the first word of an occasion is printed as its label.
    assignment, tests, scores, rosters
        See the classes of those names.
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
    attempts: Attempts = "first"
    occasions: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    approaches: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    assignment: Assignment = Assignment()
    tests: Mapping[str, DeclaredTest] = field(default_factory=dict)
    scores: Annotated[tuple[ScoreSource, ...], MinLen(1)]
    rosters: tuple[RosterSource, ...] = ()

    @property
    def sources(self) -> tuple[Source, ...]:
        """Every declared file."""
        return (*self.rosters, *self.scores)

    @property
    def rules(self) -> Rules:
        """What holds for all files."""
        return Rules(
            occasions=self.occasions, id_width=self.id_width, attempts=self.attempts, approaches=self.approaches
        )

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
    text = path.read_text(encoding="utf-8-sig")
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
        lines = dict(_lines(text))
        faults = error.errors()
        below = {fault["loc"][0] for fault in faults if len(fault["loc"]) > 1}
        # a list whose every entry is at fault is also called too short: the entries' own faults say enough
        told = [fault for fault in faults if fault["type"] != "too_short" or fault["loc"][0] not in below]
        raise StudyProblems([_problem(fault, lines) for fault in told]) from None
    faults = list(_contradictions(settings, dict(_lines(text))))
    if faults:
        raise StudyProblems(faults)
    return settings


def _contradictions(settings: Settings, lines: Mapping[tuple, int]) -> Iterator[Problem]:
    """Find settings that do not go together."""
    known = set(settings.occasions) | {mark.occasion for source in settings.scores for mark in source.marks} - {""}
    for name in ("before", "after"):
        occasion = getattr(settings, name)
        if known and occasion not in known:
            yield Problem(
                why="setting", file=FILE, row=lines.get((name,)), column=name,
                found=f'"{occasion}" is no occasion of this study.', do=f"Write one of {_listed(sorted(known))}.",
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


_SAYS = {
    "missing": ("The setting is missing.", "Add it."),
    "unexpected_keyword_argument": ("There is no such setting.", "Take it out, or correct its name."),
    "string_type": ("This should be text.", "Put it between quotation marks."),
    "bool_type": ("This should be true or false.", "Write true or false, without quotation marks."),
    "bool_parsing": ("This should be true or false.", "Write true or false, without quotation marks."),
    "tuple_type": ("This should be a list.", 'Write it as ["one", "two"].'),
    "too_short": ("The list is empty.", "Add at least one."),
}


def _problem(fault: Mapping, lines: Mapping[tuple, int]) -> Problem:
    """Turn one fault of the checking library into a line for a person."""
    where = tuple(part for part in fault["loc"] if not _is_branch(part))
    key = ".".join(f"{part + 1}" if isinstance(part, int) else str(part) for part in where)
    line = next((lines[where[:size]] for size in range(len(where), 0, -1) if where[:size] in lines), None)
    if fault["type"] in ("dataclass_type", "mapping_type", "dict_type"):
        found, do = "This should be a section.", "Write it as a [section] with lines of  name = value  below it."
    elif fault["type"] == "literal_error":
        found, do = f"There is no choice {fault['input']!r}.", f"Write one of {fault['ctx']['expected']}."
    elif fault["type"] in _SAYS:
        found, do = _SAYS[fault["type"]]
    else:
        found, do = f"{fault['input']!r} will not do.", f"{fault['msg'].replace('Input', 'It')}."
    return Problem(why="setting", file=FILE, row=line, column=key, found=found, do=do)


def _is_branch(part: object) -> bool:
    """Say whether a part of a fault's place is the checker's own word for one of several allowed kinds."""
    return isinstance(part, str) and (part == "str" or "[" in part or part in ("float", "int", "constrained-float"))


def _lines(text: str) -> Iterator[tuple[tuple, int]]:
    """Tell the line of every section and key of a TOML text by its path."""
    section: tuple = ()
    counts: dict[tuple, int] = {}
    for number, line in enumerate(text.splitlines(), 1):
        if header := re.match(r"\s*(\[\[?)\s*([\w\s.\"'-]+?)\s*\]\]?\s*(?:#.*)?$", line):
            names = tuple(name.strip().strip("\"'") for name in header[2].split("."))
            section = _numbered(names, counts, repeats=header[1] == "[[")
            yield section, number
        elif key := re.match(r"\s*([\w\"'-]+)\s*=", line):
            yield (*section, key[1].strip("\"'")), number


def _numbered(names: tuple[str, ...], counts: dict[tuple, int], *, repeats: bool) -> tuple:
    """Put into a section's path how many of its repeated parents and itself came before."""
    path: tuple = ()
    for depth, name in enumerate(names):
        path = (*path, name)
        if depth == len(names) - 1 and repeats:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path


def _listed(words: list[str]) -> str:
    """List words in quotation marks."""
    return ", ".join(f'"{word}"' for word in words)
