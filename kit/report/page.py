"""One report in the making: figures and tables are numbered, every sentence passes the gate, every number is kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from importlib import metadata

import pandas as pd
from matplotlib.figure import Figure as Drawing

from kit.estimate import Estimate
from kit.report import appendix, in_notebook, layout, numbers, phrases, trace
from kit.report.claims import gate
from kit.report.layout import Shown
from kit.report.privacy.readers import Readers
from kit.report.privacy.rounding import Withheld
from kit.report.said import Caption, Said
from kit.report.tables.estimate_rows import hidden_words, laid_out, notes_below
from kit.sources import SOURCES

CAUTIONS = (
    "Not for grades, auditions, placement or judging teachers: a short test says little about one singer.",
    "Voices and hearing differ. A changing voice can lower a score for months; offer a comfortable key and a private "
    "retest, and take a refusal as news about the procedure, not as a zero.",
    "Students who learned other syllables at home may be right in their own system: score the pitch, not the name.",
    "Follow your local policy, your ethics review board and privacy law before sharing anything.",
    "Ask a qualified statistician before a decision with high stakes.",
)  # fmt: skip
LIBRARIES = ("sight-singing-evaluation-kit", "numpy", "scipy", "pandas", "matplotlib")
ALL_DIGITS = "numbers.csv holds them with all digits."
THESE_DIGITS = (
    "numbers.csv holds them with the digits told here, and does not say how many students each leaves out: either "
    "would give small groups away."
)
KEPT_PRINTS = "files whose fingerprints are kept in the school"
LEFT_OUT = "left_out.csv holds the rows left out, with file, sheet and row."
TEXTS = "The texts that these formulas and checks come from:"
NOT_DRAWN = "No figure here: there are too few scores for one."
NO_ROWS = "No row of this table may be shown: too few students stand behind each."
INVENTED = "Invented data: no real student, choir or school is in this report."


class Page(Readers):
    """A report in the making.

    Parameters
    ----------
    title : str
        Title of the report.
    design : str
        Code of the study's design; the gate goes by it.
    audience : str
        ``"teacher"``, ``"district"`` or ``"public"``.
    synthetic : bool
        Whether the data are invented.
    seed : int
        Seed of all resampling.
    level : float
        Confidence level of the intervals.
    names : sequence of str, optional
        Names of choirs and schools, which may hold any word without being a claim.
    approaches : sequence of str, optional
        Names of teaching approaches, which may hold any word too; what is claimed of them is still looked at.
    withheld : Withheld, optional
        What this audience must not be told exactly, from ``kit.questions.disclosure.withheld``.
    """

    def __init__(
        self,
        *,
        title: str,
        design: str,
        audience: str = "teacher",
        synthetic: bool = False,
        seed: int = 1,
        level: float = 0.95,
        names: Sequence[str] = (),
        approaches: Sequence[str] = (),
        withheld: Withheld | None = None,
    ) -> None:
        super().__init__(audience, withheld)
        self.title, self.design = title, design
        self.synthetic, self.seed, self.level = synthetic, seed, level
        self.names, self.approaches = tuple(names), tuple(approaches)
        self.shown: dict[str, Estimate] = {}
        self._figures = self._tables = 0

    def banner(self) -> Shown:
        """Show whom the report is about, and that the data are invented where they are."""
        return in_notebook.styled(layout.text([self.title, *([INVENTED] if self.synthetic else [])], kind="banner"))

    def heading(self, words: str) -> Shown:
        """Show the heading of a part that not every report has."""
        self._pass(words, place="caption")
        return layout.heading(words)

    def say(self, said: Said, *, kind: layout.TextKind = "plain") -> Shown:
        """Show sentences as a paragraph, in a box, or as a list."""
        self._pass(*said.sentences, limits=said.limits)
        if small := self._small(said.estimates):
            return layout.text([hidden_words(len(small), self.smallest)], kind="note")
        said = self._said(said)
        trace.record(said.estimates, self.shown)
        return layout.text(said.sentences, kind=kind, estimates=said.estimates)

    def draw(
        self,
        draw: Callable[..., Drawing],
        *data: object,
        caption: Caption,
        estimates: Sequence[Estimate] = (),
        groups: bool = False,
        **options: object,
    ) -> Shown:
        """Draw a figure and show it; where there is nothing to draw, or nobody may see it, say so.

        Parameters
        ----------
        draw : callable
            A function of ``kit.figures``.
        *data, **options
            What it takes.
        caption : Caption
            Caption and alternative text.
        estimates : sequence of Estimate, optional
            The numbers in the figure.
        groups : bool, optional
            Whether each estimate is a group of students; a figure with a small group is then not shown to an
            audience that must not see it.

        Returns
        -------
        Shown
        """
        if not len(data[0]):
            return layout.text([self._not_drawn()], kind="note")
        hidden = self._groups(estimates)[1] if groups else self._small(estimates)
        if hidden:
            self._pass(caption.title, place="caption")
            return layout.text(
                [f"{caption.title.rstrip('.')}: {hidden_words(len(hidden), self.smallest)}"], kind="note"
            )
        return self.figure(draw(*data, **options), caption=caption, estimates=estimates)

    def choirs(
        self, draw: Callable[..., Drawing], table: pd.DataFrame, *, caption: Caption,
        estimates: Sequence[Estimate] = (), **options: object,
    ) -> Shown:  # fmt: skip
        """Draw a table of choirs with a column students, unless one has too few for this audience; see `draw`.

        Of a table from `keep_choirs` the note says how many are not in it.
        """
        small, unseen = 0, table.attrs.get("hidden", 0)
        if not table.empty:
            small = int(((table["students"] < self.smallest) | table["choir"].isin(self.hidden)).sum())
        if small or table.empty:
            self._pass(caption.title, place="caption")
            why = hidden_words(small or unseen, self.smallest) if small or unseen else self._not_drawn()
            return layout.text([f"{caption.title.rstrip('.')}: {why}"], kind="note")
        if unseen:
            beside = f"Not drawn: {unseen} choir{'s' if unseen > 1 else ''}, so that no small one can be recognized."
            caption = replace(caption, note=f"{caption.note} {beside}".strip())
        return self.figure(draw(table, **options), caption=caption, estimates=estimates)

    def figure(self, drawing: Drawing, *, caption: Caption, estimates: Sequence[Estimate] = ()) -> Shown:
        """Show a drawing with its caption and alternative text."""
        self._pass(caption.title, caption.alt, caption.note, place="caption")
        caption, estimates = self._caption(caption, estimates)
        trace.record(estimates, self.shown)
        self._figures += 1
        return layout.figure(
            drawing,
            number=self._figures,
            caption=caption.title,
            alt=caption.alt,
            note=caption.note,
            estimates=estimates,
        )

    def table(
        self,
        rows: pd.DataFrame,
        *,
        caption: str,
        notes: Sequence[str] = (),
        estimates: Sequence[Estimate] = (),
        empty: str = "",
        write: Callable[[Sequence[str]], layout.Written] | None = None,
    ) -> Shown:
        """Show rows as a numbered table; where there are none and `empty` says why, that sentence instead."""
        if rows.empty and (empty or rows.columns.empty):
            self._pass(empty or NO_ROWS, limits=True)
            return layout.text([empty or NO_ROWS], kind="note")
        self._pass(caption, place="caption")
        self._pass(*notes, limits=True)
        known = () if write else tuple(self.shown.values())
        rows, estimates = self.rounding.rows(rows), self._told(estimates)
        trace.record(estimates, self.shown)
        self._tables += 1
        return layout.table(
            rows, number=self._tables, caption=caption, notes=notes, estimates=estimates, known=known, write=write
        )

    def estimates(self, estimates: Sequence[Estimate], *, caption: str, groups: bool = False) -> Shown:
        """Show estimates as a table: what, how much, how sure, how many; methods and sources below.

        Rows that rest on too few students for the audience are hidden, and their number is told.

        Parameters
        ----------
        estimates : sequence of Estimate
            The rows.
        caption : str
            What the table shows.
        groups : bool, optional
            Whether the rows are the parts of one whole: then a single hidden part takes the next smallest with it.

        Returns
        -------
        Shown
            A sentence instead of a table where nothing is left to show.
        """
        if astray := {e.interval.level for e in estimates if e.interval} - {self.level}:
            raise ValueError(f"estimates: every interval must have the level {self.level}. Got {sorted(astray)}.")
        shown, hidden = self._groups(estimates, total_known=groups)
        shown = self._told(shown)
        if not shown:
            why = hidden_words(len(hidden), self.smallest) if hidden else "There is nothing to show."
            return layout.text([f"{caption}: {why}"], kind="note")
        notes = [*notes_below(shown), *([hidden_words(len(hidden), self.smallest)] if hidden else [])]
        return self.table(laid_out(shown, self.level), caption=caption, notes=notes, estimates=shown)

    def cautions(self) -> Shown:
        """Show the standing cautions."""
        return layout.text(CAUTIONS, kind="list")

    def glossary(self) -> Shown:
        """Show the words of the statistics on this page, in plain language."""
        return appendix.glossary(self.shown.values())

    def references(self) -> Shown:
        """Show the texts that the numbers on this page rest on, by their names; those from memory say so."""
        texts = {SOURCES[key].reference for key in trace.texts(self.shown.values())}
        return layout.text(sorted(texts, key=str.casefold), kind="list", lead=TEXTS if texts else "")

    def where_from(self) -> Shown:
        """Show all numbers of the page with what leads from each to its formula, its rows and its check."""
        every = tuple(self.shown.values())
        if not every:
            return layout.text(["No number is in this report."], kind="note")
        flat = trace.trail(every)
        numbers_ = self.table(
            flat[["Label", "Value", "Interval", "Based on"]],
            caption="Every number of this report",
            notes=[ALL_DIGITS, LEFT_OUT] if self.smallest == 1 else [THESE_DIGITS],
            estimates=every,
            write=appendix.number_row,
        )
        formulas = self.table(
            trace.formulas(flat),
            caption="Where each formula and its check stand",
            notes=["The statistic is the part of a label before the stroke; formula and check are files of the kit."],
            write=appendix.formula_row,
        )
        return layout.joined(numbers_, formulas, table=flat)

    def provenance(self, fingerprints: Mapping[str, str], *, plan: str = "") -> Shown:
        """Show which files were read, on which day, with which versions and which seed.

        Beyond the school only the fingerprint of the file of the plan is told: who knows all marks of a short file but
        one could try which mark gives the file's.
        """
        told = {file: one for file, one in fingerprints.items() if self.smallest == 1 or file == plan}
        kept = ", ".join(file for file in fingerprints if file not in told)
        rows = [
            *([(KEPT_PRINTS, kept)] if kept else []),
            *((file, f"fingerprint {fingerprint[:16]}") for file, fingerprint in told.items()),
            ("made on", phrases.day(pd.Timestamp(date.today()))),
            *((library, f"version {metadata.version(library)}") for library in LIBRARIES),
            ("seed of resampling", str(self.seed)),
            ("level of the intervals", numbers.percent_level(self.level)),
            ("written for", self.audience),
        ]
        return self.table(pd.DataFrame(rows, columns=["What", "Which"]), caption="How this report was made")

    def _not_drawn(self) -> str:
        """Say why nothing can be drawn; to a reader beyond the school, that it may be for a small group's sake."""
        if self.smallest == 1:
            return NOT_DRAWN
        return f"{NOT_DRAWN.rstrip('.')}, or it would show groups of fewer than {self.smallest} students."

    def _pass(self, *texts: str, limits: bool = False, place: str = "prose") -> None:
        """Pass texts through the gate."""
        for text in texts:
            gate(text, code=self.design, limits=limits, place=place, names=self.names,
                 approaches=self.approaches)  # fmt: skip
