"""The lines of a proposed study.toml: each setting with its evidence, each open question marked ``decide:``."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import MISSING, Field, fields, is_dataclass, replace

from kit.errors import Problem
from kit.load.columns import mark_heading
from kit.load.declared import MarkColumn
from kit.load.files import Loaded
from kit.load.suggest import Suggestion
from kit.settings import SECTION_OF
from kit.undeclared import OCCASIONS, Undeclared, occasion_words

_PLAIN = {"pre": "first test", "mid": "middle test", "post": "second test", "later": "later test"}


def proposal(title: str, read: Undeclared) -> Iterator[str]:
    """Write the lines of a proposed study file.

    Parameters
    ----------
    title : str
        Title of the study.
    read : Undeclared
        The files as read with nothing declared.

    Yields
    ------
    str
        Line by line.
    """
    loaded = read.loaded
    yield "# Proposed from the headings of your files. Read it once; lines marked  decide:  need an answer from you."
    yield f"title = {_quoted(title)}"
    ordered = _occasions(loaded)
    yield from _compared_lines(ordered)
    yield from _rater_lines(loaded)
    for line, found in read.settled.items():
        yield f"# {found}"
        yield line
    proposed = {suggestion.source.file for suggestion in loaded.suggestions if suggestion.unclear}
    asked = [problem for problem in loaded.problems if problem.why != "occasion_order" or problem.file not in proposed]
    yield from _question_lines(asked)
    yield from _assignment_lines()
    yield from _comparison_lines(loaded)
    yield "[occasions]  # the first word is printed in reports, the others are words for it in your files"
    for occasion in ordered or ["pre", "post"]:
        yield f"{_key(occasion)} = {_written(_words(occasion, loaded))}"
    for suggestion in _different(loaded.suggestions):
        yield from _source_lines(suggestion, read.evidence.get((type(suggestion.source), suggestion.source.file), ()))


def _occasions(loaded: Loaded) -> list[str]:
    """List the occasions in the order of time; those that have only the school's words for a name come last."""
    found = dict.fromkeys([*loaded.scores["occasion"], *loaded.items["occasion"]])
    unclear = [
        mark.occasion for suggestion in loaded.suggestions if suggestion.unclear for mark in suggestion.source.marks
    ]
    return [*(word for word in OCCASIONS if word in found), *dict.fromkeys(unclear)]


def _compared_lines(occasions: Sequence[str]) -> Iterator[str]:
    """Propose which two tests are compared; asks where that is not clear."""
    known = [word for word in OCCASIONS if word in occasions]
    if len(known) < len(occasions):
        yield f"# decide: which two tests are compared? There are {', '.join(map(_quoted, occasions))}."
        yield f"# before = {_quoted(occasions[0])}"
        yield f"# after = {_quoted(occasions[-1])}"
        return
    yield f'before = "{known[0] if known and known != ["post"] else "pre"}"'
    yield f'after = "{known[-1] if len(known) > 1 else "post"}"'


def _question_lines(problems: Sequence[Problem]) -> Iterator[str]:
    """Ask what must be decided or mended before the files can be used, with the setting that would settle it."""
    for problem in problems:
        yield f"# decide: {problem}"
        if problem.type_this:
            yield from (f"# {line}" for line in problem.type_this.splitlines())


def _assignment_lines() -> Iterator[str]:
    """Ask how choirs or students came to an approach."""
    yield ""
    yield "[assignment]"
    yield "# decide: how did choirs or students come to a teaching approach?"
    yield '# "none" if everybody was taught the same way.'
    yield '# The other words: "schools_chose", "teachers_chose", "cutoff", "students_at_random", "choirs_at_random".'
    yield 'how = "undeclared"'
    yield ""


def _rater_lines(loaded: Loaded) -> Iterator[str]:
    """Propose whose marks count where several raters marked the same tests."""
    marked = loaded.scores[(loaded.scores["missing_reason"] == "") & (loaded.scores["rater"] != "")]
    each = marked.groupby(["student", "occasion", "measure"], sort=False)["rater"].nunique()
    if (each > 1).any():
        counts = marked["rater"].value_counts()
        listed = ", ".join(f"{rater} {number}" for rater, number in counts.items())
        yield f"# decide: whose marks count where several raters marked one test (marks of each: {listed})"
        yield f"rater = {_quoted(counts.index[0])}"


