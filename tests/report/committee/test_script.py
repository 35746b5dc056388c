"""The key numbers for R: the script agrees with the kit wherever R is, and refuses where they differ."""

import shutil
import subprocess
from types import SimpleNamespace

import numpy as np
import pandas as pd
import pytest

from kit.questions import comparison
from kit.questions.compared import Comparison
from kit.questions.comparison import methods as comparison_methods
from kit.questions.comparison import models as comparison_models
from kit.questions.design import classify
from kit.questions.disclosure import Withheld
from kit.questions.recompute import recompute
from kit.questions.replication import repeated
from kit.questions.replication.original import Original
from kit.report.attached import Attached
from kit.report.claims import gate
from kit.report.committee import script as committee_script
from kit.report.committee.numbers import ROUNDED, Key, key_numbers
from kit.report.committee.script import committee, committee_files, sentences
from kit.report.layout import BUNDLE
from kit.report.page import Page
from kit.report.spoken import CODES
from kit.stats.consistency import cronbach_alpha
from tests.questions.comparisons import EAR, PAGE, compared, drawn

HAS_R = shutil.which("Rscript") is not None
needs_r = pytest.mark.skipif(not HAS_R, reason="R is not installed here, so its numbers cannot be compared")
LABEL = "cronbach_alpha/pitch-form-a-first-test"
ORIGINAL = Original(study="the original", design="two_groups", n=(38, 38), direction="higher", means=("14.2", "11.9"),
                    sds=("5.9", "6.1"))  # fmt: skip
BY_T = Original(study="the original", design="two_groups", n=(20, 24), direction="lower", t="-2.1", went="better")
ONE_GROUP = Original(study="the original", design="one_group", n=(30,), direction="higher", means=("10", "12"),
                     sds=("4", "4.2"), t="3.2")  # fmt: skip
MELODIES = {"=pitch, form A, first test": pd.DataFrame(np.random.default_rng(3).integers(0, 9, (40, 4)).cumsum(axis=1))}


def one_by_one(seed):
    """Draw four choirs in which students of both approaches sing together."""
    rng = np.random.default_rng(seed)
    made = []
    for choir in ("C1", "C2", "C3", "C4"):
        for approach in (EAR, PAGE):
            pre = rng.integers(4, 20, 12).astype(float)
            made.append((choir, approach, pre.tolist(), (pre + rng.integers(-2, 8, 12)).tolist()))
    return compared(made, declared=Comparison(program=EAR, comparison=PAGE, how="students_at_random"))


def found(table, how, original=ORIGINAL, audience="teacher", withheld=None):
    """Answer for a table as a report does, and hand over what lies beside the page."""
    options = {"design": classify(table, how=how), "level": 0.95}
    main = comparison.primary(table, seed=1, **options)
    size = comparison_models.effect_size(table, **options).first
    told = {
        "both": comparison_models.two_models(table, **options), "size": size,
        "ways": comparison_methods.sensitivity(table, seed=1, draws=199, **options),
        "repeated": repeated.repeat(original, table, knowing_choirs=size),
        "reliability": [cronbach_alpha(points, about=about) for about, points in MELODIES.items()],
    }  # fmt: skip
    page = Page(title="x", design="D1", audience=audience, withheld=withheld)
    return committee(page, recompute(table, MELODIES, original=original), main, **told)


def by_r(shown, folder):
    """Run the script in R."""
    for name, content in shown.files.items():
        (folder / name).write_text(content, encoding="utf-8")
    return subprocess.run(
        ["Rscript", "--vanilla", str(folder / "committee.R")], capture_output=True, text=True, check=False
    )  # fmt: skip


