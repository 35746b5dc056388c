"""Rows of all files -> persons: widths of ids, rows with a name only, names that fit more than one."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from kit.load.columns import plain
from kit.load.declared import Rules
from kit.load.people.aliases import compared, meanings
from kit.load.people.keys import Crosswalk, is_partial, name_key, widths_disagree
from kit.load.people.near_names import near_names
from kit.load.people.part_names import FullNames
from kit.load.sheets import Row


def identify(rows: Iterable[Row], rules: Rules, crosswalk: Crosswalk) -> None:
    """Give every row the study id of its person, or set it aside.

    Parameters
    ----------
    rows : iterable of Row
        Rows of all files, rosters first, so that full names are known.
    rules : Rules
        ``id_width`` pads ids with zeros, ``aliases`` gives other words for students and choirs.
    crosswalk : Crosswalk
        Where study ids come from.
    """
    rows = [row for row in rows if row.open]
    crosswalk.met(row.name for row in rows if row.name and not is_partial(row.name))
    use_aliases(rows, rules)
    _pad_ids(rows, rules)
    ids_of_name = defaultdict(set)
    for row in rows:
        if row.name and row.school_id:
            ids_of_name[row.name].add(row.school_id)
    full = FullNames(row.name for row in rows if row.name and not is_partial(row.name))
    close = near_names(rows)
    for row in rows:
        if not row.school_id and (_fits_several(row, ids_of_name, full) or row.name in close):
            if row.open:
                _set_unmatched_aside(row, close[row.name])
            continue
        if not row.school_id and len(ids_of_name.get(row.name, ())) == 1:
            row.school_id = next(iter(ids_of_name[row.name]))
            row.account.change("row without an id matched by name", row.index, "(a name)", "(its id)")
        row.student = crosswalk.study_id(row.school_id, row.name)


def use_aliases(rows: list[Row], rules: Rules) -> None:
    """Put the students and choirs that the alias file means in place of the words in the files.

    Parameters
    ----------
    rows : list of Row
        Rows of all files; a student is meant by id or by name.
    rules : Rules
        ``aliases``.
    """
    students, choirs = meanings("student", rules.aliases), meanings("choir", rules.aliases)
    ids = {row.school_id for row in rows if row.school_id} if students else set()
    for row in rows if students else ():
        meant = students.get(compared("student", row.school_id)) or (students.get(row.name) if row.name else None)
        if not meant:
            continue
        if meant in ids or any(map(str.isdigit, meant)):
            row.school_id = meant
        else:
            row.name = name_key(meant)
        row.account.change("student named as the alias file says", row.index, "(a name)", "(another name)")
    for row in rows if choirs else ():
        meant = choirs.get(plain(row.choir), row.choir)
        if meant != row.choir:
            row.account.change("choir named as the alias file says", row.index, row.choir, meant)
            row.choir = meant


def _set_unmatched_aside(row: Row, near: Row) -> None:
    """Set a row aside whose name is nearly another student's, and say where that one stands."""
    place = near.account.place(near.index)
    where = f"row {place['row']}" + ("" if near.account is row.account else f" of {place['file']}")
    row.account.set_row_aside(
        row.index, why="unmatched_student", found=f"The name is close to the one in {where}, but not the same.",
        do="Write the same name in both, or add a line to the alias file if they are one student; give ids if not.",
    )  # fmt: skip


def _pad_ids(rows: list[Row], rules: Rules) -> None:
    """Pad ids with zeros to the declared width; undeclared, ids of two widths are refused."""
    if rules.id_width:
        for row in rows:
            padded = row.school_id.zfill(rules.id_width) if row.school_id.isdigit() else row.school_id
            if padded != row.school_id:
                row.account.change("id padded with zeros", row.index, row.school_id, padded)
                row.school_id = padded
        return
    padded, short = widths_disagree(row.school_id for row in rows)
    if not padded:
        return
    first = next(row for row in rows if row.school_id in short)
    width = max(len(school_id) for school_id in padded)
    first.account.refuse(
        why="id_width", index=first.index,
        found=f"Ids that begin with zeros: {len(padded)}; shorter ones: {len(short)}. "
        "One student may have two ids, since a spreadsheet program drops leading zeros.",
        do=f"If ids have {width} digits, write id_width = {width} in study.toml.", type_this=f"id_width = {width}",
    )  # fmt: skip


def _fits_several(row: Row, ids_of_name: dict[str, set[str]], full: FullNames) -> bool:
    """Set a row aside whose name could be more than one person's, or only a part of somebody's."""
    candidates = full.fitting(row.name) if is_partial(row.name) else frozenset()
    several = len(ids_of_name.get(row.name, ())) > 1
    if not several and not candidates:
        return False
    count = len(ids_of_name[row.name]) if several else len(candidates)
    students = f"{count} student{'s' if count > 1 else ''}"
    row.account.set_row_aside(
        row.index, why="unclear_student", found=f"The name fits {students}, none for certain.",
        do="Write the student's id, or the full name as on the roster.",
    )  # fmt: skip
    return True
