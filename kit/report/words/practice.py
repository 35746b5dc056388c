"""Sentences and tables about practice: what to teach next and why, and whether it is done."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

import pandas as pd

from kit.estimate import Estimate
from kit.report.numbers import bare, interval_cell, percent_level, show
from kit.report.phrases import day, listed, people, unbroken
from kit.report.said import Said

SURE, LIKELY = 0.95, 0.75
EACH = 4
"""Answers about each choir from ``kit.questions.practice.fidelity``."""


class Row(Protocol):
    """One pattern to come back to."""

    pattern: str
    said: str
    kind: str
    share: Estimate
    sure: float
    hits: int
    tries: int
    singers: int
    instead: str
    last: pd.Timestamp | None


class List(Protocol):
    """What to teach next, or why there is no list."""

    rows: tuple[Row, ...]
    secure: tuple[str, ...]
    mark: float
    open: int
    why: str
    known: int


def monday(found: List, choirs: int = 1) -> Said:
    """Say what to do next Monday and why; without a list, what to log so that there can be one.

    Parameters
    ----------
    found : List
        From ``kit.questions.teach_next``.
    choirs : int, optional
        How many choirs it is about.

    Returns
    -------
    Said
    """
    if not found.rows and found.known:
        return Said(_go_on(found))
    if not found.rows:
        return Said((f"There is no list of what to teach next. {found.why}", *_log_instead()))
    first, weakest = found.rows[0], min(found.rows, key=lambda row: row.share.value)
    then = [row.said for row in found.rows[1:]]
    told = [f"Next Monday, come back to {_quoted(first.said)}{_before(first)}.", _why(first, found.mark)]
    if first.instead:
        told.append(f"Listen for {_in_place(first.instead)}. Sing both notes to the choir and let it compare them.")
    if then:
        told.append(f"Then, within two weeks: {listed([_quoted(one) for one in then])}, in this order.")
    if weakest.pattern != first.pattern:
        told.append(f"{_quoted(first.said)} stands first since it is taught first, not since it is the weakest.")
    told.append(_whom(choirs))
    return Said(tuple(told), tuple(row.share for row in found.rows))


def _go_on(found: List) -> tuple[str, ...]:
    """Say what follows where no pattern is likely to be weak."""
    told = [f"Nothing has to be taught again by this log. {found.why}", "Go on to the next pattern of your list."]
    if found.secure:
        told.append(f"Probably secure: {listed(list(found.secure))}. Sing one of them now and then.")
    if found.open:
        told.append(f"Of {people(found.open, 'pattern')} too little is known: hear singers alone on these first.")
    return tuple(told)


def _whom(choirs: int) -> str:
    """Say whom the list is about."""
    if choirs > 1:
        return (
            f"This is about {choirs} choirs together; what one of them needs can differ. Make this page for one choir "
            "to have the sheet for its music stand."
        )
    return "This is about the choir as a whole; it is too little to judge a single singer by."


def _in_place(instead: str) -> str:
    """Write what was sung instead out: ``re in place of do (18 of 66 misses)``."""
    return instead.replace(" for ", " in place of ", 1)


def _quoted(said: str) -> str:
    """Set a pattern apart from the words around it."""
    return f"“{said}”"


def _before(row: Row) -> str:
    """Say which kind of pattern it is; that it is of no named kind says nothing."""
    return "" if row.kind == "beyond" else f" ({row.kind})"


def _why(row: Row, mark: float) -> str:
    """Say what the first pattern rests on."""
    return (
        f"Why: {row.hits} of {row.tries} first tries by {people(row.singers, 'singer')} were right. "
        f"It is {how_sure(row.sure)} that fewer than {show(mark, 'share')} of first tries would be right if every one "
        "of these singers were asked."
    )


def how_sure(chance: float) -> str:
    """Put a chance into words."""
    if chance >= SURE:
        return "almost sure"
    return "likely" if chance >= LIKELY else "open"


def _log_instead() -> tuple[str, ...]:
    """Say what to log so that a list can be made."""
    return (
        "Log this instead: for each singer heard alone the pattern asked, what was sung, and whether the first try was "
        "right; right tries too, not mistakes only.",
        "Three to six singers at each meeting, another few each day, are enough for a list after some weeks.",
    )


def next_table(found: List) -> pd.DataFrame:
    """Lay out the list of what to teach next.

    Parameters
    ----------
    found : List
        From ``kit.questions.teach_next``.

    Returns
    -------
    DataFrame
    """
    years = {row.last.year for row in found.rows if row.last is not None}
    return pd.DataFrame([
        {
            "Pattern": row.said if row.pattern == row.said else f"{row.said} ({row.pattern})",
            "Right (singers)": unbroken(f"{row.hits} of {row.tries} ({row.singers})"),
            "Share, all asked": f"{bare(row.share.value, 'share')} ({interval_cell(row.share)})",
            "Weak?": how_sure(row.sure), "Sung instead": row.instead or "too few to tell",
            "Last drilled": _short(row.last, year=len(years) > 1),
        }
        for row in found.rows
    ])  # fmt: skip


def each_table(lists: Mapping[str, List], *, smallest: int = 1) -> pd.DataFrame:
    """Lay out what each choir comes back to; how many singers are behind it in the teacher's own copy only.

    Parameters
    ----------
    lists : mapping of str to List
        From ``kit.questions.teach_next.each_choir``.
    smallest : int, optional
        Singers that a group needs to be shown to this audience.

    Returns
    -------
    DataFrame
        A row for each choir that has a list; none where none has.
    """
    rows = []
    for choir, found in lists.items():
        if not found.rows:
            continue
        first, then = found.rows[0], [row.said for row in found.rows[1:]]
        told = {"Choir": choir, "Sing first": first.said, "Listen for": first.instead.partition(" (")[0] or "\u2013",
                "Then": "; ".join(then) or "\u2013"}  # fmt: skip
        if smallest == 1:
            told["Right (singers)"] = unbroken(f"{first.hits} of {first.tries} ({first.singers})")
        rows.append(told | {"Weak?": how_sure(first.sure)})
    return pd.DataFrame(rows)


def each_notes(lists: Mapping[str, List], *, smallest: int = 1) -> list[str]:
    """Say how the lists came about, and which choirs have none and why."""
    told = [
        "Each list is made from the tries of that choir alone, in the order of the pattern list."
        + (" Right, and how sure it is that it is weak: of the pattern to sing first." if smallest == 1 else ""),
    ]
    none: dict[str, list[str]] = {}
    for choir, found in lists.items():
        if not found.rows:
            none.setdefault(found.why, []).append(choir)
    return [*told, *(f"No list for {listed(choirs)}: {why[:1].lower()}{why[1:]}" for why, choirs in none.items())]


def next_shares(found: List) -> tuple[Estimate, ...]:
    """Give the estimates behind `next_table`."""
    return tuple(row.share for row in found.rows)


def _short(date: pd.Timestamp | None, *, year: bool) -> str:
    """Write a day for a narrow column: ``7 Jan``, with the year where the days of a list are of several."""
    return "never" if date is None else f"{date.day} {date:%b}" + (f" {date:%Y}" if year else "")


def next_notes(found: List, level: float) -> list[str]:
    """Say how the list came about."""
    mark = show(found.mark, "share")
    told = [
        "On the list: the patterns with the lowest shares of those of which it is at least likely that fewer than "
        f"{mark} of first tries would be right (the mark is ours). They stand in the order of the pattern list: by "
        "step, then skips in the tonic chord, then others, unless your own list says otherwise.",
        "Right: first tries, with the singers heard in brackets. Share, all asked: what would be right if every one of "
        f"these singers had been asked, with its plausible range, a {percent_level(level)} interval.",
        "Shares of seldom-asked patterns are drawn towards the others, so that a few lucky or unlucky tries do not "
        "decide. Second tries, after help, are not counted. Tries of long ago count like those of last week.",
    ]
    if found.secure:
        told.append(f"Probably secure: {listed(list(found.secure))}.")
    if found.open:
        told.append(f"Patterns with too few first tries to tell: {found.open}.")
    return told


def kept_or_not(estimates: Sequence[Estimate], minutes: float) -> Said:
    """Say how many meetings were logged and how many had ear training before notation.

    Parameters
    ----------
    estimates : sequence of Estimate
        From ``kit.questions.practice.fidelity``.
    minutes : float
        Planned minutes before notation.

    Returns
    -------
    Said
    """
    if not estimates:
        return Said(("No drill log was read with this study, so what was practised is not known.",))
    logged, timed, enough, total = estimates[:EACH]
    told = [f"{logged.value:.0f} of {logged.n} possible meetings are logged."]
    if timed.value:
        told[0] = told[0][:-1] + (
            f"; those with minutes on record have {total.value / timed.value:.1f} minutes of drill each on average."
        )
    told.append(
        f"{enough.value:.0f} of {enough.n} meetings with minutes had at least {minutes:g} minutes of ear training "
        "before notation." if enough.n
        else "Whether ear training came before notation is not logged." if timed.value
        else "No meeting has minutes on record, so ear training before notation cannot be counted."
    )  # fmt: skip
    told.append("A meeting that is not logged may have had drill all the same.")
    return Said(tuple(told), (logged, timed, enough, total))


def meetings_table(estimates: Sequence[Estimate]) -> pd.DataFrame:
    """Lay out meetings and minutes choir by choir."""
    return pd.DataFrame([
        {
            "Choir": logged.about.rsplit(", ", 1)[0], "Meetings logged": f"{logged.value:.0f} of {logged.n}",
            "With the planned minutes": f"{enough.value:.0f} of {enough.n}" if enough.n
            else "stages not logged" if timed.value else "no minutes logged",
            "Minutes": f"{total.value:.0f}" if timed.value else "\u2013",
        }
        for logged, timed, enough, total in zip(*(estimates[at::EACH] for at in range(EACH)), strict=True)
    ])  # fmt: skip


def missing_weeks(gaps: pd.DataFrame, weeks: int | None = None) -> Said:
    """Name the weeks without a logged meeting; of no `weeks` at all nothing is said but that."""
    if weeks == 0:
        return Said(("No week is logged.",))
    if gaps.empty:
        return Said(("No week of school is without a logged meeting.",))
    told = [
        f"Week of {day(week)}: no meeting logged by {_who(sorted(rows['choir']))}."
        for week, rows in gaps.groupby("week", sort=True)
    ]
    return Said((*told, "Was there no drill, or was it not written down?"))


def _who(choirs: Sequence[str]) -> str:
    """Name up to three choirs, else count them."""
    return listed(list(choirs)) if len(choirs) < 4 else people(len(choirs), "choir")
