"""A new study folder: what is proposed, with its evidence, and nothing else is touched."""

import json
import tomllib
from pathlib import Path

import pytest

from kit.check import check_page
from kit.errors import StudyProblems
from kit.new import make_blanks, make_study
from kit.settings import read_settings
from kit.study import load_study, read_study

ALL = (
    "ID,School,Choir,Approach,Pre /20,Post /20,Locker\nS1,Hobnail,Treble,ear,11,12,3\nS2,Hobnail,Treble,ear,9,14,5\n"
    "S3,Thimble,Bass,page,8,9,6\n"
)
SCORES = "Treble 2,,,\nID,Name,Sept,Dec (out of 16)\n00417,Quillon Ferbrake,11,12\n00231,Ottoline Vask,abs,9\n"


def test_a_proposal_that_loads_as_it_stands(tmp_path):
    """Accepted unchanged, the proposed study file reads the file that it was made from."""
    (tmp_path / "scores.csv").write_text(SCORES)
    folder = tmp_path / "my_term"
    written = make_study(folder, [tmp_path / "scores.csv"])
    assert {path.name for path in written} >= {"study.toml", "scores.csv", "term_review.ipynb"}
    settings = read_settings(folder)
    assert [(mark.column, mark.occasion, mark.max_points) for mark in settings.scores[0].marks] == [
        ("Sept", "pre", None), ("Dec (out of 16)", "post", 16)
    ]  # fmt: skip
    study = load_study(folder)
    assert study.scores.shape[0] == 4
    assert study.occasions == ("Sept", "Dec")


def test_the_evidence_and_the_open_questions_are_written_down(tmp_path):
    """Each recognised column is told, and what a person must decide is marked."""
    (tmp_path / "scores.csv").write_text(SCORES)
    make_study(tmp_path / "s", [tmp_path / "scores.csv"])
    text = (tmp_path / "s" / "study.toml").read_text()
    assert '# student: column "ID"' in text
    assert "# decide: the most points that can be earned" in text
    assert "# decide: how did choirs or students come to a teaching approach?" in text
    assert "Quillon" not in text
    tomllib.loads(text)


def test_problems_of_the_file_become_questions(tmp_path):
    """A file that cannot be settled still gives a folder, with the question in it."""
    (tmp_path / "scores.csv").write_text("ID,Pre,Post\n00123,1,2\n123,3,4\n")
    make_study(tmp_path / "s", [tmp_path / "scores.csv"])
    assert "id_width = 5" in (tmp_path / "s" / "study.toml").read_text()


def test_an_existing_study_and_a_missing_file_are_told_at_once(tmp_path):
    """Nothing is overwritten, and both faults are listed."""
    (tmp_path / "study.toml").write_text("title = 'x'")
    with pytest.raises(StudyProblems) as refused:
        make_study(tmp_path, [tmp_path / "none.csv"])
    assert [str(problem) for problem in refused.value.problems] == [
        f"{tmp_path / 'none.csv'}: The file is not there. Check its name and folder.",
        f"study.toml: There is already a study in {tmp_path.name}. Choose another folder, or change the file by hand.",
    ]
    assert (tmp_path / "study.toml").read_text() == "title = 'x'"


def test_two_files_of_one_name(tmp_path):
    """Files from two folders with one name would cover each other; that is told before anything is copied."""
    for folder in ("north", "south"):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "scores.csv").write_text(SCORES)
    with pytest.raises(StudyProblems) as refused:
        make_study(tmp_path / "s", [tmp_path / "north" / "scores.csv", tmp_path / "south" / "scores.csv"])
    assert str(refused.value) == "scores.csv: Two of the files have this name. Rename one of them."
    assert not (tmp_path / "s").exists()


