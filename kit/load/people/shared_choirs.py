"""Names of choirs: one spelling for each; and whether a name in several schools is one choir or one in each."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from kit.load.columns import plain
from kit.load.declared import Rules
from kit.load.sheets import Row, text_of

ONE_IN_EACH = 'choir_of_several_schools = "one_in_each"'
ONE_SPELLING = "choir spelt one way"
RULE = "choir told from others of its name by its school"
NO_SCHOOL = "choir left open, since several have its name and the school of the student is not known"
UNCLEAR = "Several choirs have this name."
WRITE_SCHOOL = 'Write the school behind the name, as "Concert (name of its school)"'


@dataclass(frozen=True, slots=True)
class SharedChoirs:
    """The choirs of one name in several schools.

    Attributes
    ----------
    named : mapping of (str, str) to str
        Name of a choir and school, both as compared -> the name that the choir of this school gets.
    schools : mapping of str to str
        Student -> school, as compared.
    spelt : mapping of str to str
        Name of a choir as compared -> as it is mostly spelt.
    """

    named: Mapping[tuple[str, str], str] = field(default_factory=dict)
    schools: Mapping[str, str] = field(default_factory=dict)
    spelt: Mapping[str, str] = field(default_factory=dict)

    def primary(self, choirs: Sequence[str]) -> tuple[str, ...]:
        """Add to the choirs that count first those that share the name of one."""
        asked = {plain(choir) for choir in choirs}
        return (*choirs, *(own for (name, _), own in self.named.items() if name in asked))

    def shares(self, choir: str) -> bool:
        """Say whether several choirs have this name."""
        return bool(self.named) and plain(choir) in {name for name, _ in self.named}

    def name(self, choir: str, student: str, school: str = "") -> str:
        """Name a choir of a shared name by the school of the row or of its student; empty where neither is known."""
        return self.named.get((plain(choir), plain(school) or self.schools.get(student, "")), "")


def mostly_spelt(words: Iterable[str]) -> dict[str, str]:
    """Find how each word is mostly spelt, without regard to case and spaces; of equals the first.

    Parameters
    ----------
    words : iterable of str
        One for each row.

    Returns
    -------
    dict of str to str
        Word as compared -> its spelling.
    """
    spelling: dict[str, str] = {}
    for word, _ in Counter(words).most_common():
        spelling.setdefault(plain(word), word)
    return spelling


def spell_choirs(rows: Iterable[Row], spelt: Mapping[str, str]) -> None:
    """Spell each choir one way, so that it is not two.

    Parameters
    ----------
    rows : iterable of Row
        Rows that name choirs.
    spelt : mapping of str to str
        From `mostly_spelt`.
    """
    for row in rows:
        name = spelt.get(plain(row.choir), row.choir)
        if row.open and name != row.choir:
            row.account.change(ONE_SPELLING, row.index, row.choir, name)
            row.choir = name


def shared_choirs(listed: Sequence[Row], every: Iterable[Row], rules: Rules) -> SharedChoirs:
    """Find choirs of one name in several schools; undeclared, whether they are one choir, the file is refused.

    Parameters
    ----------
    listed : sequence of Row
        Rows that list the students, whose persons are known; of a student in two schools the first row counts.
    every : iterable of Row
        Rows of all files, for the spelling of most.
    rules : Rules
        ``choir_of_several_schools``.

    Returns
    -------
    SharedChoirs
        None is shared, unless each school is declared to have a choir of its own.
    """
    spelt = mostly_spelt(row.choir for row in every if row.choir)
    schools: dict[str, str] = {}
    found: dict[str, dict[str, Row]] = {}
    for row in listed:
        school = plain(text_of(row.fields.get("school")))
        if row.open and row.student and school and schools.setdefault(row.student, school) == school and row.choir:
            found.setdefault(plain(row.choir), {}).setdefault(school, row)
    shared = {choir: rows for choir, rows in found.items() if len(rows) > 1}
    if rules.choir_of_several_schools == "one_in_each":
        return SharedChoirs({
            (choir, school): f"{spelt[choir]} ({text_of(row.fields['school'])})"
            for choir, rows in shared.items() for school, row in rows.items()
        }, schools, spelt)  # fmt: skip
    if not rules.choir_of_several_schools:
        for rows in shared.values():
            _refuse(list(rows.values()))
    return SharedChoirs(spelt=spelt)


def _refuse(rows: list[Row]) -> None:
    """Ask whether choirs of one name are one choir, which decides how many choirs the study has."""
    first, second = rows[:2]
    place = first.account.place(first.index)
    where = f"row {place['row']}" + ("" if first.account is second.account else f" of {place['file']}")
    second.account.refuse(
        why="choir_shared", index=second.index,
        found=f'The choir "{first.choir}" has students of {len(rows)} schools (compare {where}).',
        do=f"If each school has a choir of that name, write {ONE_IN_EACH} in study.toml; if they sing in one choir, "
        '"one_choir". Correct the school if it is misspelt.',
        type_this=ONE_IN_EACH,
    )  # fmt: skip


def name_choirs(rows: Sequence[Row], shared: SharedChoirs) -> None:
    """Spell choirs one way, and give those of a shared name their own; empty where the school is not known.

    Parameters
    ----------
    rows : sequence of Row
        Rows whose persons are known.
    shared : SharedChoirs
        From `shared_choirs`.
    """
    spell_choirs(rows, shared.spelt)
    for row in rows if shared.named else ():
        if row.open and shared.shares(row.choir):
            name = shared.name(row.choir, row.student, text_of(row.fields.get("school")))
            row.account.change(RULE if name else NO_SCHOOL, row.index, row.choir, name or "(no choir)")
            row.choir = name
