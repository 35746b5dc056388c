"""Who took which form of a test: scores on two forms by design, and their moments in one population."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike

from kit.errors import UnknownChoiceError
from kit.stats.complete import Floats, complete_rows, need

Design = Literal["single group", "random groups", "counterbalanced", "anchor"]


@dataclass(frozen=True, slots=True)
class TwoForms:
    """Complete scores on form X and form Y, in groups of students who are independent of each other.

    Attributes
    ----------
    design : str
        How the forms were given.
    names : tuple of tuple of str
        What the columns of each group are: ``"x"``, ``"y"`` or ``"anchor"``.
    groups : tuple of ndarray, shape (n, columns)
        One row per student.
    dropped : int
        Students left out because a number is missing.
    """

    design: Design
    names: tuple[tuple[str, ...], ...]
    groups: tuple[Floats, ...]
    dropped: int

    @property
    def n(self) -> int:
        """Students."""
        return sum(len(group) for group in self.groups)

    def scores(self, form: str) -> list[Floats]:
        """Give the scores on one form, group by group.

        Parameters
        ----------
        form : str
            ``"x"``, ``"y"`` or ``"anchor"``.

        Returns
        -------
        list of ndarray
            One for each group that took the form.
        """
        both = zip(self.names, self.groups, strict=True)
        return [group[:, names.index(form)] for names, group in both if form in names]

    def centred(self) -> TwoForms:
        """Move each form's scores to mean zero, so that squares lose no digits.

        Returns
        -------
        TwoForms
            The same students.
        """
        centre = self.centres()
        moved = [group - [centre[form] for form in names] for names, group in zip(self.names, self.groups, strict=True)]
        return TwoForms(self.design, self.names, tuple(moved), self.dropped)

    def centres(self) -> dict[str, float]:
        """Give the plain mean of all scores on each form.

        Returns
        -------
        dict
            By form.
        """
        return {form: float(np.concatenate(self.scores(form)).mean()) for form in {*sum(self.names, ())}}


def two_forms(
    function: str, x: ArrayLike, y: ArrayLike, *, design: Design, x_first: ArrayLike | None,
    anchors: tuple[ArrayLike, ArrayLike] | None, about: str,
) -> TwoForms:  # fmt: skip
    """Keep the complete scores on two forms.

    Parameters
    ----------
    function, about : str
        Who asks, and about whom.
    x, y : array_like, shape (n,) and (k,)
        Scores on form X and form Y; of the same students in the same order if each took both.
    design : {"single group", "random groups", "counterbalanced", "anchor"}
        How the forms were given.
    x_first : array_like of bool, shape (n,), optional
        For ``"counterbalanced"``: True for a student who took form X first.
    anchors : pair of array_like, shape (n,) and (k,), optional
        For ``"anchor"``: scores of the same students on the items that both forms share.

    Returns
    -------
    TwoForms
        At least 2 students in each group.

    Raises
    ------
    UnknownChoiceError
        If `design` is another word.
    ValueError
        If the design needs `x_first` or `anchors` and they are not there, or are there and not needed.
    """
    if design not in get_args(Design):
        raise UnknownChoiceError(function, "design", design, get_args(Design))
    for option, given, where in (("x_first", x_first, "counterbalanced"), ("anchors", anchors, "anchor")):
        if (given is not None) != (design == where):
            got = "none" if given is None else f"them for design {design!r}"
            raise ValueError(f"{function}: {option} must be given for design {where!r} and for no other. Got {got}.")
    if design in ("random groups", "anchor"):
        beside = [{"anchor": part} for part in anchors] if anchors is not None else [{}, {}]
        kept = [complete_rows(function, x=x, **beside[0]), complete_rows(function, y=y, **beside[1])]
        names = (("x", *beside[0]), ("y", *beside[1]))
        groups = tuple(np.column_stack(columns) for columns, _ in kept)
        dropped = sum(left_out for _, left_out in kept)
    else:
        names, groups, dropped = _same_students(function, x, y, x_first)
    for group in groups:
        need(function, f"{about}, the smallest group,", len(group), least=2, what="students with complete scores")
    return TwoForms(design, names, groups, dropped)


def _same_students(
    function: str, x: ArrayLike, y: ArrayLike, x_first: ArrayLike | None
) -> tuple[tuple[tuple[str, ...], ...], tuple[Floats, ...], int]:
    """Scores of students who took both forms, by the order in which they took them."""
    if x_first is None:
        columns, dropped = complete_rows(function, x=x, y=y)
        return (("x", "y"),), (np.column_stack(columns),), dropped
    (one, two, first), dropped = complete_rows(function, x=x, y=y, x_first=x_first)
    odd = first[(first != 0) & (first != 1)]
    if odd.size:
        raise ValueError(f"{function}: x_first must be True or False for each student. Got {float(odd[0])!r}.")
    both = np.column_stack([one, two])
    return (("x", "y"), ("x", "y")), (both[first == 1], both[first == 0]), dropped
