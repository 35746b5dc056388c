"""How reliable the test is in this sample: over notes and over melodies, and what single notes tell."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.quality.choirs import noted
from kit.questions.quality.how import TESTS
from kit.questions.scale import measure_of
from kit.stats.consistency import cronbach_alpha, kr20
from kit.stats.items import item_difficulty, item_discrimination
from kit.stats.reliability import spearman_brown

NO_NOTES = "No marks of single notes are on file, so the reliability of this test cannot be measured here."
NOTES_HANG_TOGETHER = (
    "Notes of one melody hang together, since a singer who loses the key loses several; reliability over notes tends "
    "to look higher than it is, and reliability over melodies is the more careful number."
)
CHOIRS_DIFFER = (
    "Choirs differ, which makes students easier to tell apart; within one choir the test does that less well."
)
NOTE_TELLS_NOTHING = "How far this note tells readers apart is not known: too few sang it, or all of them alike."
WITHIN = "Scores are taken from the average of the student's own choir and form, so differences between choirs are out."
TWO_MELODIES = 2
_NOTE = ["melody", "item"]


def reliability_here(
    items: pd.DataFrame, pairs: pd.DataFrame, *, tests: tuple[str, str], rater: str = "", level: float = 0.95
) -> Answers:
    """Estimate how reliable each test and form is in this sample, over notes and over melodies.

    Counted: students of `pairs` with a mark for every note of the form, at that test. For a student marked by
    several raters the marks of `rater` count.

    Parameters
    ----------
    items : DataFrame
        The normalised table ``kit.tables.ITEMS``.
    pairs : DataFrame
        From `kit.questions.whom.line_up`; it names the measure, and each student's choir.
    tests : pair of str
        The first and the second occasion, as the study file calls them.
    rater : str, optional
        Whose marks count where several raters marked.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        For each test and form, about ``"pitch, form A, first test"``: ``kr20`` over notes, ``cronbach_alpha`` over
        melodies (and ``spearman_brown`` where there are two). With several choirs without intervals, and beside them
        ``cronbach_alpha`` within choirs, which is about ``"pitch, form A, within choirs, first test"``. Intervals are
        the jackknife's, which need no normal scores.
    """
    answers: list[Estimate | LeftOut] = []
    for about, marks in _tables(items, pairs, tests, rater):
        choirs = _choirs(marks, pairs)
        named = choirs[choirs != ""].nunique()
        options = {"about": about.format(""), "level": level, "choirs": named, "method": "jackknife"}
        answers.append(noted(ask(kr20, marks, **options), NOTES_HANG_TOGETHER))
        melodies = marks.T.groupby(level="melody").sum(min_count=1).T.where(_whole(marks))
        if melodies.shape[1] < TWO_MELODIES:
            answers.append(LeftOut(about.format(""), "The form has one melody, so none can be held against another."))
            continue
        answers.append(noted(ask(cronbach_alpha, melodies, **options), *([CHOIRS_DIFFER] if named > 1 else [])))
        if melodies.shape[1] == TWO_MELODIES:
            answers.append(ask(spearman_brown, melodies.iloc[:, 0], melodies.iloc[:, 1], **options))
        if named > 1:
            apart = melodies - melodies.groupby(choirs).transform("mean")
            inside = ask(cronbach_alpha, apart, about=about.format("within choirs, "), level=level, choirs=named)
            answers.append(noted(inside, WITHIN))
    return Answers(answers or [LeftOut(measure_of(pairs), NO_NOTES)])


def single_notes(
    items: pd.DataFrame, pairs: pd.DataFrame, *, tests: tuple[str, str], rater: str = "", level: float = 0.95
) -> Answers:
    """Estimate how hard each note is, and how far it tells strong from weak readers, at each test.

    Counted: as in `reliability_here`; for the difficulty of a note everyone with a mark of that note.

    Parameters
    ----------
    items, pairs, tests, rater
        As in `reliability_here`.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        ``item_difficulty`` and ``item_discrimination`` of each note, about ``"pitch, form A, melody 1, note 3, first
        test"``. With several choirs without intervals.
    """
    answers: list[Estimate | LeftOut] = []
    for about, marks in _tables(items, pairs, tests, rater):
        choirs = _choirs(marks, pairs)
        options = {"level": level, "choirs": choirs[choirs != ""].nunique()}
        for place, (melody, note) in enumerate(marks.columns):
            one = about.format(f"melody {melody}, note {note}, ")
            answers += [
                ask(item_difficulty, marks.iloc[:, place], about=one, **options),
                _told_apart(marks, place, about=one, **options),
            ]
    return Answers(answers or [LeftOut(measure_of(pairs), NO_NOTES)])


def note_marks(items: pd.DataFrame, pairs: pd.DataFrame, *, test: str) -> pd.DataFrame:
    """Choose the marks of single notes that belong to a test of the students who are counted.

    Counted: marks of students in `pairs`, of its measure; rows without a mark stay and are empty.

    Parameters
    ----------
    items : DataFrame
        The normalised table ``kit.tables.ITEMS``.
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    test : str
        The occasion.

    Returns
    -------
    DataFrame
        Columns student, form, rater, melody, item and ``mark``: 1 right, 0 wrong, NaN where there is none.
    """
    kept = items[
        (items["measure"] == measure_of(pairs)) & (items["occasion"] == test) & items["student"].isin(pairs["student"])
    ]
    marks = kept["right"].astype("Float64").to_numpy(dtype=float, na_value=np.nan)
    return kept[["student", "form", "rater", *_NOTE]].assign(mark=marks)


def forms_of_tests(
    items: pd.DataFrame, pairs: pd.DataFrame, *, tests: tuple[str, str], rater: str = ""
) -> dict[str, dict[str, pd.DataFrame]]:
    """Lay the marks of each form out as a table.

    Counted: as in `reliability_here`; of two marks of one note by one rater the one that comes first.

    Parameters
    ----------
    items, pairs, tests, rater
        As in `reliability_here`.

    Returns
    -------
    dict
        ``"first test"`` and ``"second test"`` -> form -> one row a student, one column a note (melody, item): 1
        right, 0 wrong, NaN where there is no mark.
    """
    found: dict[str, dict[str, pd.DataFrame]] = {}
    for test, which in zip(tests, TESTS.values(), strict=True):
        marks = _one_rater(note_marks(items, pairs, test=test).dropna(subset="mark"), rater)
        found[which] = {
            str(form): sung.pivot_table(
                index="student", columns=_NOTE, values="mark", aggfunc="first", observed=True
            )
            for form, sung in marks.groupby("form", sort=True, observed=True)
        }  # fmt: skip
    return found


def _tables(
    items: pd.DataFrame, pairs: pd.DataFrame, tests: tuple[str, str], rater: str
) -> Iterator[tuple[str, pd.DataFrame]]:
    """Give what each test and form is about, and its marks."""
    for which, forms in forms_of_tests(items, pairs, tests=tests, rater=rater).items():
        for form, marks in forms.items():
            named = f", form {form}" if form else ""
            yield f"{measure_of(pairs)}{named}, {{}}{which}", marks


def _one_rater(marks: pd.DataFrame, rater: str) -> pd.DataFrame:
    """Keep one rater's marks of each student: the named one's, else those of the first by name."""
    other = (marks["rater"] != rater).rename("other")
    ordered = marks.assign(other=other).sort_values(["other", "rater"], kind="stable")
    chosen = ordered.groupby(["student", "form"], observed=True)["rater"].transform("first")
    return ordered[ordered["rater"] == chosen].drop(columns="other")


def _choirs(marks: pd.DataFrame, pairs: pd.DataFrame) -> pd.Series:
    """Name the choir of each student of a table of marks."""
    return pairs.set_index("student")["choir"].reindex(marks.index).fillna("")


def _whole(marks: pd.DataFrame) -> pd.DataFrame:
    """Say which melodies each student has every note of, one column a melody."""
    return marks.notna().T.groupby(level="melody").all().T


def _told_apart(marks: pd.DataFrame, place: int, *, about: str, level: float, choirs: int) -> Estimate | LeftOut:
    """Estimate how far one note tells readers apart."""
    found = ask(item_discrimination, marks, item=place, about=about, level=level, choirs=choirs)
    return LeftOut(about, NOTE_TELLS_NOTHING) if isinstance(found, LeftOut) else found
