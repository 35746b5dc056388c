"""Names that are nearly another student's: set aside with a hint, never joined."""

from kit.load.declared import RosterSource, Rules, ScoreSource
from kit.load.files import load_files


def load(folder, lines, *, roster=(), rules=None):
    """Load lines of marks, and a roster where one is given."""
    (folder / "marks.csv").write_text("\n".join(lines), encoding="utf-8")
    sources = [ScoreSource(file="marks.csv")]
    if roster:
        (folder / "roster.csv").write_text("\n".join(roster), encoding="utf-8")
        sources.append(RosterSource(file="roster.csv"))
    return load_files(folder, sources, rules=rules)


LONG = ("Name,Term,Score", "Pim Nettlebed,Fall,11", "Ivo Saltmarsh,Fall,7", "Pim Nettlebed,Spring,12")


def test_the_hint_gives_a_row_and_no_name(tmp_path):
    """The row set aside says where the near name stands, and what to do."""
    loaded = load(tmp_path, [*LONG, "Ivoo Saltmarsh,Spring,9"])
    (aside,) = loaded.set_aside.itertuples()
    assert (aside.why, aside.row) == ("unmatched_student", 5)
    assert aside.found == "The name is close to the one in row 3, but not the same."
    assert aside.what_to_do == (
        "Write the same name in both, or add a line to the alias file if they are one student; give ids if not."
    )
    assert "ivoo saltmarsh" in loaded.personal


def test_the_hint_names_another_file(tmp_path):
    """A near name on the roster is told with its file."""
    roster = ["ID,Name,Choir", "R1,Pim Nettlebed,Treble", "R2,Ivo Saltmarsh,Treble"]
    loaded = load(tmp_path, [*LONG, "Ivoo Saltmarsh,Spring,9"], roster=roster)
    assert loaded.set_aside.found.tolist() == ["The name is close to the one in row 3 of roster.csv, but not the same."]


def test_two_names_on_one_test_are_two_students(tmp_path):
    """Names that are alike and both tested on one occasion stay apart."""
    both = ["Ann Saltmarsh,Fall,9", "Anna Saltmarsh,Fall,8", "Ann Saltmarsh,Spring,9"]
    assert load(tmp_path, [*LONG, *both]).set_aside.empty


def test_names_that_are_not_alike_stay(tmp_path):
    """A new student of another name is no slip of the pen."""
    assert load(tmp_path, [*LONG, "Tansy Quillfeather,Spring,9"]).set_aside.empty


def test_the_alias_file_joins_names(tmp_path):
    """With an alias both rows are one student's."""
    rules = Rules(aliases={"student": {"Saltmarsh, Ivoo": "Ivo Saltmarsh"}})
    loaded = load(tmp_path, [*LONG, "Ivoo Saltmarsh,Spring,9"], rules=rules)
    assert loaded.set_aside.empty
    assert loaded.scores.student.nunique() == 2
