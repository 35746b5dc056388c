"""Choirs of one name in several schools."""

import pytest

from kit.load.declared import RosterSource, Rules, ScoreSource
from kit.load.declared_music import AttendanceSource, DrillSource
from kit.load.files import load_files

ROSTER = ["ID,Choir,School", "S1,Concert,Hobnail", "S2,concert ,Hobnail", "S3,Concert,Thimble", "S4,Treble,Thimble"]
MARKS = ["ID,Choir,Pre,Post", "S1,Concert,11,14", "S2,Concert,7,12", "S3,Concert,9,10", "S4,Treble,8,9"]
DRILLS = [
    "Date,Choir,Student,Minutes,Right", "2025-10-01,Concert,S1,,yes", "2025-10-01,Concert,S3,,no",
    "2025-10-01,Treble,S4,,no", "2025-10-02,Concert,,10,", "2025-10-02,Treble,,10,",
]  # fmt: skip
EACH = Rules(choir_of_several_schools="one_in_each")
ONE = Rules(choir_of_several_schools="one_choir")


def load(folder, rules=None, **files):
    """Load files by their kind."""
    kinds = {"roster": RosterSource, "marks": ScoreSource, "drills": DrillSource, "attendance": AttendanceSource}
    for name, lines in files.items():
        (folder / f"{name}.csv").write_text("\n".join(lines), encoding="utf-8")
    return load_files(folder, [kinds[name](file=f"{name}.csv") for name in files], rules=rules)


def test_it_is_asked_whether_they_are_one(tmp_path):
    """Undeclared, the file is refused with both answers; declared as one choir, nothing is changed."""
    assert [str(problem) for problem in load(tmp_path, roster=ROSTER, marks=MARKS).problems] == [
        'roster.csv, row 4: The choir "Concert" has students of 2 schools (compare row 2). If each school has a choir of '
        'that name, write choir_of_several_schools = "one_in_each" in study.toml; if they sing in one choir, "one_choir". '
        "Correct the school if it is misspelt."
    ]
    loaded = load(tmp_path, ONE, roster=ROSTER, marks=MARKS)
    assert not loaded.problems
    assert loaded.students["choir"].tolist() == ["Concert", "Concert", "Concert", "Treble"]


def test_each_gets_a_name_of_its_own(tmp_path):
    """Rosters, marks and attendance name the choir of the student's school, and say how often that was done."""
    attendance = ["ID,Choir,2025-10-01", "S1,Concert,present", "S3,Concert,absent"]
    loaded = load(tmp_path, EACH, roster=ROSTER, marks=MARKS, attendance=attendance)
    assert not loaded.problems
    names = ["Concert (Hobnail)", "Concert (Hobnail)", "Concert (Thimble)", "Treble"]
    assert loaded.students["choir"].tolist() == names
    assert loaded.scores["choir"].tolist() == [name for name in names for _ in range(2)]
    assert loaded.attendance["choir"].tolist() == ["Concert (Hobnail)", "Concert (Thimble)"]
    told = loaded.changes[loaded.changes["rule"] == "choir told from others of its name by its school"]
    assert dict(zip(told["file"], told["times"], strict=True)) == {"roster.csv": 3, "marks.csv": 3, "attendance.csv": 2}


def test_lines_of_a_log(tmp_path):
    """A line that names a student counts for the student's choir; one that names nobody is set aside with a reason."""
    loaded = load(tmp_path, EACH, roster=ROSTER, marks=MARKS, drills=DRILLS)
    assert loaded.drills["choir"].tolist() == ["Concert (Hobnail)", "Concert (Thimble)", "Treble", "Treble"]
    assert loaded.set_aside[["file", "row", "column", "why", "what_to_do"]].to_numpy().tolist() == [[
        "drills.csv", 5, "Choir", "choir_unclear",
        'Write the school behind the name, as "Concert (name of its school)", or choir_is for this log in study.toml.',
    ]]  # fmt: skip
    ledger = loaded.ledger.set_index("file").loc["drills.csv"]
    assert (ledger["data"], ledger["used"], ledger["set_aside"]) == (5, 4, 1)


def test_a_log_that_writes_the_school(tmp_path):
    """Lines that name the choir as the kit does are of that choir, with or without a student."""
    lines = [DRILLS[0], "2025-10-01,Concert (Hobnail),S1,,yes", "2025-10-02,Concert (Thimble),,10,", DRILLS[2]]
    loaded = load(tmp_path, EACH, roster=ROSTER, marks=MARKS, drills=lines)
    assert loaded.drills["choir"].tolist() == ["Concert (Hobnail)", "Concert (Thimble)", "Concert (Thimble)"]
    assert loaded.set_aside.empty


