"""A study folder -> settings, tables and everything that questions are asked of."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

import pandas as pd

from kit.errors import Problem, StudyProblems, UnknownChoiceError
from kit.load.aliases import read_aliases
from kit.load.files import Loaded, load_files
from kit.load.people import Crosswalk
from kit.questions import design, whom
from kit.questions.compared import between
from kit.questions.original import Original
from kit.settings import DeclaredTest, Settings, read_settings

if TYPE_CHECKING:
    from kit.report.page import Page

PRIVATE = "private"
REPORTS = "reports"
CROSSWALK = "crosswalk.csv"


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
    choir : str
        The choir the study is narrowed to; empty: all.
    """

    folder: Path
    settings: Settings
    loaded: Loaded
    choir: str = ""

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

    def only(self, *, choir: str) -> Study:
        """Narrow the study to one choir.

        Parameters
        ----------
        choir : str
            Name of the choir; empty leaves the study as it is.

        Returns
        -------
        Study
            With that choir's students, their marks and its drill log.

        Raises
        ------
        UnknownChoiceError
            If there is no such choir.
        """
        if not choir:
            return self
        if choir not in self.choirs:
            raise UnknownChoiceError("study", "choir", choir, tuple(self.choirs))
        members = self.students[self.students["choir"] == choir]
        strangers = ~self.scores["student"].isin(self.students["student"])
        theirs = self.scores["student"].isin(members["student"]) | (strangers & (self.scores["choir"] == choir))
        loaded = replace(
            self.loaded, students=members, scores=self.scores[theirs],
            items=self.items[self.items["student"].isin(members["student"])],
            drills=self.drills[self.drills["choir"] == choir],
        )  # fmt: skip
        return replace(self, loaded=loaded, choir=choir)

    def pairs(self, measure: str = "") -> pd.DataFrame:
        """Line up first and second marks, one row for each student; see `kit.questions.whom.line_up`."""
        return whom.line_up(
            self.students, self.scores, measure=measure or self.measure,
            pre=self.settings.before, post=self.settings.after, attempt=self.settings.attempts,
            rater=self.settings.rater,
        )  # fmt: skip

    @property
    def in_the_way(self) -> tuple[Problem, ...]:
        """What stands in the way of a report: problems of the files, and whose marks count."""
        raters = sorted(set(self.scores["rater"]) - {""})
        if self.settings.rater or len(raters) < 2 or not whom.marked_by_several(self.scores):
            return self.loaded.in_the_way
        undecided = Problem(
            why="setting", found=f"Several raters marked the same tests: {', '.join(raters)}.",
            do="Say whose marks count.", type_this=f'rater = "{raters[0]}"',
        )  # fmt: skip
        return (*self.loaded.in_the_way, undecided)

    def compared(self, measure: str = "") -> pd.DataFrame:
        """Line up the students of the two approaches that are compared; see `kit.questions.compared.between`.

        Without a declared program and with three approaches or more there are no rows: nobody said which two.
        """
        pairs, declared = self.pairs(measure), self.settings.comparison
        undeclared = not declared.program and len(set(pairs["approach"]) - {""}) > 2
        declared = replace(declared, how=declared.how or self.settings.assignment.how)
        return between(pairs.iloc[:0] if undeclared else pairs, declared)

    def page(self, *, audience: str = "teacher", compared: bool = False) -> Page:
        """Begin a report on this study for an audience; see `kit.report.page.Page`.

        With `compared` the words are those that the comparison's design can carry.
        """
        from kit.report.page import Page  # noqa: PLC0415 - the check command shows no figure and needs no page

        title = " · ".join(part for part in (self.settings.title, self.choir) if part)
        found = self.comparison_design() if compared else self.design()
        return Page(
            title=title, design=found.code, audience=audience, synthetic=self.settings.synthetic,
            seed=self.settings.seed, level=self.settings.level, names=[*self.choirs, *self.students["school"]],
            approaches=sorted(set(self.students["approach"]) - {""}),
        )  # fmt: skip

    def original(self) -> Original | None:
        """Give the study that is repeated: printed in study.toml, or one of the published ones; None without any."""
        repeats = self.settings.repeats
        if repeats.printed is not None or not repeats.published:
            return repeats.printed
        from kit.questions.published import published_original  # noqa: PLC0415 - needs scipy, which check does not

        return published_original(repeats.published)

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
        return design.classify(compared, how=self.settings.comparison.how or self.settings.assignment.how)

    def design(self) -> design.Design:
        """Say what kind of study this is; see `kit.questions.design.classify`."""
        return design.classify(self.pairs(), how=self.settings.assignment.how)


def load_study(folder: str | Path, *, step: Callable[[str], None] = lambda _: None) -> Study:
    """Read a study folder.

    Parameters
    ----------
    folder : str or Path
        The folder with study.toml and the school's files.
    step : callable, optional
        Told the name of each file as it is opened.

    Returns
    -------
    Study

    Raises
    ------
    StudyProblems
        With every problem of the study file, or of all school files, at once.
    """
    study = read_study(Path(folder), step=step)
    if study.in_the_way:
        raise StudyProblems(study.in_the_way)
    return study


def read_study(folder: Path, *, step: Callable[[str], None] = lambda _: None) -> Study:
    """Read a study folder even when school files have problems; ``loaded.problems`` then lists them.

    Parameters
    ----------
    folder : Path
        The study folder.
    step : callable, optional
        Told the name of each file as it is opened.

    Returns
    -------
    Study

    Raises
    ------
    StudyProblems
        If study.toml or the alias file has faults.
    """
    settings = read_settings(folder)
    crosswalk = Crosswalk.open(folder / PRIVATE / CROSSWALK)
    rules = settings.rules
    if settings.aliases:
        rules = replace(rules, aliases=read_aliases(folder / settings.aliases))
    loaded = load_files(folder, settings.sources, rules=rules, crosswalk=crosswalk, step=step)
    return Study(folder, settings, loaded)
