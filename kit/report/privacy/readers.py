"""What the readers of one copy may see: groups, shares, bands and counts, as a report asks for them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import pandas as pd

from kit.estimate import Estimate
from kit.report import privacy
from kit.report.numbers import as_printed
from kit.report.privacy.coding import code, code_parts, holds_nearly_all
from kit.report.privacy.rounding import Rounding, Withheld
from kit.report.said import Caption, Said

OF_STUDENTS = ("students", "tests")
"""What is counted where a number that is left out tells who missed a test."""
AVERAGES = ("mean_score", "mean_gain", "detectable_gain")
OF_GROUPS = ("choirs", "schools")
SOLVED = 2
"""Averages that follow from their own average and its range."""


class Readers:
    """The readers of one copy of a report.

    Parameters
    ----------
    audience : str
        ``"teacher"``, ``"district"`` or ``"public"``.
    withheld : Withheld, optional
        What they must not be told exactly, from ``kit.questions.disclosure.withheld``.
    """

    def __init__(self, audience: str, withheld: Withheld | None = None) -> None:
        self.audience, self.smallest = audience, privacy.smallest_group(audience)
        self.rounding, self.hidden = Rounding.of(withheld), tuple(withheld.hidden if withheld else ())
        self.few = self.smallest > 1 and withheld is not None and withheld.few
        self._cut: dict[str, Estimate] = {}

    def bands(self, bands: pd.DataFrame) -> pd.DataFrame:
        """Join bands of a distribution that hold too few students for this audience; one band alone says nothing.

        Nor are they told where one holds all students, or all but few: that would tell about each of them.
        """
        joined = privacy.merge_small_bands(bands, self.audience)
        sides = [joined[side].tolist() for side in ("before", "after")]
        tells = self.smallest > 1 and any(map(holds_nearly_all, sides))
        return joined if len(joined) > 1 and not tells else joined.iloc[:0]

    def shares(self, estimates: Sequence[Estimate], *, parts: bool = False) -> list[Estimate]:
        """Tell shares near nothing and near all as a range, since they tell this audience about single students.

        Parameters
        ----------
        estimates : sequence of Estimate
            Any numbers; those that are no shares stay.
        parts : bool, optional
            Whether the shares are the parts of one whole: then only the largest is told where one is near an end.

        Returns
        -------
        list of Estimate
        """
        if self.smallest == 1:
            return list(estimates)
        told = [one for one in estimates if one.counted not in OF_GROUPS or not self.must_hide(one)]
        return code_parts(told) if parts else [code(one) for one in told]

    def must_hide(self, estimate: Estimate) -> bool:
        """Say whether a number rests on too few students for this audience, or tells about single ones."""
        small = privacy.is_small(estimate, self.smallest) or privacy.tells_on_few(estimate, self.audience)
        return small or self._solved(estimate)

    def _solved(self, estimate: Estimate) -> bool:
        """Say whether a number is an average over two choirs or schools of which one may be small.

        Its range would give the average of each.
        """
        return self.few and estimate.counted in OF_GROUPS and estimate.name in AVERAGES and estimate.n <= SOLVED

    def counts(self, counts: Sequence[Estimate]) -> list[Estimate]:
        """Keep the counts of a whole's parts, such as the reasons of each test, that this audience may see.

        Parameters
        ----------
        counts : sequence of Estimate
            About ``"before: absent"``: the parts of a whole have the words before the colon in common.

        Returns
        -------
        list of Estimate
            In the given order. The parts of a whole that must not be told exactly would add up to it: none is told.
        """
        wholes: dict[str, list[Estimate]] = {}
        for one in counts:
            wholes.setdefault(one.about.partition(": ")[0], []).append(one)
        known = [parts for parts in wholes.values() if sum(part.value for part in parts) not in self.rounding.numbers]
        shown = [one for parts in known for one in privacy.keep(parts, self.audience)[0]]
        return [one for one in counts if one in shown]

    def keep_groups(self, groups: Sequence[Estimate]) -> tuple[list[Estimate], list[Estimate]]:
        """Part the choirs into those that this audience may see by themselves and those that it may not.

        Parameters
        ----------
        groups : sequence of Estimate
            One for each choir.

        Returns
        -------
        shown, hidden : list of Estimate
            In the given order. Which ones give a small one away was solved for all of them together; see
            ``kit.questions.hidden_groups``.
        """
        return self._groups(groups, total_known=False)

    def keep_choirs(self, table: pd.DataFrame) -> pd.DataFrame:
        """Keep the rows of a table of choirs, with a column students, that this audience may see by themselves.

        Parameters
        ----------
        table : DataFrame
            Columns choir, students.

        Returns
        -------
        DataFrame
            ``attrs["hidden"]`` says how many there are beside them.
        """
        if table.empty:
            return table
        may = (table["students"] >= self.smallest) & ~table["choir"].isin(self.hidden)
        shown = table[may].copy()
        shown.attrs["hidden"] = int((~may).sum())
        return shown

    def flow(self, flow: Sequence[Estimate]) -> list[Estimate]:
        """Keep who was tested when; with a part too small for this audience, only the roster and those tested twice."""
        return privacy.keep_flow(flow, self.audience)

    def _groups(self, groups: Sequence[Estimate], *, total_known: bool = True) -> tuple[list[Estimate], list[Estimate]]:
        """Part groups into those that may be shown and those that are hidden."""
        solved = [one for one in groups if self._solved(one)]
        rest = [one for one in groups if one not in solved]
        shown, hidden = privacy.keep(rest, self.audience, total_known=total_known, hidden=self.hidden)
        return shown, [*hidden, *solved]

    def _small(self, estimates: Iterable[Estimate]) -> list[Estimate]:
        """Find numbers that rest on or tell about too few students for this audience, or are about a hidden choir."""
        return [one for one in estimates if self.must_hide(one) or privacy.is_hidden(one, self.hidden)]

    def _told(self, estimates: Iterable[Estimate]) -> list[Estimate]:
        """Give numbers as this audience is told them: ends as ranges, students rounded, no digits but those printed."""
        return [one if self.smallest == 1 else self._once(one) for one in estimates]

    def _once(self, one: Estimate) -> Estimate:
        """Cut a number that is not cut yet: what is cut twice may lose more."""
        if self._cut.get(one.label) != one:
            # whom a number leaves out is the roster less its students, and mostly few; a missing test is a student's
            left_out = None if one.counted in OF_STUDENTS else one.dropped
            self._cut[one.label] = as_printed(self.rounding.estimate(code(replace(one, dropped=left_out))))
        return self._cut[one.label]

    def _said(self, said: Said) -> Said:
        """Give sentences and their numbers as this audience is told them."""
        return replace(self.rounding.said(said), estimates=tuple(self._told(said.estimates)))

    def _caption(self, caption: Caption, estimates: Sequence[Estimate]) -> tuple[Caption, list[Estimate]]:
        """Give a caption and the numbers of its picture as this audience is told them."""
        return self.rounding.caption(caption, estimates), self._told(estimates)