def test_a_file_without_marks_that_names_choirs_is_a_roster(tmp_path):
    """A roster beside a file of marks is proposed as such, and both load unchanged."""
    (tmp_path / "scores.csv").write_text("ID,Pre,Post\na1,1,2\na2,3,4\n")
    (tmp_path / "roster.csv").write_text(
        "ID,Choir,School,Group\na1,Treble,North,ear\na2,Treble,North,ear\na3,Bass,North,page\n"
    )
    make_study(tmp_path / "s", [tmp_path / "scores.csv", tmp_path / "roster.csv"])
    study = load_study(tmp_path / "s")
    assert study.settings.rosters[0].approach == "Group"
    assert sorted(study.students.choir) == ["Bass", "Treble", "Treble"]


def test_what_the_demo_district_sends_is_proposed_and_loads(tmp_path):
    """Files of every kind of five schools: accepted as proposed, what is set aside is the faults put in, and no more."""
    folder = Path(__file__).parents[1] / "synthetic_data" / "two_larches"
    files = [path for path in folder.iterdir() if path.suffix in (".csv", ".xlsx") and path.name != "aliases.csv"]
    make_study(tmp_path / "s", sorted(files))
    study = load_study(tmp_path / "s")
    faults = json.loads((folder / "faults.json").read_text(encoding="utf-8"))
    listed = sorted((f["file"], f["row"], f["why"]) for f in faults if f["outcome"] in ("row aside", "cell aside"))
    aside = study.loaded.set_aside
    found = sorted((row.file, int(row.row), row.why) for row in aside.itertuples() if row.why != "second_choir")
    assert found == listed
    assert len(study.students) == 340
    assert set(study.scores.measure) == {"pitch", "rhythm"}
    assert (len(study.items), len(study.loaded.patterns)) == (29688, 12)
    systems = {source.file: source.syllables.system for source in study.settings.drills}
    assert systems == {
        "corduroy_road_log.csv": "movable_i_up_e_down", "hobnail_lane_log.csv": "movable_i_up_e_down",
        "ninepin_row_log.xlsx": "numbers", "thimble_hill_log.xlsx": "movable_i_up_e_down",
        "wicket_lane_log.csv": "movable_e_up_a_down",
    }  # fmt: skip
    assert [source.file for source in study.settings.drills if source.errors_only] == ["corduroy_road_log.csv"]


def test_a_setting_with_two_readings_is_asked(tmp_path):
    """What has one sensible value is proposed; what has two readings is a question with the line that would settle it."""
    (tmp_path / "scores.csv").write_text("ID,Pre /20,Post /20\n00123,11,12\n123,999,4\n456,7,8\n")
    make_study(tmp_path / "s", [tmp_path / "scores.csv"])
    lines = (tmp_path / "s" / "study.toml").read_text().splitlines()
    assert "id_width = 5" in lines
    assert any(line.startswith("# missing_codes = ") for line in lines)
    assert not any(line.startswith("missing_codes") for line in lines)


def test_a_sheet_with_everything_is_the_list_of_students_too(tmp_path):
    """Marks beside schools and approaches are proposed as both, nothing is called unread or counted twice."""
    (tmp_path / "all.csv").write_text(ALL)
    make_study(tmp_path / "s", [tmp_path / "all.csv"])
    text = (tmp_path / "s" / "study.toml").read_text()
    assert [line for line in text.splitlines() if line.startswith("[[")] == [
        "[[rosters]]", "[[scores]]", "[[scores.marks]]", "[[scores.marks]]",
    ]  # fmt: skip
    study = read_study(tmp_path / "s")
    assert study.students["school"].tolist() == ["Hobnail", "Hobnail", "Thimble"]
    assert study.students["approach"].tolist() == ["ear", "ear", "page"]
    page = check_page(study)
    assert [line for line in page if "not read" in line] == ['  all.csv: not read: column "Locker"']
    assert [line for line in page if " used + " in line] == [
        "  all.csv: 3 rows = 3 used + 0 set aside (1 header row besides)."
    ]