def _different(suggestions: Sequence[Suggestion]) -> list[Suggestion]:
    """Keep one suggestion of sheets that were understood alike; others name their sheets."""
    kept: list[tuple[Suggestion, list[str]]] = []
    for suggestion in suggestions:
        same = next((sheets for known, sheets in kept if known.source == suggestion.source), None)
        if same is None:
            kept.append((suggestion, [suggestion.sheet]))
        else:
            same.append(suggestion.sheet)
    places = [(type(suggestion.source), suggestion.source.file) for suggestion, _ in kept]
    return [
        replace(suggestion, source=replace(suggestion.source, sheets=tuple(sheets)))
        if places.count((type(suggestion.source), suggestion.source.file)) > 1 and all(sheets)
        else suggestion
        for suggestion, sheets in kept
    ]


def _source_lines(suggestion: Suggestion, more: Sequence[str]) -> Iterator[str]:
    """Write the section of one file."""
    source, section = suggestion.source, SECTION_OF[type(suggestion.source)]
    yield ""
    yield from (f"# {sentence}" for sentence in (*suggestion.evidence, *more))
    yield from (f"# decide: {question}" for question in suggestion.decide if not suggestion.unclear)
    if getattr(source, "syllables", None):
        yield "# decide: do these singers name the notes this way?"
    yield f"[[{section}]]"
    for field in fields(source):
        value = getattr(source, field.name)
        if field.name != "marks" and value != _default(field) and value is not None:
            yield f"{field.name} = {_written(value)}"
    for mark in getattr(source, "marks", ()):
        yield from _mark_lines(mark)


def _mark_lines(mark: MarkColumn) -> Iterator[str]:
    """Write the section of one column of marks."""
    yield "[[scores.marks]]"
    for field in fields(MarkColumn):
        value = getattr(mark, field.name)
        if field.name in ("column", "measure") or (value != _default(field) and value is not None):
            yield f"{field.name} = {_written(value)}"
    if mark.max_points is None and not mark.order and not mark.part_points:
        yield "# decide: the most points that can be earned, unless every mark says it (17/20)"
        yield "# max_points = "


def _default(field: Field) -> object:
    """Value of a field where nothing is said."""
    if field.default_factory is not MISSING:
        return field.default_factory()
    return None if field.default is MISSING else field.default


def _words(occasion: str, loaded: Loaded) -> tuple[str, ...]:
    """Find the school's own words for an occasion; the first one is what reports print."""
    found = list(occasion_words(loaded.suggestions).get(occasion, ()))
    for suggestion in loaded.suggestions:
        found += [
            said
            for mark in getattr(suggestion.source, "marks", ())
            if mark.occasion == occasion and mark.measure == "total" and (said := _said(mark.column))
        ]
    return tuple(dict.fromkeys(found or [_PLAIN.get(occasion, occasion)]))


def _said(heading: str) -> str:
    """Find the words of a heading that name its occasion, as they are written there; empty where it names none."""
    mark = mark_heading(heading)
    if mark is None or not mark.said:
        return ""
    at = heading.casefold().find(mark.said)
    return heading[at : at + len(mark.said)] if at >= 0 else mark.said.capitalize()


def _comparison_lines(loaded: Loaded) -> Iterator[str]:
    """Ask which of two approaches is the one that is compared with the other."""
    approaches = [approach for approach in dict.fromkeys(loaded.students["approach"]) if approach]
    if len(approaches) == 2:
        yield "[comparison]"
        yield "# decide: which approach is new? A difference is the score of the program minus that of the comparison."
        yield f"# program = {_quoted(approaches[0])}"
        yield f"# comparison = {_quoted(approaches[1])}"
        yield ""


def _written(value: object) -> str:
    """Write a value the way TOML does."""
    if is_dataclass(value):
        value = {
            field.name: getattr(value, field.name)
            for field in fields(value)
            if getattr(value, field.name) != _default(field)
        }
    if isinstance(value, Mapping):
        return f"{{ {', '.join(f'{_key(key)} = {_written(each)}' for key, each in value.items())} }}"
    if isinstance(value, tuple):
        return f"[{', '.join(map(_written, value))}]"
    if isinstance(value, bool):
        return "true" if value else "false"
    return _quoted(value) if isinstance(value, str) else f"{value:g}"


def _key(word: str) -> str:
    """Write the name of a setting, in quotation marks where TOML asks for them."""
    return word if re.fullmatch(r"[A-Za-z0-9_-]+", word) else _quoted(word)


def _quoted(text: str) -> str:
    """Write text the way TOML does, marks that a file must not hold left out."""
    plain = "".join(mark if mark.isprintable() else " " for mark in text)
    return '"' + plain.replace("\\", "\\\\").replace('"', '\\"') + '"'
