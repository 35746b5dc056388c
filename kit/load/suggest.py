"""What an undeclared sheet seems to hold: a complete source with the evidence, for a person to decide."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from kit.load.columns import MarkHeading, day_heading, field_of, mark_heading, named_occasion, plain
from kit.load.declared import MarkColumn, RosterSource, ScoreSource, Source
from kit.load.formats.cells import Value
from kit.load.layout import Header
from kit.load.people.keys import id_text
from kit.load.ratings.rater_headings import raters_in_headings, without_initials

_ORDERS = {1: ("pre",), 2: ("pre", "post"), 3: ("pre", "mid", "post")}


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A source with every field filled that the headings tell, why, and what stays open.

    ``occasions`` gives the words of a long sheet's occasion column and what they were taken for; ``sheet`` is the
    sheet it is about, ``unread`` the headings that mean nothing to the kit.
    """

    source: Source
    evidence: tuple[str, ...]
    decide: tuple[str, ...] = ()
    occasions: tuple[tuple[str, str], ...] = ()
    sheet: str = ""
    unread: tuple[str, ...] = ()


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
    timed = [mark for mark in found if mark.when]
    if timed:
        marks, why, decide = _wide(timed)
        days = {rank: heading for heading in headings if (rank := day_heading(heading))}
        when = {mark.column: mark.when for mark in timed}
        marks = tuple(replace(mark, date=days.get(when[mark.column], "")) for mark in marks)
    else:
        occasion = next((heading for heading in headings if field_of(heading) == "occasion"), "")
        filled = replace(filled, occasion=source.occasion or occasion)
        marks, why, decide = _long(found, filled.occasion)
    if raters:
        marks = tuple(replace(mark, rater=raters.get(mark.column, "")) for mark in marks)
        listed = sorted(set(raters.values()))
        why = [*why, f"the columns that differ in {' and '.join(listed)} hold much the same marks: two raters"]
        decide = (*decide, f'whose marks count? write, for example, rater = "{listed[0]}" at the top of the study file')
    return Suggestion(replace(filled, marks=marks), (*evidence, *why), decide)


def _mark(heading: str, rater: str) -> MarkHeading | None:
    """Read the heading of a column of marks, without the initials of a rater."""
    bare = without_initials(heading, rater) if rater else heading
    if rater and not bare:
        return MarkHeading(heading, "total", None, None)
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


def _wide(timed: list[MarkHeading]) -> Marks:
    """Name the occasions of a sheet with a column for each."""
    families = {mark.when[0] for mark in timed}
    orders = sorted({mark.when for mark in timed})
    if len(families) > 1 or (families != {"named"} and len(orders) not in _ORDERS):
        listed = ", ".join(f'"{mark.column}"' for mark in timed)
        return (), [], (f"the order of the occasions in {listed} is not clear: name the occasion of each",)
    name = _naming(orders)
    marks = tuple(
        MarkColumn(
            column=mark.column,
            occasion=name(mark.when),
            measure=mark.measure,
            max_points=mark.max_points,
            attempt=mark.attempt,
        )
        for mark in timed
    )
    return marks, [f'"{mark.column}" is {mark.measure} at {mark.occasion}' for mark in marks], ()


def _naming(orders: list[tuple[str, float]]) -> Callable[[tuple[str, float]], str]:
    """Make the function from an occasion's rank to its name."""
    if orders[0][0] == "named":
        return named_occasion
    names = dict(zip(orders, _ORDERS[len(orders)], strict=True))
    return names.__getitem__


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
    return marks, [*evidence, "no heading names an occasion: one test only"] if marks else [], ()
