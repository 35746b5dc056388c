"""Faults of study.toml: from what the checking library says to a line for a person, with its place in the file."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from kit.errors import Problem

FILE = "study.toml"

_WHOLE = "Write it without quotation marks, such as 12."
_SAYS = {
    "missing": ("The setting is missing.", "Add it."),
    "unexpected_keyword_argument": ("There is no such setting.", "Take it out, or correct its name."),
    "string_type": ("This should be text.", "Put it between quotation marks."),
    "bool_type": ("This should be true or false.", "Write true or false, without quotation marks."),
    "bool_parsing": ("This should be true or false.", "Write true or false, without quotation marks."),
    **dict.fromkeys(
        ("date_type", "date_parsing", "date_from_datetime_parsing", "date_from_datetime_inexact"),
        ("This should be a day.", "Write it as 2026-01-12."),
    ),
    "tuple_type": ("This should be a list.", 'Write it as ["one", "two"].'),
    **dict.fromkeys(("float_type", "float_parsing"), ("This should be a number.", _WHOLE.replace("12", "12 or 0.5"))),
    **dict.fromkeys(
        ("int_type", "int_parsing", "int_from_float"),
        ("This should be a whole number.", _WHOLE),
    ),
}


def fault_problem(fault: Mapping, lines: Mapping[tuple, int]) -> Problem:
    """Turn one fault of the checking library into a line for a person.

    Parameters
    ----------
    fault : mapping
        As the checking library lists it.
    lines : mapping of tuple to int
        From `setting_lines`.

    Returns
    -------
    Problem
        With the line of the study file, what was found and what to write instead.
    """
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
        found, do = f"{fault['input']!r} will not do.", f"{fault['msg'].replace('Input', 'It')}.{_as_share(fault)}"
    return Problem(why="setting", file=FILE, row=line, column=key, found=found, do=do)


def _as_share(fault: Mapping) -> str:
    """Write a percentage as the share that a setting asks for; empty for other faults."""
    most, given = (fault.get("ctx") or {}).get("lt", (fault.get("ctx") or {}).get("le")), fault["input"]
    percent = most == 1 and isinstance(given, int | float) and 1 < given < 100
    return f" As a share, {given:g} percent is {given / 100:g}." if percent else ""


def _is_branch(part: object) -> bool:
    """Say whether a part of a fault's place is the checker's own word for one of several allowed kinds."""
    return isinstance(part, str) and (part == "str" or "[" in part or part in ("float", "int", "constrained-float"))


def setting_lines(text: str) -> Iterator[tuple[tuple, int]]:
    """Tell the line of every section and key of a TOML text.

    Parameters
    ----------
    text : str
        The study file.

    Yields
    ------
    path : tuple of str and int
        Section and key, with the number of a repeated section.
    line : int
        Its line, from 1.
    """
    section: tuple = ()
    counts: dict[tuple, int] = {}
    for number, line in enumerate(text.splitlines(), 1):
        if header := re.match(r"\s*(\[\[?)\s*([\w\s.\"'-]+?)\s*\]\]?\s*(?:#.*)?$", line):
            names = tuple(name.strip().strip("\"'") for name in header[2].split("."))
            section = _numbered(names, counts, repeats=header[1] == "[[")
            yield section, number
        elif key := re.match(r"\s*(\"[^\"]*\"|'[^']*'|[\w-]+)\s*=", line):
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


def listed(words: list[str]) -> str:
    """List words in quotation marks."""
    return ", ".join(f'"{word}"' for word in words)