def test_a_student_on_no_roster_has_no_choir(tmp_path):
    """Where the school of a student is not known, the choir is left empty, and the change is told."""
    loaded = load(tmp_path, EACH, roster=ROSTER, marks=[*MARKS, "S9,Concert,1,2"])
    assert loaded.scores["choir"].tolist()[-2:] == ["", ""]
    changes = loaded.changes[loaded.changes["file"] == "marks.csv"].set_index("rule")["times"]
    assert changes.to_dict() == {
        "choir told from others of its name by its school": 3,
        "choir left open, since several have its name and the school of the student is not known": 1,
    }


def test_one_sheet_is_roster_and_marks(tmp_path):
    """A sheet with schools and marks is read as both, and says the same of the choirs in both."""
    (tmp_path / "all.csv").write_text("ID,School,Choir,Pre,Post\nS1,Hobnail,Concert,11,14\nS3,Thimble,Concert,9,10\n")
    sources = [RosterSource(file="all.csv"), ScoreSource(file="all.csv")]
    loaded = load_files(tmp_path, sources, rules=EACH)
    assert loaded.students["choir"].tolist() == ["Concert (Hobnail)", "Concert (Thimble)"]
    assert sorted(set(loaded.scores["choir"])) == ["Concert (Hobnail)", "Concert (Thimble)"]
    assert loaded.set_aside.empty


def test_a_student_who_moved_makes_no_second_choir(tmp_path):
    """A student listed in two schools counts in the first one, so that the choir has students of one school."""
    roster = [*ROSTER[:3], "S2,Concert,Thimble"]
    assert not load(tmp_path, roster=roster, marks=MARKS[:3]).problems


@pytest.mark.parametrize("approaches", [("ear", "page"), ("ear", "ear")])
def test_approaches_are_those_of_each_choir(tmp_path, approaches):
    """Choirs of one name with different approaches are no mixed choir once they are told apart."""
    first, second = approaches
    roster = ["ID,Choir,School,Approach", f"S1,Concert,Hobnail,{first}", f"S3,Concert,Thimble,{second}"]
    loaded = load(tmp_path, EACH, roster=roster, marks=MARKS[:4])
    assert not loaded.problems
    assert loaded.students["approach"].tolist() == [first, second]


def test_a_choir_that_counts_first(tmp_path):
    """Choirs named to count first are meant by their name in the files; their own names do as well."""
    roster = [*ROSTER, "S1,Bass,Hobnail"]
    for name in ("Bass", "bass"):
        rules = Rules(choir_of_several_schools="one_in_each", primary_choir=(name,))
        assert load(tmp_path, rules, roster=roster).students.set_index("row")["choir"].get(6) == "Bass"
    roster = ["ID,Choir,School", "S1,Bass,Hobnail", "S1,Concert,Hobnail", "S3,Concert,Thimble"]
    for name in ("Concert", "Concert (Hobnail)"):
        rules = Rules(choir_of_several_schools="one_in_each", primary_choir=(name,))
        assert load(tmp_path, rules, roster=roster).students["choir"].tolist() == [
            "Concert (Hobnail)",
            "Concert (Thimble)",
        ]


def test_what_follows_from_the_question_is_not_asked_besides(tmp_path):
    """While it is open whether a name is that of one choir, nothing is said of its two approaches."""
    roster = ["ID,Choir,School,Group", "S1,Concert,Hobnail,ear", "S2,Concert,Thimble,page"]
    assert [problem.why for problem in load(tmp_path, roster=roster).problems] == ["choir_shared"]
    assert [problem.why for problem in load(tmp_path, ONE, roster=roster).problems] == ["group_twice"]


def test_a_choir_is_spelt_one_way(tmp_path):
    """Capitals and spaces make no second choir, in any file; the spelling of most rows counts, and changes are told."""
    roster = ["ID,Choir", "S1,Concert Choir", "S2,concert  choir", "S3,Concert Choir"]
    drills = ["Date,Choir,Minutes", "2025-10-01,CONCERT CHOIR,10", "2025-10-02,Concert Choir,5", "2025-10-03,Other,5",
              "2025-10-04,other,5"]  # fmt: skip
    attendance = ["ID,Choir,2025-10-01", "S1,concert choir,present"]
    loaded = load(tmp_path, roster=roster, drills=drills, attendance=attendance)
    for table in (loaded.students, loaded.attendance):
        assert set(table["choir"]) == {"Concert Choir"}
    assert loaded.drills["choir"].tolist() == ["Concert Choir", "Concert Choir", "Other", "Other"]
    told = loaded.changes[loaded.changes["rule"] == "choir spelt one way"]
    assert told.groupby("file")["times"].sum().to_dict() == {"attendance.csv": 1, "drills.csv": 2, "roster.csv": 1}
