"""One report in the making: figures and tables are numbered, every sentence passes the gate, every number is kept."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from importlib import metadata

import pandas as pd
from matplotlib.figure import Figure as Drawing

from kit.estimate import COUNTED_NOT_ESTIMATED, Estimate
from kit.glossary import GLOSSARY
from kit.report import layout, numbers, privacy, trace
from kit.report.claims import gate
from kit.report.layout import Shown
from kit.report.said import Caption, Said
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
INVENTED = "Invented data: no real student, choir or school is in this report."


class Page:
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
    ) -> None:
        self.title, self.design, self.audience = title, design, audience
        self.synthetic, self.seed, self.level = synthetic, seed, level
        self.smallest = privacy.smallest_group(audience)
        self.shown: dict[str, Estimate] = {}
        self._figures = self._tables = 0

    def banner(self) -> Shown:
        """Show whom the report is about, and that the data are invented where they are."""
        return layout.text([self.title, *([INVENTED] if self.synthetic else [])], kind="banner")

    def heading(self, words: str) -> Shown:
        """Show the heading of a part that not every report has."""
        gate(words, code=self.design)
        return layout.heading(words)

    def say(self, said: Said, *, kind: layout.TextKind = "plain") -> Shown:
        """Show sentences as a paragraph, in a box, or as a list."""
        for sentence in said.sentences:
            gate(sentence, code=self.design, limits=said.limits)
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
            return layout.text(["There is nothing to draw here."], kind="note")
        hidden = privacy.keep(estimates, self.audience)[1] if groups else []
        if hidden:
            return layout.text([f"{caption.title} {_hidden(len(hidden), self.smallest)}"], kind="note")
        return self.figure(draw(*data, **options), caption=caption, estimates=estimates)

    def figure(self, drawing: Drawing, *, caption: Caption, estimates: Sequence[Estimate] = ()) -> Shown:
        """Show a drawing with its caption and alternative text."""
        for text in (caption.title, caption.alt, caption.note):
            gate(text, code=self.design)
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
        self, rows: pd.DataFrame, *, caption: str, notes: Sequence[str] = (), estimates: Sequence[Estimate] = ()
    ) -> Shown:
        """Show rows as a numbered table."""
        for text in (caption, *notes):
            gate(text, code=self.design, limits=True)
        trace.record(estimates, self.shown)
        self._tables += 1
        return layout.table(rows, number=self._tables, caption=caption, notes=notes, estimates=estimates)

    def estimates(self, estimates: Sequence[Estimate], *, caption: str, groups: bool = False) -> Shown:
        """Show estimates as a table: what, how much, how sure, how many; methods and sources below.

        Parameters
        ----------
        estimates : sequence of Estimate
            The rows.
        caption : str
            What the table shows.
        groups : bool, optional
            Whether each row is a group of students: then small groups are hidden from an audience that must
            not see them.

        Returns
        -------
        Shown
            A sentence instead of a table where nothing is left to show.
        """
        shown, hidden = privacy.keep(estimates, self.audience) if groups else (list(estimates), [])
        if not shown:
            return layout.text([f"{caption}: nothing can be shown."], kind="note")
        rows = pd.DataFrame([_row(estimate, self.level) for estimate in shown])
        notes = [*_notes(shown), *([_hidden(len(hidden), self.smallest)] if hidden else [])]
        return self.table(rows, caption=caption, notes=notes, estimates=shown)

    def bands(self, bands: pd.DataFrame) -> pd.DataFrame:
        """Join bands of a distribution that hold too few students for this audience."""
        return privacy.merge_small_bands(bands, self.audience)

    def cautions(self) -> Shown:
        """Show the standing cautions."""
        return layout.text(CAUTIONS, kind="list")

    def glossary(self) -> Shown:
        """Show the words of the statistics on this page, in plain language."""
        words = [GLOSSARY[name] for name in dict.fromkeys(estimate.name for estimate in self.shown.values())]
        return layout.definitions([(word.words, word.meaning) for word in words])

    def references(self) -> Shown:
        """Show the texts that the numbers on this page rest on; those cited from memory say so."""
        keys = dict.fromkeys(
            key
            for estimate in self.shown.values()
            for key in (estimate.source, estimate.interval.source if estimate.interval else "")
        )
        return layout.text([SOURCES[key].reference for key in sorted(keys) if key], kind="list")

    def where_from(self) -> Shown:
        """Show all numbers of the page with what leads from each to its formula, its rows and its check."""
        rows = pd.DataFrame([_trail(estimate) for estimate in self.shown.values()])
        notes = (
            "The part of the label before the stroke is the function in kit/stats that holds the formula, and the file "
            "in tests/reference that holds its check. Rows left out are in left_out.csv, with file, sheet and row.",
        )
        return self.table(
            rows, caption="Every number of this report", notes=notes, estimates=tuple(self.shown.values())
        )

    def provenance(self, fingerprints: Mapping[str, str]) -> Shown:
        """Show which files were read, on which day, with which versions and which seed."""
        rows = [
            *((file, f"fingerprint {fingerprint[:16]}") for file, fingerprint in fingerprints.items()),
            ("made on", date.today().isoformat()),
            *((library, f"version {metadata.version(library)}") for library in LIBRARIES),
            ("seed of resampling", str(self.seed)),
            ("level of the intervals", numbers.percent_level(self.level)),
            ("written for", self.audience),
        ]
        return self.table(pd.DataFrame(rows, columns=["What", "Which"]), caption="How this report was made")


def _row(estimate: Estimate, level: float) -> dict[str, str]:
    """Write one estimate as the row of a table."""
    return {
        "What": f"{GLOSSARY[estimate.name].words}: {_plainly(estimate.about)}",
        "Estimate": _with_unit(estimate),
        f"{numbers.percent_level(level)} interval": numbers.interval_cell(estimate),
        "Based on": f"{estimate.n} {estimate.counted if estimate.n != 1 else estimate.counted.removesuffix('s')}",
    }


def _plainly(about: str) -> str:
    """Say whom a number is about; of a test with one score only, the name of the score says nothing."""
    return about.removeprefix("total, ")


def _with_unit(estimate: Estimate) -> str:
    """Write a value with its unit, short enough for a table."""
    if estimate.unit == "share":
        return numbers.bare(estimate.value, "share")
    return numbers.show(estimate.value, estimate.unit)


def _notes(estimates: Iterable[Estimate]) -> list[str]:
    """Write methods, sources and notes once each."""
    estimates = list(estimates)
    methods = dict.fromkeys(e.interval.method for e in estimates if e.interval)
    keys = dict.fromkeys(key for e in estimates for key in (e.source, e.interval.source if e.interval else "") if key)
    notes = dict.fromkeys(note for e in estimates for note in e.notes if note != COUNTED_NOT_ESTIMATED)
    lines = []
    if methods:
        lines.append(f"Intervals: {'; '.join(methods)}.")
    sources = [f"{SOURCES[key].author} ({SOURCES[key].year})" for key in keys if SOURCES[key].author]
    if sources:
        lines.append(f"Sources: {'; '.join(dict.fromkeys(sources))}.")
    return [*lines, *notes]


def _hidden(number: int, smallest: int) -> str:
    """Say how many groups are hidden."""
    groups = "group is" if number == 1 else "groups are"
    return f"{number} {groups} not shown, so that nobody can be recognised: a group needs {smallest} students."


def _trail(estimate: Estimate) -> dict[str, str]:
    """Write one number for the table of all numbers."""
    interval = estimate.interval
    value = f"{numbers.exact(estimate.value)} {estimate.unit}"
    ends = f" ({numbers.exact(interval.low)} to {numbers.exact(interval.high)})" if interval else ""
    left_out = f" ({estimate.dropped} left out)" if estimate.dropped else ""
    return {
        "Label": estimate.label,
        "Value and interval": f"{value}{ends}",
        "Based on": f"{estimate.n} {estimate.counted}{left_out}",
        "Method and source": f"{interval.method}; {estimate.source}" if interval else estimate.source,
    }
