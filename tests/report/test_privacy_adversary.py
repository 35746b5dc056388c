"""An adversary's exercise: all files of the public copies of an invented district, and what can be worked out of them.

The adversary reads nothing but the files and knows how the kit works: how numbers are rounded, what a label means, that
counts are whole. The truth is looked up only to judge what was found.
"""

from __future__ import annotations

import csv
import re
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from kit.__main__ import READERS
from kit.make import make_reports
from kit.questions import scale
from kit.questions.disclosure import APART
from kit.study import load_study

STUDY = Path(__file__).parents[2] / "synthetic_data" / "two_larches"
SMALLEST, STEP, POINTS = 10, 20, 24
FLOWS = ("both", "before only", "after only", "neither")
ROSTER, FIRST, SECOND, LOST = FLOWS, FLOWS[:2], (FLOWS[0], FLOWS[2]), FLOWS[1:]
FEWEST_POINTS_APART = 6
"""Of 24 points: as wide the average of a hidden group must stay, however everything is put together."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Make the public copies of all three reports once."""
    out = tmp_path_factory.mktemp("public")
    make_reports(STUDY, dict(READERS), audience="public", out=out)
    return out


@pytest.fixture(scope="module")
def truth():
    """Say who was tested when, by approach and by choir."""
    pairs = load_study(STUDY).pairs()
    once = zip(scale.tested(pairs, "pre"), scale.tested(pairs, "post"), strict=True)
    return pairs.assign(flow=[FLOWS[2 * (not first) + (not second)] for first, second in once])


@pytest.fixture(scope="module")
def numbers(folder):
    """Gather all rows of all tables of numbers, with the words of the table that say where a number is rounded."""
    read = [pd.read_csv(path) for path in folder.rglob("numbers.csv")]
    return pd.concat(read, ignore_index=True).drop_duplicates("label")


def ends(row, number):
    """Say between which ends a number of students lies, from what is told of it."""
    if f"about {number}" in str(row["notes"]):
        return number - STEP // 2, number + STEP // 2 - 1
    ranges = [
        tuple(map(int, found)) for found in re.findall(r"(\d+) to (\d+)(?: students)?: the exact", str(row["notes"]))
    ]
    return next((found for found in ranges if found[0] <= number <= found[1]), (number, number))


def of_approach(about, approaches):
    """Say which approach a label is about; None for all."""
    return next((name for name in approaches if about.startswith(f"{name},") or f", {name}" in about), None)


def told_counts(numbers, approaches):
    """Read from the labels: (approach or None, parts, low, high) of every number of students that says whose it is."""
    for _, row in numbers[numbers["counted"] == "students"].iterrows():
        about, name, n = row["about"], row["name"], int(row["n"])
        which = of_approach(about, approaches)
        if about in ("students", "on the roster"):
            yield None, ROSTER, *ends(row, int(row["value"]))
        elif about == "tested both times":
            yield None, FLOWS[:1], *ends(row, int(row["value"]))
            yield None, ROSTER, *ends(row, n)
        elif about.endswith("tested both times") and which:
            yield which, FLOWS[:1], *ends(row, int(row["value"]))
        elif "lost: students" in about and name == "count":
            yield which, ROSTER, *ends(row, n)
            yield which, LOST, *ends(row, int(row["value"]))
        elif name == "mean_score" and "tested before only" in about:
            yield None, ("before only",), *ends(row, n)
        elif name in ("detectable_change", "standard_error_of_measurement", "mean_difference_welch"):
            yield None, FIRST, *ends(row, n)
        elif ("second test" in about and name in ("share_wilson",)) or name == "share_clusters":
            yield None, SECOND, *ends(row, n)
    forms = numbers[(numbers["name"] == "cronbach_alpha") & numbers["about"].str.contains("form")]
    for test, parts in (("first", FIRST), ("second", SECOND)):
        sizes = [ends(row, int(row["n"])) for _, row in forms[forms["about"].str.contains(f"{test} test")].iterrows()]
        if sizes:
            yield None, parts, sum(low for low, _ in sizes), sum(high for _, high in sizes)


def system(numbers, approaches):
    """Write all that is told as limits on the sizes of cells (approach, flow)."""
    cells = [(approach, flow) for approach in approaches for flow in FLOWS]
    told = list(told_counts(numbers, approaches))
    members = [[which in (None, cell[0]) and cell[1] in parts for cell in cells] for which, parts, _, _ in told]
    rule = LinearConstraint(np.array(members, dtype=float), [low for *_, low, _ in told], [high for *_, high in told])
    return cells, told, rule


