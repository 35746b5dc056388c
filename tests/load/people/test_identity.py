"""Rows -> persons: widths of ids, names, and words of the alias file."""

from kit.load.declared import Rules, ScoreSource
from kit.load.files import load_files


def load(folder, *lines, **rules):
    """Load lines of marks."""
    (folder / "marks.csv").write_text("\n".join(lines), encoding="utf-8")
    return load_files(folder, [ScoreSource(file="marks.csv")], rules=Rules(**rules))


def test_ids_of_two_widths(tmp_path):
    """The message says how many ids are in doubt, and the line that settles it."""
    (problem,) = load(tmp_path, "ID,Pre", "00123,7", "417,8").problems
    assert str(problem) == (
        "marks.csv, row 3: Ids that begin with zeros: 1; shorter ones: 1. One student may have two ids, since a "
        "spreadsheet program drops leading zeros. If ids have 5 digits, write id_width = 5 in study.toml."
    )
    assert problem.type_this == "id_width = 5"


def test_a_name_that_fits_two(tmp_path):
    """A name that two students have is set aside, and so is one with an initial."""
    lines = ("ID,Name,Term,Score", "S1,Ivo Saltmarsh,Fall,7", "S2,Ivo Saltmarsh,Fall,8", ",Ivo Saltmarsh,Spring,9",
             ",I. Saltmarsh,Spring,9")  # fmt: skip
    loaded = load(tmp_path, *lines)
    assert loaded.set_aside.found.tolist() == [
        "The name fits 2 students, none for certain.", "The name fits 1 student, none for certain."
    ]  # fmt: skip
    assert set(loaded.set_aside.what_to_do) == {"Write the student's id, or the full name as on the roster."}


def test_an_alias_of_an_id(tmp_path):
    """An id may stand for another id, and is padded afterwards."""
    aliases = {"student": {"old7": "417"}}
    loaded = load(tmp_path, "ID,Term,Score", "00417,Fall,7", "OLD7,Spring,8", id_width=5, aliases=aliases)
    assert loaded.scores.student.nunique() == 1
    assert "student named as the alias file says" in set(loaded.changes.rule)


def test_no_name_is_in_any_table(tmp_path):
    """Names are in no table, also where the alias file names somebody and where a row is set aside."""
    aliases = {"student": {"Bo Ek": "Ivo Saltmarsh"}, "choir": {"P3": "Treble"}}
    lines = ("Name,Choir,Term,Score", "Ivo Saltmarsh,P3,Fall,7", "Bo Ek,p3,Spring,8", "Ivoo Saltmarsh,P3,Spring,6")
    loaded = load(tmp_path, *lines, aliases=aliases)
    tables = (loaded.students, loaded.scores, loaded.set_aside, loaded.changes, loaded.ledger)
    everything = "".join(table.to_csv() for table in tables).casefold()
    assert not [name for name in ("saltmarsh", "ivo", "bo ek") if name in everything]
    assert {"ivo saltmarsh", "bo ek"} <= set(loaded.personal)
    assert set(loaded.scores.choir) == {"Treble"}
