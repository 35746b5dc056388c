"""The key numbers for R: the script agrees with the kit wherever R is, and refuses where they differ."""

import os
import shutil
import subprocess
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pandas as pd
import pytest

from kit.estimate import Estimate
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
from kit.report.committee.numbers import DRAWN, ROUNDED, Key, draws_of, key_numbers
from kit.report.committee.script import committee, committee_files, sentences
from kit.report.layout import BUNDLE
from kit.report.page import Page
from kit.report.spoken import CODES
from kit.stats.consistency import cronbach_alpha
from tests.questions.comparisons import EAR, PAGE, compared, drawn

HAS_R = shutil.which("Rscript") is not None
needs_r = pytest.mark.skipif(not HAS_R, reason="R is not installed here, so its numbers cannot be compared")
ORIGINAL = Original(study="the original", design="two_groups", n=(38, 38), direction="higher", means=("14.2", "11.9"),
                    sds=("5.9", "6.1"))  # fmt: skip
BY_T = Original(study="the original", design="two_groups", n=(20, 24), direction="lower", t="-2.1", went="better")
ONE_GROUP = Original(study="the original", design="one_group", n=(30,), direction="higher", means=("10", "12"),
                     sds=("4", "4.2"), t="3.2")  # fmt: skip
MELODIES = {"=pitch, form A, first test": pd.DataFrame(np.random.default_rng(3).integers(0, 9, (40, 4)).cumsum(axis=1))}
LABEL = cronbach_alpha(*MELODIES.values(), about=next(iter(MELODIES))).label


def one_by_one(seed):
    """Draw four choirs in which students of both approaches sing together."""
    rng = np.random.default_rng(seed)
    made = []
    for choir in ("C1", "C2", "C3", "C4"):
        for approach in (EAR, PAGE):
            pre = rng.integers(4, 20, 12).astype(float)
            made.append((choir, approach, pre.tolist(), (pre + rng.integers(-2, 8, 12)).tolist()))
    return compared(made, declared=Comparison(program=EAR, comparison=PAGE, how="students_at_random"))


def found(table, how, original=ORIGINAL, audience="teacher", *, withheld=None, draws=9_999):
    """Answer for a table as a report does, and hand over what lies beside the page."""
    options = {"design": classify(table, how=how), "level": 0.95}
    main = comparison.primary(table, seed=1, **options)
    size = comparison_models.effect_size(table, **options).first
    told = {
        "both": comparison_models.two_models(table, **options), "size": size,
        "ways": comparison_methods.sensitivity(table, seed=1, draws=draws, **options),
        "repeated": repeated.repeat(original, table, knowing_choirs=size),
        "reliability": [cronbach_alpha(points, about=about) for about, points in MELODIES.items()],
    }  # fmt: skip
    page = Page(title="x", design="D1", audience=audience, withheld=withheld)
    return committee(page, recompute(table, MELODIES, original=original), main, **told)


def by_r(shown, folder, *, packages=False):
    """Run the script in R, with what is installed there or in base R alone, as far as libraries can be hidden."""
    for name, content in shown.files.items():
        (folder / name).write_text(content, encoding="utf-8")
    hidden = {} if packages else {"R_LIBS_SITE": str(folder / "nothing"), "R_LIBS_USER": str(folder / "nothing")}
    return subprocess.run(
        ["Rscript", "--vanilla", str(folder / "committee.R")], capture_output=True, text=True, check=False,
        env=os.environ | hidden,
    )  # fmt: skip


def numbers_of(shown):
    """Read the table of numbers that lies beside a page."""
    return pd.read_csv(pd.io.common.StringIO(shown.files["committee_numbers.csv"]))


def marked_of(done, word):
    """List the numbers behind which the script prints a word, each once."""
    lines = [line for line in done.stdout.splitlines() if line.rstrip().endswith(word)]
    return {(line[:34].strip(), line[35:41].strip()) for line in lines}


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
    "five choirs, ends without limit": (drawn(11, choirs=5), "choirs_at_random", None),
}  # fmt: skip
NO_MIXED = ("students one by one",)
"""Designs without a mixed model of choirs: both approaches sing in one choir."""
PACKAGES_ASKED = ("students in choirs, schools apart", "schools left in")
"""Designs in which packages of R are asked too, since loading them takes long; the second has a boundary fit."""


@needs_r
@pytest.mark.parametrize(
    ("case", "audience"),
    [
        *((case, "public") for case in CASES if "left in" not in case),
        *((case, "teacher") for case in list(CASES)[1:7] if "24 choirs" not in case),
    ],
)
def test_r_and_the_kit_agree(case, audience, tmp_path):
    """R computes every number from students and from choirs alone, in base R and with packages; draws agree, too."""
    shown = found(*CASES[case], audience)
    asked = audience == "teacher" and case in PACKAGES_ASKED
    done = by_r(shown, tmp_path, packages=asked)
    assert done.returncode == 0, done.stdout + done.stderr
    known = numbers_of(shown).query("why_not.isna()")
    assert f"{len(known)} numbers computed again; R and the report agree in all of them." in done.stdout
    assert f"It computes {len(known)} numbers of this report again" in shown.plain
    drawn_again = marked_of(done, "drawn")
    assert (f"{len(drawn_again)} of them rest on draws" in done.stdout) == bool(drawn_again)
    assert (f"Behind {len(drawn_again)} numbers of these lie chance draws" in shown.plain) == bool(drawn_again)
    assert "DIFFERS" not in done.stdout
    assert ("mixed model of choirs" in set(known["number"])) == (case not in NO_MIXED)