def size_of(cells, rule, inside):
    """Give the smallest and the largest size that a group can have."""
    aim = np.array([cell in inside for cell in cells], dtype=float)
    found = [milp(side * aim, constraints=rule, integrality=1 + 0 * aim, bounds=Bounds(0, 999)) for side in (1, -1)]
    assert all(one.success for one in found), "what is told must fit some study"
    return found[0].fun, -found[1].fun


def test_the_adversary_reads_a_lot(numbers, truth):
    """The exercise is not empty: totals of every kind are read, and all of them are true of the study."""
    approaches = sorted(set(truth["approach"]))
    cells, told, _ = system(numbers, approaches)
    sizes = truth.groupby(["approach", "flow"]).size().reindex(cells, fill_value=0)
    for which, parts, low, high in told:
        size = sum(sizes[cell] for cell in cells if which in (None, cell[0]) and cell[1] in parts)
        assert low <= size <= high, (which, parts)
    assert {(which is None, parts) for which, parts, _, _ in told} >= {
        (True, ROSTER), (True, FIRST), (True, SECOND), (True, FLOWS[:1]), (True, ("before only",)),
        (False, ROSTER), (False, LOST), (False, FLOWS[:1]),
    }  # fmt: skip


def test_no_small_count_can_be_worked_out(numbers, truth):
    """By whole-number programs over everything told: each group of one to nine keeps sizes three apart or more."""
    approaches = sorted(set(truth["approach"]))
    cells, _, rule = system(numbers, approaches)
    sizes = truth.groupby(["approach", "flow"]).size().reindex(cells, fill_value=0)
    asked, tried = [("after only",), ("neither",), FLOWS[2:], (FLOWS[1], FLOWS[3]), LOST, ("before only",)], 0
    for which in (None, *approaches):
        for parts in asked:
            inside = {cell for cell in cells if which in (None, cell[0]) and cell[1] in parts}
            if 0 < sum(sizes[cell] for cell in inside) < SMALLEST:
                low, high = size_of(cells, rule, inside)
                assert high - low >= APART, (which, parts, low, high)
                tried += 1
    assert tried >= 8


def test_exact_numbers_would_have_given_counts_away(numbers, truth):
    """The exercise can succeed: with the roster told exactly, the loss of the third approach is known."""
    approaches = sorted(set(truth["approach"]))
    cells, told, _ = system(numbers, approaches)
    exact = [*told, (None, ROSTER, len(truth), len(truth))]
    members = [[which in (None, cell[0]) and cell[1] in parts for cell in cells] for which, parts, _, _ in exact]
    rule = LinearConstraint(np.array(members, dtype=float), [one[2] for one in exact], [one[3] for one in exact])
    low, high = size_of(cells, rule, {cell for cell in cells if cell[0] == "as usual" and cell[1] in LOST})
    assert low == high == 1


def means_told(numbers):
    """Read averages of first or second scores and how exactly they are told: (test, n, low, high)."""
    for _, row in numbers[(numbers["name"] == "mean_score") & (numbers["counted"] == "students")].iterrows():
        test = next((word for word in ("first", "second") if f"{word} test" in row["about"]), None)
        if test:
            digits = len(str(row["value"]).partition(".")[2])
            half = 0.5 * 10**-digits
            yield test, row["about"], ends(row, int(row["n"])), row["value"] - half, row["value"] + half


def test_no_average_of_a_few_can_be_worked_out(numbers):
    """Averages of nearly the same students: what is left between two of them stays unknown by a quarter of the scale."""
    told = list(means_told(numbers))
    assert len(told) >= 4
    for test, _, (_, most), low, high in told:
        for other, _, (fewest, _), other_low, other_high in told:
            few = fewest - most
            if test == other and 0 < few < SMALLEST:
                least, largest = (fewest * other_low - most * high) / few, (fewest * other_high - most * low) / few
                assert min(largest, POINTS) - max(least, 0) >= FEWEST_POINTS_APART


def test_choirs_are_only_told_by_those_tested_twice(folder, numbers, truth):
    """No file tells how many of a choir missed a test: sizes of choirs are those tested both times, or about others."""
    choirs = {choir: rows for choir, rows in truth.groupby("choir") if choir}
    for _, row in numbers[numbers["counted"] == "students"].iterrows():
        choir = next((name for name in choirs if row["about"].endswith(f", {name}")), None)
        if choir:
            assert row["n"] == (choirs[choir]["flow"] == "both").sum()
    assert numbers.loc[numbers["counted"] == "students", "dropped"].isna().all()
    for path in (*folder.rglob("*.html"), *folder.rglob("*.csv"), *folder.rglob("*.md")):
        assert not re.search(r"\d (?:students? )?left out\b", _text(path)), path.name


