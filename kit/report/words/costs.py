"""What a program cost for each student and each hour of practice, as far as costs were entered."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from kit.estimate import Estimate
from kit.report.phrases import people
from kit.report.privacy.rounding import told_value
from kit.report.said import Said

OFTEN_LEFT_OUT = (
    "study.toml does not say what the costs leave out (program.costs_leave_out); paid hours of teachers, rooms and the "
    "music that made way for the program are often among it."
)


class Program(Protocol):
    """The program in the words of those who run it; see ``kit.purpose.Program``."""

    costs: Sequence
    currency: str
    costs_leave_out: str


def costs(program: Program, counts: Sequence[Estimate], *, taught: str = "") -> Said:
    """Say what the program cost for each student and for each hour of practice on record, and what that leaves out.

    Parameters
    ----------
    program : Program
        From the study file: costs as they were entered.
    counts : sequence of Estimate
        From ``kit.questions.comparison.dose.dose`` of the program's approach; without one those of
        ``kit.questions.reach``.
    taught : str, optional
        Name of the program's approach; empty: all students of the study.

    Returns
    -------
    Said
        No sentence where no costs were entered.
    """
    if not program.costs:
        return Said(())
    total = sum(cost.amount for cost in program.costs)
    of = f"{taught}, " if taught else ""
    students = next((one for one in counts if one.name == "count" and one.about == f"{of}students"), None)
    hours, told_hours = _hours(counts, of)
    told, used = [f"The costs entered come to {money(total, program.currency)}"], []
    if students is not None and students.value:
        who = f' taught "{taught}"' if taught else " of the study"
        each = money(total / students.value, program.currency)
        near = told_value(students)
        number = f"{near} students" if near else f"the {people(students.value)}"
        told = [f"{told[0]}: {'about ' if near else ''}{each} for each of {number}{who}, tested or not"]
        used.append(students)
    told[0] += "."
    if hours:
        told.append(
            f"That is {money(total / hours, program.currency)} for each hour of practice that the drill logs hold; "
            "hours that nobody wrote down would make it less."
        )
        used.append(told_hours)
    left_out = program.costs_leave_out.rstrip(".")
    told.append(f"Not in it: {left_out}." if left_out else OFTEN_LEFT_OUT)
    return Said(tuple(told), tuple(used))


def _hours(counts: Sequence[Estimate], of: str) -> tuple[float, Estimate | None]:
    """Find the hours of practice on record, in minutes or in hours."""
    for about, size in ((f"{of}minutes logged", 60), (f"{of}hours logged", 1)):
        found = next((one for one in counts if one.name == "count" and one.about == about), None)
        if found is not None:
            return found.value / size, found
    return 0.0, None


def money(amount: float, currency: str) -> str:
    """Write an amount with its currency: a sign before it, a name behind it.

    Parameters
    ----------
    amount : float
        The amount; it is rounded to hundredths here.
    currency : str
        Sign or name; may be empty.

    Returns
    -------
    str

    Examples
    --------
    >>> money(2710, "dollars"), money(18.066, "$"), money(5, "")
    ('2,710.00 dollars', '$18.07', '5.00')
    """
    sign = len(currency) == 1 and not currency.isalpha()
    return f"{currency}{amount:,.2f}" if sign else f"{amount:,.2f} {currency}".rstrip()
