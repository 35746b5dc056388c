"""What an undeclared sheet seems to hold: a complete source with the evidence, for a person to decide."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from kit.load.columns import (
    FAMILIES,
    MarkHeading,
    day_heading,
    field_of,
    mark_heading,
    named_occasion,
    occasion_of,
    plain,
)
from kit.load.declared import MarkColumn, RosterSource, ScoreSource, Source
from kit.load.formats.cells import Value
from kit.load.layout import Header
from kit.load.people.keys import id_text
from kit.load.ratings.rater_headings import raters_in_headings, without_initials

ONE_TEST = "no heading names an occasion: one test only"
_ORDERS = {1: ("pre",), 2: ("pre", "post"), 3: ("pre", "mid", "post")}


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A source with every field filled that the headings tell, why, and what stays open.

    ``occasions`` gives the words of a long sheet's occasion column and what they were taken for; ``sheet`` is the
    sheet it is about, ``unread`` the headings that mean nothing to the kit. Where ``unclear``, each occasion has the
    words of the school for its name, and the sheet is not to be used until somebody says which two are compared.
    """

    source: Source
    evidence: tuple[str, ...]
    decide: tuple[str, ...] = ()
    occasions: tuple[tuple[str, str], ...] = ()
    sheet: str = ""
    unread: tuple[str, ...] = ()
    unclear: bool = False


def suggest_scores(source: ScoreSource, header: Header, rows: list[list[Value]]) -> Suggestion:
    """Fill the undeclared fields of a score source from the headings.

    Parameters
    ----------
    source : ScoreSource
        As far as it is declared; declared fields stay as they are.
    header : Header
        The header of the sheet.
    rows : list of list
        The rows below the header, to tell ids from names.

    Returns
    -------
    Suggestion
        ``source.marks`` stays empty where no column of marks is recognised.
    """
    fields = ("student", "name", "choir", "date", "form", "rater", "attempt", "max_points")
    filled, evidence = fill_fields(source, header, rows, fields, field_of)
    if source.marks:
        return Suggestion(filled, tuple(evidence))
    headings = [heading for heading in header.headings if heading and heading not in _taken(filled)]
    raters = raters_in_headings(header, rows, headings)
    found = [mark for heading in headings if (mark := _mark(heading, raters.get(heading, "")))]
    timed = [mark for mark in found if mark.whens]
    unclear = False
    if timed:
        marks, why, decide, unclear = _wide(timed)
        days = {rank: heading for heading in headings if (rank := day_heading(heading))}
        whens = {mark.column: mark.whens for mark in timed}
        marks = tuple(
            replace(mark, date=next((days[when] for when in whens[mark.column] if when in days), "")) for mark in marks
        )
    else:
        occasion = next((heading for heading in headings if field_of(heading) == "occasion"), "")
        filled = replace(filled, occasion=source.occasion or occasion)
        marks, why, decide = _long(found, filled.occasion)
    if raters:
        marks = tuple(replace(mark, rater=raters.get(mark.column, "")) for mark in marks)
        listed = sorted(set(raters.values()))
        why = [*why, f"the columns that differ in {' and '.join(listed)} hold much the same marks: two raters"]
        decide = (*decide, f'whose marks count? write, for example, rater = "{listed[0]}" at the top of the study file')
    return Suggestion(replace(filled, marks=marks), (*evidence, *why), decide, unclear=unclear)


def _mark(heading: str, rater: str) -> MarkHeading | None:
    """Read the heading of a column of marks, without the initials of a rater."""
    bare = without_initials(heading, rater) if rater else heading
    if rater and not bare:
        return MarkHeading(heading, "total")
    mark = mark_heading(bare) if field_of(bare) in ("", "points") else None
    return replace(mark, column=heading) if mark else None


def suggest_roster(source: RosterSource, header: Header, rows: list[list[Value]]) -> Suggestion:
    """Fill the undeclared fields of a roster source from the headings."""
    fields = ("student", "name", "choir", "school", "grade", "voice_part", "approach", "experience", "consent",
              "moved_to")  # fmt: skip
    filled, evidence = fill_fields(source, header, rows, fields, field_of)
    return Suggestion(filled, tuple(evidence))


def fill_fields(
    source: Source, header: Header, rows: list[list[Value]], fields: tuple[str, ...], words: Callable[[object], str]
) -> tuple[Source, list[str]]:
    """Fill each undeclared field of a source with the first heading that means it.

    Parameters
    ----------
    source : Source
        As far as it is declared.
    header : Header
        The header of the sheet.
    rows : list of list
        The rows below the header, to tell ids from names.
    fields : tuple of str
        Fields to fill.
    words : callable
        Heading -> the field that it means, empty for none.

    Returns
    -------
    source : Source
        With the fields filled.
    evidence : list of str
        A sentence for each.
    """
    evidence = []
    for field in fields:
        if getattr(source, field):
            continue
        headings = tuple(
            heading for heading in header.headings if heading and _means(heading, header, rows, words) == field
        )
        if headings:
            source = replace(source, **{field: headings if field == "name" else headings[0]})
            evidence.append(
                f'{field.replace("_", " ")}: column "{" + ".join(headings[: 2 if field == "name" else 1])}"'
            )
    return source, evidence