def test_tables_of_choirs_hold_large_choirs_and_what_they_have_in_common(folder, truth):
    """Tables that lie there for other programs: every choir has ten students or more, all of them tested twice."""
    tables = list(folder.rglob("committee_choirs.csv"))
    assert tables
    sizes = truth[truth["flow"] == "both"].groupby("choir").size()
    for path in tables:
        choirs = pd.read_csv(path)
        assert (choirs["students"] >= SMALLEST).all()
        assert sorted(choirs["students"]) == sorted(sizes[sizes.index.isin(truth.loc[
            truth["approach"] != "as usual", "choir"])])  # fmt: skip


def test_digits_give_no_number_of_students_back(numbers):
    """A share or average of a rounded number of students fits several numbers of students, by trying all of them."""
    rounded = numbers[
        numbers["notes"].astype(str).str.contains("would give small groups away") & (numbers["name"] != "count")
    ]
    assert len(rounded)
    for _, row in rounded[rounded["name"].isin(("share_wilson", "share_clusters", "mean_score"))].iterrows():
        low, high = ends(row, int(row["n"]))
        half = 0.005 if row["unit"] == "share" else 0.05
        fitting = [n for n in range(int(low), int(high) + 1)
                   if np.ceil((row["value"] - half) * n - 1e-9) <= np.floor((row["value"] + half) * n + 1e-9)]  # fmt: skip
        assert len(fitting) > APART


def test_no_exact_number_stands_in_any_other_file(folder, truth):
    """The rounded totals do not stand exactly in a sentence, a table, a picture's words or a tip."""
    exact = [int((truth["flow"].isin(SECOND)).sum())]
    for path in folder.rglob("*"):
        if path.suffix in (".html", ".csv", ".md", ".svg", ".R", ".json"):
            for number in exact:
                found = re.findall(rf"(?<![\w.,#/-]){number}(?![\w%]|[.,-]\d)[^<]{{0,24}}", _text(path))
                assert not [one for one in found if "student" in one or path.name == "numbers.csv"], (path.name, found)
        if path.suffix == ".csv":
            rows = csv.reader(_text(path).splitlines())
            assert not [row for row in rows if {str(number) for number in exact} & set(row)], path.name


def test_numbers_of_tests_are_told_by_ranges(folder, numbers, truth):
    """How many tests each approach took stands nowhere, nor does their sum: with the roster it would tell who missed one."""
    study = load_study(STUDY)
    taken = study.scores[study.scores["points"].notna() | study.scores["share"].notna()]
    taken = taken.drop_duplicates(["student", "occasion", "attempt"])
    approach = taken["student"].map(truth.set_index("student")["approach"]).value_counts()
    exact = {*approach.astype(int), int(approach["ear-first"] + approach["page-first"])}
    told = numbers[(numbers["counted"] == "tests") & ~numbers["notes"].str.contains("exact number would give")]
    assert told.empty
    for path in folder.rglob("*"):
        if path.suffix in (".html", ".csv", ".md", ".svg", ".R", ".json"):
            found = re.findall(rf"(?<![\w.,#/-])(?:{'|'.join(map(str, exact))})(?: tests|,tests)", _text(path))
            assert not found, (path.name, found)


def test_no_fingerprint_of_a_file_of_marks_is_told(folder):
    """Who knows all of a short file but one mark could try which mark gives its fingerprint; the plan's is for all."""
    prints = load_study(STUDY).loaded.fingerprints
    for path in folder.rglob("*"):
        if path.suffix in (".html", ".csv", ".md", ".R", ".json"):
            text = _text(path)
            assert not [name for name, print_ in prints.items() if print_[:12] in text], path.name


def test_no_marks_of_single_students_are_drawn(folder, truth):
    """No picture has a mark for each student: all its marks, ticks included, are fewer than a third of them."""
    pictures = list(folder.rglob("*.svg"))
    assert pictures
    for path in pictures:
        marks = re.findall(r'xlink:href="#m[0-9a-f]{10}"', path.read_text(encoding="utf-8"))
        assert len(marks) < len(truth) / 3, path.name


def _text(path):
    """Read a file without the bytes of its pictures and the shapes of its drawings."""
    text = re.sub(r"data:[\w/+-]+;base64,[\w+/=]*", "", path.read_text(encoding="utf-8"))
    if path.suffix == ".svg":
        return "\n".join(re.findall(r"<!--(.*?)-->", text))
    return re.sub(r"<[^>]*>", "", text) if path.suffix == ".html" else text