def in_schools(seed, *shares, size=10):
    """Draw schools, each with so many choirs and so many of them in the program."""
    rng, choirs, schools = np.random.default_rng(seed), [], []
    for at, (number, program) in enumerate(shares):
        for one in range(number):
            pre = rng.integers(4, 20, size).astype(float) + 2 * at
            choirs.append((f"C{len(choirs):02}", EAR if one < program else PAGE, pre.tolist(),
                           (pre + rng.integers(-2, 8, size) + at).tolist()))  # fmt: skip
            schools.append(f"School {at}")
    declared = Comparison(program=EAR, comparison=PAGE, within="school", how="choirs_at_random")
    return compared(choirs, declared=declared, schools=schools)


CASES = {
    "choir means, adjusted, within schools": (drawn(5, schools=True), "choirs_at_random", ORIGINAL),
    "choir means, schools held apart": (in_schools(5, (3, 1), (3, 2), (3, 2), (3, 1)), "choirs_at_random", ORIGINAL),
    "schools left in": (in_schools(6, (4, 1), (3, 2), (1, 1)), "choirs_at_random", ORIGINAL),
    "students in choirs, schools apart": (in_schools(7, *[(4, 1), (4, 2)] * 3), "choirs_at_random", BY_T),
    "choir means, gains": (drawn(6), "schools_chose", BY_T),
    "students in 24 choirs, ways drawn": (drawn(7, choirs=24), "choirs_at_random", ORIGINAL),
    "students one by one": (one_by_one(8), "students_at_random", ORIGINAL),
    "an original of one group": (drawn(9), "choirs_at_random", ONE_GROUP),
    "no original": (drawn(10), "choirs_at_random", None),
}  # fmt: skip


