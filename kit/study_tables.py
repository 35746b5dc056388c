"""A study as read: settings and tables, and everything that questions are asked of."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

import pandas as pd

from kit.errors import Problem, UnknownChoiceError
from kit.faults import FILE, listed
from kit.load.columns import plain
from kit.load.files import Loaded
from kit.questions import design, disclosure, series_design, whom
from kit.questions.compared import between
from kit.questions.replication.original import Original
from kit.settings import DeclaredTest, Settings

if TYPE_CHECKING:
    from kit.report.page import Page


@dataclass(frozen=True, slots=True)
class Study:
    """A study as read: what is declared, and the normalised tables.

    Attributes
    ----------
    folder : Path
        The study folder.
    settings : Settings
        What study.toml says.
    loaded : Loaded
        The tables, the account of every row, problems, fingerprints.
    choir, school : str
        The choir or school the study is narrowed to; empty: all.
    whole : Study or None
        The study before it was narrowed, since copies about its parts can be laid side by side.
    """

    folder: Path
    settings: Settings
    loaded: Loaded
    choir: str = ""
    school: str = ""
    whole: Study | None = None
    _lined_up: dict[tuple[str, str], pd.DataFrame] = field(default_factory=dict, init=False, repr=False, compare=False)

    @property
    def students(self) -> pd.DataFrame:
        """The students table."""
        return self.loaded.students

    @property
    def scores(self) -> pd.DataFrame:
        """The scores table."""
        return self.loaded.scores

    @property
    def items(self) -> pd.DataFrame:
        """The table of single notes and beats."""
        return self.loaded.items

    @property
    def drills(self) -> pd.DataFrame:
        """The drill log."""
        return self.loaded.drills

    @property
    def choirs(self) -> list[str]:
        """Names of the choirs, in order."""
        named = pd.concat([self.students["choir"], self.scores["choir"]])
        return sorted(set(named) - {""})

    @property
    def several_choirs(self) -> bool:
        """Whether the study is about more than one choir."""
        return len(self.choirs) > 1 and not self.choir

    @property
    def measure(self) -> str:
        """The measure that is reported: the declared one, the only one, or ``total``."""
        found = list(dict.fromkeys(self.scores["measure"]))
        if self.settings.measure:
            return self.settings.measure
        return found[0] if len(found) == 1 or "total" not in found else "total"

    @property
    def test(self) -> DeclaredTest:
        """What is declared of the reported test."""
        return self.settings.tests.get(self.measure, DeclaredTest())

    @property
    def occasions(self) -> tuple[str, str]:
        """Labels of the two occasions, as reports print them."""
        return self.settings.label(self.settings.before), self.settings.label(self.settings.after)

    @property
    def schools(self) -> list[str]:
        """Names of the schools, in order."""
        return sorted(set(self.students["school"]) - {""})

    def only(self, *, choir: str = "", school: str = "") -> Study:
        """Narrow the study to one choir or one school.

        Parameters
        ----------
        choir, school : str, optional
            Its name; empty leaves the study as it is.

        Returns
        -------
        Study
            With those students, their marks and their choirs' drill log.

        Raises
        ------
        UnknownChoiceError
            If there is no such choir or school.
        """
        for option, name, known in (("choir", choir, self.choirs), ("school", school, self.schools)):
            if name and name not in known:
                raise UnknownChoiceError("study", option, name, tuple(known))
        if not choir and not school:
            return self
        here = (self.students["choir"] == choir) | (not choir)
        members = self.students[here & ((self.students["school"] == school) | (not school))]
        choirs = {choir} if choir else set(members["choir"]) - {""}
        strangers = ~self.scores["student"].isin(self.students["student"])
        theirs = self.scores["student"].isin(members["student"]) | (strangers & self.scores["choir"].isin(choirs))
        loaded = replace(
            self.loaded, students=members, scores=self.scores[theirs],
            items=self.items[self.items["student"].isin(members["student"])],
            drills=self.drills[self.drills["choir"].isin(choirs)],
        )  # fmt: skip
        return replace(self, loaded=loaded, choir=choir, school=school, whole=self.whole or self)

    def pairs(self, measure: str = "", *, after: str = "") -> pd.DataFrame:
        """Line up first and second marks, one row for each student; see `kit.questions.whom.line_up`.

        With `after` another occasion takes the place of the second.
        """
        asked = measure or self.measure, after or self.settings.after
        if asked not in self._lined_up:  # a report asks a dozen times
            self._lined_up[asked] = whom.line_up(
                self.students, self.scores, measure=asked[0], pre=self.settings.before, post=asked[1],
                attempt=self.settings.attempts or "first", rater=self.settings.rater,
            )  # fmt: skip
            self._lined_up[asked].attrs["listed"] = bool(self.settings.rosters)
        return self._lined_up[asked].copy(deep=False)

    @property
    def in_the_way(self) -> tuple[Problem, ...]:
        """What stands in the way of a report: problems of the files, and whose marks count."""
        declared = (*self.loaded.in_the_way, *self._undeclared())
        raters = sorted(set(self.scores["rater"]) - {""})
        if self.settings.rater or len(raters) < 2 or not whom.marked_by_several(self.scores):
            return declared
        undecided = Problem(
            why="setting", found=f"Several raters marked the same tests: {', '.join(raters)}.",
            do="Say whose marks count.", type_this=f'rater = "{raters[0]}"',
        )  # fmt: skip
        return (*declared, undecided)

    def _undeclared(self) -> Iterator[Problem]:
        """Find names in study.toml that its files do not know: approaches, and the file of the plan."""
        known, named = sorted(set(self.students["approach"]) - {""}), self.settings.comparison
        wanted = {"comparison.program": named.program, "comparison.comparison": named.comparison}
        wanted |= {f"targets.{at}.approach": one.approach for at, one in enumerate(self.settings.targets, 1)}
        for column, name in wanted.items():
            if name and name not in known:
                yield Problem(
                    why="setting", file=FILE, column=column, found=f'No student has the approach "{name}".',
                    do=f"Write one of {listed(known)}." if known else "Name the approaches in the roster first.",
                )  # fmt: skip
        choirs = [(f"starts.{choir}", choir) for choir in self.settings.starts if choir not in self.choirs]
        met = [f"{plain(choir)} (" for choir in self.choirs]  # a school may stand behind the name
        asked = [(choir, f"{plain(choir)} (") for choir in self.settings.primary_choir]
        choirs += [("primary_choir", choir) for choir, start in asked if not any(one.startswith(start) for one in met)]
        for column, choir in choirs:
            yield Problem(
                why="setting", file=FILE, column=column, found=f'No choir is called "{choir}".',
                do=f"Write one of {listed(self.choirs)}.",
            )  # fmt: skip
        if named.two_choirs == "most_meetings" and self.loaded.attendance.empty:
            yield Problem(
                why="setting", file=FILE, column="comparison.two_choirs",
                found="There is no attendance that could say whose meetings a member of two choirs came to.",
                do="Declare a file of attendance under [[attendance]], or write \"first\" or \"left_out\".",
            )  # fmt: skip
        plan = self.settings.repeats.plan_file
        if plan and not (self.folder / plan).is_file():
            yield Problem(
                why="file_missing", file=plan, found="The file of the plan is not there.",
                do="Check its name (repeats.plan_file in study.toml), or take the line out.",
            )  # fmt: skip

    def compared(self, measure: str = "", *, after: str = "") -> pd.DataFrame:
        """Line up the students of the two approaches that are compared; see `kit.questions.compared.between`.

        Without a declared program and with three approaches or more there are no rows: nobody said which two.
        """
        pairs, declared = self.pairs(measure, after=after), self.settings.comparison
        undeclared = not declared.program and len(set(pairs["approach"]) - {""}) > 2
        declared = replace(declared, how=self.how)
        return between(pairs.iloc[:0] if undeclared else pairs, declared)

    @property
    def later_tests(self) -> dict[str, pd.DataFrame]:
        """Label of each test after the first -> the compared students lined up at the first test and that one."""
        first, last, sung = self.settings.before, self.settings.after, set(self.scores["occasion"])
        columns = (mark.occasion for source in self.settings.scores for mark in source.marks)
        known = list(dict.fromkeys(filter(None, (*self.settings.occasions, *columns))))
        order = known[known.index(first) + 1 :] if first in known else []
        later = order if last in order else [last]  # columns in another order than the tests tell nothing of time
        return {self.settings.label(one): self.compared(after=one) for one in later if one in sung}

    def beside(self) -> list[pd.DataFrame]:
        """Line up the first marks with those of every test but the two that are reported."""
        sung = dict.fromkeys(self.scores["occasion"])
        return [self.pairs(after=one) for one in sung if one and one not in (self.settings.before, self.settings.after)]

    def page(self, *, audience: str = "teacher", compared: bool = False) -> Page:
        """Begin a report on this study for an audience; see `kit.report.page.Page`.

        With `compared` the words are those that the comparison's design can carry.
        """
        from kit.report.page import Page  # noqa: PLC0415 - the check command shows no figure and needs no page
        from kit.report.privacy import smallest_group  # noqa: PLC0415 - as above

        title = " · ".join(part for part in (self.settings.title, self.school, self.choir) if part)
        found = self.comparison_design() if compared else self.design()
        return Page(
            title=title, design=found.code, audience=audience, synthetic=self.settings.synthetic,
            seed=self.settings.seed, level=self.settings.level, names=[*self.choirs, *self.students["school"]],
            approaches=sorted(set(self.students["approach"]) - {""}),
            withheld=disclosure.withheld(
                (self.whole or self).pairs(), smallest=smallest_group(audience), choir=self.choir, school=self.school,
                later=(self.whole or self).beside(),
            ),
        )  # fmt: skip

    def original(self) -> Original | None:
        """Give the study that is repeated: printed in study.toml, or one of the published ones; None without any."""
        repeats = self.settings.repeats
        if repeats.printed is not None or not repeats.published:
            return repeats.printed
        from kit.questions.replication.published import published_original  # noqa: PLC0415 - needs scipy, which check does not

        return published_original(repeats.published)

    @property
    def repeating(self) -> pd.DataFrame:
        """The students whom the original is put beside: those compared, or all for an original of one group."""
        original = self.original()
        return self.compared() if original is None or original.design == "two_groups" else self.pairs()

    @property
    def how(self) -> design.How:
        """How choirs came to the two approaches that are compared, as declared."""
        return self.settings.comparison.how or self.settings.assignment.how

    @property
    def fingerprints(self) -> dict[str, str]:
        """File -> SHA-256 of what was read, the plan's among them."""
        plan = self.settings.repeats.plan_file
        read = dict(self.loaded.fingerprints)
        return read | {plan: sha256((self.folder / plan).read_bytes()).hexdigest()} if plan else read

    def comparison_design(self) -> design.Design:
        """Say what kind of comparison this is; where nothing is compared, what kind of study."""
        compared = self.compared()
        if compared.empty:
            return self.design()
        return design.classify(compared, how=self.how)

    def design(self) -> design.Design:
        """Say what kind of study this is; see `kit.questions.design.classify`."""
        return design.classify(self.pairs(), how=self.settings.assignment.how, series=self.series)

    @property
    def series(self) -> pd.DataFrame:
        """Tests of each choir around the day on which it began; see `kit.questions.series_design.cases`."""
        here = {choir: day for choir, day in self.settings.starts.items() if choir in self.choirs}
        return series_design.cases(self.scores, here, measure=self.measure)
