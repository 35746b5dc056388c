"""A study as read: what its files do not know is told before any report, and later tests are lined up."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from kit.errors import StudyProblems
from kit.questions.targets import Target
from kit.study import load_study

ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def study():
    """Read the district once."""
    return load_study(ROOT / "synthetic_data" / "two_larches")


def told(study, **changes):
    """List what stands in the way after a change of the settings."""
    changed = replace(study, settings=replace(study.settings, **changes))
    return [str(problem) for problem in changed.in_the_way]


def test_an_approach_that_nobody_has_is_told(study):
    """In the comparison and in a target, with the names to choose from."""
    named = replace(study.settings.comparison, program="ear first")
    target = Target(says="x", students=0.5, reach=0.5, approach="eyes")
    choose = 'Write one of "as usual", "ear-first", "page-first".'
    assert told(study, comparison=named, targets=(target,)) == [
        f'study.toml, comparison.program: No student has the approach "ear first". {choose}',
        f'study.toml, targets.1.approach: No student has the approach "eyes". {choose}',
    ]


def test_starting_dates_of_choirs(study):
    """A choir that nobody is in is told; declared dates go into the series, of one choir where the study is narrowed."""
    day = date(2025, 11, 3)
    assert told(study, starts={"Treble 9": day}) == [
        'study.toml, starts.Treble 9: No choir is called "Treble 9". Write one of "'
        + '", "'.join(study.choirs) + '".'
    ]  # fmt: skip
    assert told(study, primary_choir=("Treble 9", study.choirs[0].upper(), "Hobnail"))[0].startswith(
        'study.toml, primary_choir: No choir is called "Treble 9". Write one of "'
    )
    assert len(told(study, primary_choir=("Treble 9", study.choirs[0].upper()))) == 1
    one, other = study.choirs[:2]
    begun = replace(study, settings=replace(study.settings, starts={one: day, other: day}))
    assert begun.series["choir"].tolist() == [one, other]
    assert begun.series[["before", "after"]].to_numpy().min() >= 1
    assert begun.only(choir=one).series["choir"].tolist() == [one]
    assert study.series.empty
    assert begun.design().code == study.design().code


def test_most_meetings_need_attendance(study, tmp_path):
    """Without attendance the rule is told; with it the study is read with the choir that was attended more."""
    named = replace(study.settings.comparison, two_choirs="most_meetings")
    assert told(study, comparison=named) == [
        "study.toml, comparison.two_choirs: There is no attendance that could say whose meetings a member of two choirs "
        'came to. Declare a file of attendance under [[attendance]], or write "first" or "left_out".'
    ]
    files = {
        "roster.csv": "ID,Choir,Approach\na1,A,ear\na2,A,ear\na1,B,page\na3,B,page\n",
        "scores.csv": "ID,Choir,Pre,Post\na1,A,1,2\na2,A,2,3\na3,B,2,2\n",
        "came.csv": "ID,Choir,Date,Attendance\na1,A,2025-09-15,P\na1,B,2025-09-16,P\na1,B,2025-09-17,P\n",
        "study.toml": 'title = "x"\n[comparison]\ntwo_choirs = "most_meetings"\n[[rosters]]\nfile = "roster.csv"\n'
        '[[scores]]\nfile = "scores.csv"\nmarks = [{ column = "Pre", occasion = "pre", max_points = 5 }, '
        '{ column = "Post", occasion = "post", max_points = 5 }]\n'
        '[[attendance]]\nfile = "came.csv"\ncodes = { P = "present" }\n',
    }
    for name, text in files.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    pairs = load_study(tmp_path).pairs()
    assert sorted(zip(pairs["choir"], pairs["approach"], strict=True)) == [("A", "ear"), ("B", "page"), ("B", "page")]


def test_a_plan_that_is_not_there_is_told(study):
    """The file of the plan, by its name."""
    repeats = replace(study.settings.repeats, plan_file="plans.md")
    assert told(study, repeats=repeats) == [
        "plans.md: The file of the plan is not there. Check its name (repeats.plan_file in study.toml), or take the "
        "line out."
    ]
    assert told(study) == []


def test_the_plan_has_a_fingerprint(study):
    """The plan stands among the files read; without one nothing is added."""
    assert set(study.fingerprints) == {*study.loaded.fingerprints, "plan.md"}
    bare = replace(study, settings=replace(study.settings, repeats=replace(study.settings.repeats, plan_file="")))
    assert bare.fingerprints == study.loaded.fingerprints


def test_later_tests_are_lined_up_by_their_labels(study):
    """December and February, each beside September; the first test is the same in both."""
    later = study.later_tests
    assert list(later) == ["December", "February"]
    december, february = (table.set_index("student")["pre_points"] for table in later.values())
    both = december.index.intersection(february.index)
    assert december[both].equals(february[both])


def test_whether_there_is_a_roster_goes_with_the_pairs(study):
    """The district has one; without one the flow can say so."""
    assert study.pairs().attrs["listed"]
    assert not replace(study, settings=replace(study.settings, rosters=())).pairs().attrs["listed"]


def test_later_tests_without_declared_occasions_are_those_of_the_columns(study):
    """In the order of the columns of marks; columns in another order than the two reported tests tell nothing of time."""
    bare = replace(study.settings, occasions={})
    assert list(replace(study, settings=bare).later_tests) == ["post", "later"]
    turned = replace(bare, scores=tuple(replace(one, marks=one.marks[::-1]) for one in bare.scores))
    assert list(replace(study, settings=turned).later_tests) == ["post"]


def test_the_words_of_a_comparison_are_those_of_its_design(study):
    """All choirs together were not assigned at random; the two approaches compared were."""
    assert (study.design().code, study.comparison_design().code) == ("D3b", "D5")
    assert (study.page().design, study.page(compared=True).design) == ("D3b", "D5")


def test_a_report_refuses_a_misspelt_approach(tmp_path):
    """What stands in the way is told as things to mend, and no page is made."""
    (tmp_path / "s.csv").write_text("ID,Choir,Pre,Post\na1,A,1,2\na2,A,2,3\n", encoding="utf-8")
    (tmp_path / "study.toml").write_text(
        'title = "x"\n[comparison]\nprogram = "ear"\n[[scores]]\nfile = "s.csv"\nstudent = "ID"\nchoir = "Choir"\n'
        '[[scores.marks]]\ncolumn = "Pre"\noccasion = "pre"\nmeasure = "total"\nmax_points = 9\n'
        '[[scores.marks]]\ncolumn = "Post"\noccasion = "post"\nmeasure = "total"\nmax_points = 9\n',
        encoding="utf-8",
    )
    with pytest.raises(StudyProblems) as refused:
        load_study(tmp_path)
    assert [str(problem) for problem in refused.value.problems] == [
        'study.toml, comparison.program: No student has the approach "ear". Name the approaches in the roster first.'
    ]