def _means(heading: str, header: Header, rows: list[list[Value]], words: Callable[[object], str]) -> str:
    """Name the field of a heading; one called Student or Singer holds ids where most of its cells have digits."""
    field = words(heading)
    if plain(heading) in ("student", "singer", "pupil"):
        texts = [id_text(row[at]) for row in rows if (at := header.columns[plain(heading)]) < len(row) and row[at]]
        if texts and sum(any(map(str.isdigit, text)) for text in texts) > len(texts) / 2:
            return "student"
    return field


def _taken(source: ScoreSource) -> set[str]:
    """Headings that already mean something else."""
    names = source.name if isinstance(source.name, tuple) else (source.name,)
    return {source.student, source.choir, source.date, source.form, source.rater, source.attempt, source.max_points,
            *names}  # fmt: skip


Marks = tuple[tuple[MarkColumn, ...], list[str], tuple[str, ...]]


def _wide(timed: list[MarkHeading]) -> tuple[*Marks, bool]:
    """Name the occasions of a sheet with a column for each; asks where their words allow of two readings."""
    listed = ", ".join(f'"{mark.column}"' for mark in timed)
    names = _names(timed)
    if not names:
        decide = (f"the order of the occasions in {listed} is not clear: name the occasion of each",)
        return _columns(timed, [mark.said for mark in timed]), [], decide, True
    whens: dict[tuple, set[tuple]] = {}
    for mark, name in zip(timed, names, strict=True):
        whens.setdefault((name, mark.measure, mark.form, mark.attempt), set()).add(mark.whens)
    if any(len(different) > 1 for different in whens.values()):
        decide = (f"of the tests {listed} some have one name and differ in time: name the occasion of each",)
        return _columns(timed, [mark.said for mark in timed]), [], decide, True
    marks = _columns(timed, names)
    once = len({(mark.measure, mark.occasion) for mark in marks}) == len({mark.measure for mark in marks})
    lonely = len(set(names)) > 1 and once  # then nobody is tested twice
    ask = (f'if {listed} are one test, write the same measure for each, such as measure = "total"',) if lonely else ()
    return marks, [f'"{mark.column}" is {mark.measure} at {mark.occasion}' for mark in marks], ask, False


def _columns(timed: list[MarkHeading], names: list[str]) -> tuple[MarkColumn, ...]:
    """Make the columns of marks; where each form has one at the same occasion, they are marked apart."""
    places = {(name, mark.measure, mark.attempt, mark.form) for mark, name in zip(timed, names, strict=True)}
    apart = len(places) > len({place[:-1] for place in places})
    return tuple(
        MarkColumn(
            column=mark.column, occasion=name, max_points=mark.max_points, attempt=mark.attempt,
            measure=f"{mark.measure} form {mark.form.lower()}".removeprefix("total ") if apart and mark.form
            else mark.measure,
            form="" if apart else mark.form,
        )
        for mark, name in zip(timed, names, strict=True)
    )  # fmt: skip


def _names(timed: list[MarkHeading]) -> list[str]:
    """Name the occasion of each column by the first family of words that all of them have; empty where none can be."""
    times = [dict(mark.whens) for mark in timed]
    family = next((family for family in FAMILIES if all(family in each for each in times)), "")
    # a season with a year that it may not begin in, as winter, or without one, cannot be put beside dated ones
    undated = family == "calendar" and any({"dated", "year"} & set(each) for each in times)
    orders = sorted({each[family] for each in times}) if family else []
    if not orders or (undated and len(orders) > 1) or (family != "named" and len(orders) not in _ORDERS):
        return []
    if family == "named":
        return [named_occasion((family, each[family])) for each in times]
    names = dict(zip(orders, _ORDERS[len(orders)], strict=True))
    return [names[each[family]] for each in times]


def _long(found: list[MarkHeading], occasion: str) -> Marks:
    """Take the points columns of a sheet with a row for each test, or of a sheet with one test only."""
    only = "" if occasion else "pre"
    marks = tuple(
        MarkColumn(
            column=mark.column, occasion=only, measure=mark.measure, max_points=mark.max_points, attempt=mark.attempt
        )
        for mark in found
    )
    evidence = [f'"{mark.column}" holds {mark.measure}' for mark in marks]
    if occasion:
        return marks, [*evidence, f'column "{occasion}" names the occasion'], ()
    return marks, [*evidence, ONE_TEST] if marks else [], ()


def timed_by_name(suggestion: Suggestion, name: str) -> Suggestion | None:
    """Take the occasion of the only test of a sheet from the name of the sheet or the file.

    Parameters
    ----------
    suggestion : Suggestion
        How the sheet was understood; it has one test only.
    name : str
        A name that may have a word such as pre or posttest in it.

    Returns
    -------
    Suggestion or None
        ``None`` where the name has no word that says by itself which occasion is meant: fall may be the first of two
        tests or the second.
    """
    occasion = occasion_of(name)
    return _at(suggestion, occasion, f'the name "{name}" says {occasion}') if occasion else None


def named_for_itself(suggestion: Suggestion, name: str) -> Suggestion:
    """Give the only test of a sheet the name of the sheet for its occasion, for somebody to decide which it is."""
    return replace(_at(suggestion, plain(name), ONE_TEST), unclear=True)


def _at(suggestion: Suggestion, occasion: str, why: str) -> Suggestion:
    """Put an occasion into all marks of a sheet of one test, and say why."""
    marks = tuple(replace(mark, occasion=occasion) for mark in suggestion.source.marks)
    evidence = (*(line for line in suggestion.evidence if line != ONE_TEST), why)
    return replace(suggestion, source=replace(suggestion.source, marks=marks), evidence=evidence)