@needs_r
def test_six_weights_are_drawn_in_r_too(tmp_path):
    """With fewer draws than signs and few choirs both draw from six weights, and agree as far as chance allows."""
    done = by_r(found(drawn(19), "choirs_at_random", None, draws=999), tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    assert {("wild bootstrap of choirs", part) for part in ("low", "high", "p")} <= marked_of(done, "drawn")


@needs_r
def test_without_any_package_base_r_is_enough(tmp_path):
    """Where clubSandwich, nlme and lmerTest are not installed the script says so and computes everything in base R."""
    shown = found(*CASES["choir means, gains"], "public")
    # nlme comes with R itself, so it can only be misspelt
    shown.files["committee.R"] = shown.files["committee.R"].replace('"nlme"', '"nlme.not.here"')
    done = by_r(shown, tmp_path)
    assert done.returncode == 0, done.stderr
    assert "the package clubSandwich is not installed: CR2 above is base R alone" in done.stdout
    for package in ("nlme.not.here", "lmerTest"):
        assert f"the package {package} is not installed: the mixed model above is base R alone" in done.stdout
    assert "the same by" not in done.stdout
    assert "agree in all of them" in done.stdout


def changed(row, width):
    """Change a number by a little; one that rests on draws by more than chance could; an end without limit gets one."""
    if np.isinf(row["ours"]):
        return np.sign(row["ours"]) * 1e6
    if not row["drawn"]:
        # degrees of freedom of a mixed model turn on where the search for its best fit stops
        size = 1e-2 if (row["number"], row["part"]) == ("mixed model of choirs", "df") else 1e-5
        return row["ours"] + size * max(1, abs(row["ours"]))
    if row["part"] == "p":
        return row["ours"] + (0.3 if row["ours"] < 0.5 else -0.3)
    return row["ours"] + width / 2


@needs_r
@pytest.mark.parametrize(
    "case", ["choir means, adjusted, within schools", "students in 24 choirs, ways drawn", "students one by one"]
)
def test_every_changed_number_is_found(case, tmp_path):
    """Whichever number is changed, by 1 in 100,000 (df of a mixed model: 1 in 100; draws: beyond chance), R names it."""
    shown = found(*CASES[case])
    numbers = numbers_of(shown)
    settings = shown.files["committee_settings.csv"]
    by_draws = [name for name in DRAWN if f"draws: {name}" in settings and f"draws: {name},all" not in settings
                and f'"draws: {name}",all' not in settings]  # fmt: skip
    numbers["drawn"] = numbers["number"].isin(by_draws) & (numbers["part"] != "value")
    ends = numbers.pivot_table(index="number", columns="part", values="ours")
    width = (ends["high"] - ends["low"]).fillna(0.0)
    numbers["ours"] = [changed(row, width.get(row["number"], 0.0)) for _, row in numbers.iterrows()]
    shown.files["committee_numbers.csv"] = numbers.drop(columns="drawn").to_csv(index=False)
    done = by_r(shown, tmp_path)
    assert done.returncode != 0
    assert marked_of(done, "DIFFERS") == set(zip(numbers["number"], numbers["part"], strict=True))
    assert marked_of(done, "drawn DIFFERS") == set(numbers.loc[numbers["drawn"], ["number", "part"]].itertuples(
        index=False, name=None))  # fmt: skip


@needs_r
@pytest.mark.parametrize("number", ["mixed model of choirs", "mixed model, drawn anew", "wild bootstrap of choirs"])
def test_one_changed_number_is_enough(number, tmp_path):
    """With the p-value of a single way changed, the script stops and names it alone."""
    shown = found(*CASES["no original"], "public")
    numbers = numbers_of(shown)
    at = (numbers["number"] == number) & (numbers["part"] == "p")
    assert at.sum() == 1
    numbers.loc[at, "ours"] = (numbers.loc[at, "ours"] + 0.25) % 1
    shown.files["committee_numbers.csv"] = numbers.to_csv(index=False)
    done = by_r(shown, tmp_path)
    assert done.returncode != 0
    assert f"R and the report differ in: {number} p\n" in done.stderr


def test_how_many_draws_a_number_rests_on_is_handed_over():
    """The settings say it for every number that may be drawn: how many, or that all there are were gone through."""
    settings = found(drawn(20), "choirs_at_random").files["committee_settings.csv"]
    told = pd.read_csv(pd.io.common.StringIO(settings)).set_index("setting")["value"]
    assert [told[f"draws: {name}"] for name in DRAWN] == ["all", "all", "999", "all"]
    many = found(drawn(20, choirs=24), "choirs_at_random", draws=9_999).files["committee_settings.csv"]
    told = pd.read_csv(pd.io.common.StringIO(many)).set_index("setting")["value"]
    assert [told[f"draws: {name}"] for name in DRAWN] == ["10000", "9999", "999", "9999"]


def test_draws_are_read_from_what_a_number_says_of_itself():
    """A method or a note that names draws gives their number; one that goes through everything gives ``all``."""
    one = Estimate(about="A", name="mean_gain", value=1.0, unit="points", n=9, source="student-1908", notes=("x",))
    for said, draws in (
        ("wild cluster bootstrap-t turned round, all signs", "all"), ("parametric bootstrap of t, 999 draws", "999"),
        ("all 924 assignments of whole choirs", "all"), ("10000 assignments of whole choirs, drawn", "10000"),
        ("9999 assignments of whole choirs within 4 pairs or schools, drawn", "9999"),
        ("wild cluster bootstrap-t turned round, 19,999 draws", "19999"),
    ):  # fmt: skip
        assert draws_of(replace(one, notes=("something else", said))) == draws


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