def test_a_long_sheet_is_no_list_of_students(tmp_path):
    """Where a student has a row for each test, the second would be set aside as a second listing: so it is not one."""
    lines = ["ID,School,Choir,Term,Score /20", "S1,Hobnail,Treble,Pre,11", "S1,Hobnail,Treble,Post,13"]
    (tmp_path / "long.csv").write_text("\n".join(lines))
    make_study(tmp_path / "s", [tmp_path / "long.csv"])
    assert "[[rosters]]" not in (tmp_path / "s" / "study.toml").read_text()


def test_tests_whose_order_has_two_readings_are_left_to_decide(tmp_path):
    """Every column is proposed with the school's own words; the study file asks which two are compared and then loads."""
    (tmp_path / "year.csv").write_text("ID,Fall Pre,Fall Post,Spring Pre,Spring Post\na1,1,2,3,4\na2,2,3,4,5\n")
    make_study(tmp_path / "s", [tmp_path / "year.csv"])
    path = tmp_path / "s" / "study.toml"
    text = path.read_text()
    assert "# decide: which two tests are compared? There are " in text
    assert "name the occasion of each" not in text  # each has one in the proposal
    with pytest.raises(StudyProblems, match='"pre" is no occasion of this study'):
        read_settings(tmp_path / "s")
    path.write_text(text.replace("# before", "before").replace("# after", "after"))
    study = read_study(tmp_path / "s")
    assert study.in_the_way == ()
    assert (study.occasions, len(study.scores)) == (("Fall Pre", "Spring Post"), 8)


def test_two_files_of_one_test_each(tmp_path):
    """Their names tell which is which, and a heading that both have is no word for either test."""
    for file, mark in (("pretest sept.csv", 5), ("posttest dec.csv", 9)):
        (tmp_path / file).write_text(f"Student,Score\nAnn Lee,{mark}\nBo Ek,{mark}\n")
    make_study(tmp_path / "s", [tmp_path / "pretest sept.csv", tmp_path / "posttest dec.csv"])
    study = read_study(tmp_path / "s")
    assert study.in_the_way == ()
    assert study.pairs()[["pre_points", "post_points"]].to_numpy().tolist() == [[5, 9], [5, 9]]
    assert study.occasions == ("first test", "second test")


def test_the_words_for_an_occasion_have_no_points_and_raters_in_them(tmp_path):
    """What reports call a test is the word for it, as the heading writes it."""
    (tmp_path / "n.csv").write_text("ID,PreTotal,Post JM,Post KB\na1,1,2,2\n")
    make_study(tmp_path / "t", [tmp_path / "n.csv"])
    assert 'pre = ["Pre"]' in (tmp_path / "t" / "study.toml").read_text()
    (tmp_path / "o.csv").write_text("ID,Sept (of 16),Dec. /16\na1,1,2\n")
    make_study(tmp_path / "u", [tmp_path / "o.csv"])
    assert load_study(tmp_path / "u").occasions == ("Sept", "Dec.")


def test_which_of_two_approaches_is_the_program_is_asked(tmp_path):
    """The lines stand ready, for somebody to decide; with one approach there is nothing to ask."""
    (tmp_path / "all.csv").write_text(ALL)
    make_study(tmp_path / "s", [tmp_path / "all.csv"])
    lines = (tmp_path / "s" / "study.toml").read_text().splitlines()
    at = lines.index("[comparison]")
    assert lines[at + 1].startswith("# decide: which approach is new?")
    assert lines[at + 2 : at + 4] == ['# program = "ear"', '# comparison = "page"']
    (tmp_path / "one.csv").write_text(ALL.replace("page", "ear"))
    make_study(tmp_path / "t", [tmp_path / "one.csv"])
    assert "[comparison]" not in (tmp_path / "t" / "study.toml").read_text()


def test_blank_workbooks(tmp_path):
    """Without files, blank workbooks are written; those that are there stay."""
    assert sorted(path.name for path in make_blanks(tmp_path)) == [
        "drills.xlsx", "items.xlsx", "roster.xlsx", "scores.xlsx"
    ]  # fmt: skip
    assert make_blanks(tmp_path) == []