@needs_r
@pytest.mark.parametrize(
    ("case", "audience"),
    [
        *((case, "public") for case in CASES if "left in" not in case),
        *((case, "teacher") for case in list(CASES)[1:7] if "24 choirs" not in case),
    ],
)
def test_r_and_the_kit_agree(case, audience, tmp_path):
    """R computes every number from students, and from choirs alone, to seven digits, with and without clubSandwich."""
    table, how, original = CASES[case]
    done = by_r(found(table, how, original, audience), tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "R and the report agree in all of them." in done.stdout
    assert "DIFFERS" not in done.stdout


@needs_r
def test_without_any_package_base_r_is_enough(tmp_path, monkeypatch):
    """Where clubSandwich is not installed the script says so and computes everything in base R."""
    monkeypatch.setenv("R_LIBS_SITE", str(tmp_path / "nothing"))
    monkeypatch.setenv("R_LIBS_USER", str(tmp_path / "nothing"))
    done = by_r(found(*CASES["choir means, gains"], "public"), tmp_path)
    assert done.returncode == 0, done.stderr
    assert "the package clubSandwich is not installed: CR2 above is base R alone" in done.stdout
    assert "agree in all of them" in done.stdout


@needs_r
@pytest.mark.parametrize(
    ("file", "old", "new"),
    [("committee_choirs.csv", ",10,", ",11,"), ("committee_settings.csv", "mean_program,14.2", "mean_program,14.3")],
)
def test_r_stops_where_a_number_differs(file, old, new, tmp_path):
    """One changed cell makes the script name what differs and end with an error."""
    shown = found(*CASES["choir means, adjusted, within schools"], "public")
    assert old in shown.files[file]
    shown.files[file] = shown.files[file].replace(old, new, 1)
    done = by_r(shown, tmp_path)
    assert done.returncode != 0
    assert "R and the report differ in: " in done.stderr
    assert "DIFFERS" in done.stdout


@needs_r
def test_r_stops_where_a_number_is_silently_left_out(tmp_path):
    """A number that R cannot compute, without a reason in the table, is an error and no shorter list."""
    shown = found(*CASES["choir means, gains"], "public")
    del shown.files["committee_choirs.csv"]
    done = by_r(shown, tmp_path)
    assert done.returncode != 0
    assert "These numbers were not computed again, and nothing says why" in done.stderr


@needs_r
@pytest.mark.parametrize("audience", ["district", "public"])
def test_small_choirs_leave_what_needs_no_choirs(audience, tmp_path):
    """With a choir too small for the copy R still computes the original and alpha, and lists the rest with its reason."""
    table = drawn(11, size=4)
    done = by_r(found(table, "choirs_at_random", audience=audience), tmp_path)
    assert done.returncode == 0, done.stderr
    assert "2 numbers computed again; R and the report agree in all of them." in done.stdout
    assert f"difference, value: {committee_script.SMALL}" in done.stdout


def test_single_students_stand_only_in_a_copy_for_the_school():
    """The teacher's copy has a line for each student, others have choirs alone, and with a small choir not even these."""
    table = drawn(12)
    assert "committee_students.csv" in found(table, "choirs_at_random", audience="teacher").files
    for audience in ("district", "public"):
        files = found(table, "choirs_at_random", audience=audience).files
        assert set(files) == set(committee_script.FILES) - {"committee_students.csv"}
    small = drawn(12, size=9)
    assert "committee_choirs.csv" in found(small, "choirs_at_random", audience="district").files
    assert "committee_choirs.csv" not in found(small, "choirs_at_random", audience="public").files


def test_a_choir_whose_students_all_have_one_mark_hides_the_choirs():
    """Where everybody of a choir has the same mark its mean would be each student's own."""
    choirs = [(f"C{at}", EAR if at % 2 else PAGE, list(range(at, at + 12)), list(range(at + 2, at + 14)))
              for at in range(7)]  # fmt: skip
    choirs.append(("C7", EAR, [20] * 12, list(range(20, 32))))
    files = found(compared(choirs), "choirs_at_random", audience="public").files
    assert "committee_choirs.csv" not in files
    assert committee_script.SMALL in files["committee_numbers.csv"]


def test_no_name_of_student_choir_or_school_is_handed_over():
    """Choirs and schools stand under codes, students under running numbers in the order of their marks."""
    table = drawn(13, schools=True)
    files = found(table, "choirs_at_random").files
    told = "".join(text for name, text in files.items() if name.endswith(".csv"))
    assert not [name for name in {*table["student"], *table["choir"], *table["school"]} if name in told]
    students = pd.read_csv(pd.io.common.StringIO(files["committee_students.csv"]))
    assert students["student"].tolist() == list(range(1, len(students) + 1))
    assert students.sort_values(["choir", "program", "first", "second"]).index.tolist() == students.index.tolist()


def test_words_of_the_school_are_no_formulas():
    """A measure that begins like a formula gets an apostrophe in every table."""
    files = found(drawn(14), "choirs_at_random").files
    assert "alpha: '=pitch, form A, first test" in files["committee_numbers.csv"]
    assert '"\'=pitch, form A, first test"' in files["committee_melodies.csv"]


def test_every_number_carries_its_label_and_every_digit():
    """The table of numbers leads to numbers.csv, and holds what the estimate holds."""
    table = drawn(15)
    main = comparison.primary(table, design=classify(table, how="choirs_at_random"), seed=1, level=0.95)
    numbers = pd.read_csv(
        pd.io.common.StringIO(found(table, "choirs_at_random").files["committee_numbers.csv"])
    ).set_index(["number", "part"])  # fmt: skip
    assert numbers.loc[("difference", "value"), "ours"] == main.main.value
    assert numbers.loc[("difference", "low"), "ours"] == main.main.interval.low
    assert numbers.loc[("difference", "value"), "label"] == main.main.label


def test_the_page_says_what_lies_beside_it():
    """How many numbers, what it cannot compute and why, that students must not leave the school; nothing to compare."""
    told = found(drawn(16), "choirs_at_random", audience="teacher")
    numbers = told.files["committee_numbers.csv"].strip().count("\n")
    assert f"computes {numbers} numbers of this report again" in told.plain
    assert "must not leave the school" in told.plain
    small = found(drawn(16, size=4), "choirs_at_random", audience="public")
    assert f"from this copy: {committee_script.SMALL}." in small.plain
    assert sentences({}, []) == [
        "No two approaches are compared, so there is no number that a script for R could compute again."
    ]
    for code in CODES:
        for shown in (told, small):
            gate(shown.plain, code=code)
        gate(sentences({}, [])[0], code=code)


def test_files_travel_with_what_a_cell_shows():
    """The bundle of the shown text carries the files, as plain text that every notebook format can hold."""
    shown = found(drawn(17), "choirs_at_random", audience="public")
    assert isinstance(shown, Attached)
    behind = shown._repr_mimebundle_()[BUNDLE]
    assert behind["kind"] == "text"
    assert behind["files"]["committee.R"].startswith("# committee.R: ")
    assert behind["files"] == dict(shown.files)


def test_nothing_to_compute_hands_nothing_over():
    """Without a comparison there are no files."""
    nothing = SimpleNamespace(main=None, shuffled=None, method="choir means", model="gain", schools="")
    page = Page(title="x", design="D1", audience="teacher")
    keys = key_numbers(
        page,
        nothing,
        both=SimpleNamespace(gain=None, adjusted=None),
        size=None,
        ways=SimpleNamespace(names=(), answers=()),
    )
    again = recompute(drawn(1).iloc[:0])
    assert committee_files(page, again, keys, main=nothing) == ({}, [])


def test_a_choir_that_is_hidden_elsewhere_hides_the_choirs():
    """Where a small choir would follow from a large one, the table of choirs is not handed over; nor are digits."""
    table = drawn(18)
    hidden = Withheld(hidden=frozenset({"C03"}))
    assert "committee_choirs.csv" not in found(table, "choirs_at_random", audience="public", withheld=hidden).files
    rounded = Withheld(ranges={40: (36, 40)})
    files = found(table, "choirs_at_random", audience="public", withheld=rounded).files
    assert "committee_choirs.csv" in files
    assert "committee_melodies.csv" not in files
    assert f"alpha: '=pitch, form A, first test,value,,{LABEL},{ROUNDED}" in files["committee_numbers.csv"].replace(
        chr(34), ""
    )


def test_a_number_that_readers_must_not_see_is_in_no_file():
    """Of four students no difference is told, so none is handed over."""
    table = compared([("C1", EAR, [1, 2], [3, 5]), ("C2", PAGE, [4, 6], [5, 9])])
    files = found(table, "students_at_random", original=None, audience="public").files
    assert set(files) == {"committee.R", "committee_numbers.csv", "committee_settings.csv", "committee_melodies.csv"}
    assert "difference" not in files["committee_numbers.csv"]


def test_where_nothing_can_be_computed_again_there_is_no_script():
    """With choirs too small, no original and no melodies the page says so, and nothing lies beside it."""
    keys = [Key(number="difference", part="value", ours=1.0, label="x")]
    page = Page(title="x", design="D1", audience="public")
    main = SimpleNamespace(method="choir means", model="gain", schools="")
    files, told = committee_files(page, recompute(drawn(3, size=4)), keys, main=main)
    assert files == {}
    assert sentences(files, told) == [
        f"No number of this copy can be computed again by a script for R: {committee_script.SMALL}."
    ]


@needs_r
def test_a_first_test_that_is_the_same_for_everybody_stops_nothing(tmp_path):
    """Where the first test tells nothing the difference adjusted for it is still computed, and agrees."""
    rng = np.random.default_rng(4)
    choirs = [(f"C{at}", EAR if at % 2 else PAGE, [10] * 6, rng.integers(8, 20, 6).tolist()) for at in range(8)]
    done = by_r(found(compared(choirs), "choirs_at_random", original=None), tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "difference adjusted" in done.stdout


def test_an_original_that_is_taken_as_it_stands_is_named_and_not_checked():
    """An original of one group gives R a size to use, and no number that could be computed again."""
    files = found(drawn(9), "choirs_at_random", ONE_GROUP).files
    [line] = [line for line in files["committee_numbers.csv"].splitlines() if line.startswith("original,value")]
    assert committee_script.AS_IT_STANDS in line
