"""The de-identified export: what goes out, what never does, and that other programs can read it."""

import json
import re
import shutil
from dataclasses import replace
from pathlib import Path

import frictionless
import pandas as pd
import pytest

from kit.deidentify import GROUPS
from kit.errors import StudyProblems, TooFewError, UnknownChoiceError
from kit.export import csv_text, export_study
from kit.make import released
from kit.report.build import PersonalDataError
from kit.report.privacy.names import find_personal
from kit.report.privacy.release import FILE, record, warned
from kit.study import PRIVATE, read_study
from kit.tables import ATTENDANCE, DRILLS, ITEMS, PATTERNS, RATINGS, conform

TOML = """title = "Fall"
rater = "own teacher"
[occasions]
pre = ["Sept"]
post = ["Dec"]
[approaches]
ear-first = ["ear"]
[[rosters]]
file = "roster.csv"
[[scores]]
file = "scores.csv"
occasion = "wave"
"""
PLACE = {"file": "x.csv", "sheet": "", "row": 2}
CHOIRS = {"Larch Treble": 16, "Larch Chamber": 14, "Fir Concert": 15, "Fir Quartet": 4}


def roster():
    """Yield (id, name, choir, school, grade, voice part, consent) of 49 students."""
    number = 0
    for choir, size in CHOIRS.items():
        for at in range(size):
            number += 1
            grade, part = ("6" if at < 3 else "7"), ("Tenor" if at < 2 else "Alto")
            yield f"{41000 + number}", f"Given{number:02} Family{number:02}", choir, choir.split()[0], grade, part, ""


def write(folder, rows=None):
    """Write a study of two schools and four choirs, one of them small."""
    rows = list(rows or roster())
    lines = ["id,name,choir,school,grade,voice part,approach,consent"]
    lines += [f"{i},{n},{c},{s},{g},{p},{'ear-first' if s == 'Larch' else 'mine'},{y}" for i, n, c, s, g, p, y in rows]
    (folder / "roster.csv").write_text("\n".join(lines) + "\n")
    marks = ["id,choir,wave,date,form,rater,pitch,max points"]
    for at, (i, _, choir, *_rest) in enumerate(rows):
        for wave, day in (("Sept", "2025-09-17"), ("Dec", "2025-12-10")):
            late = "2025-12-18" if at == 0 and wave == "Dec" else day
            marks.append(f"{i},{choir},{wave},{late},A,own teacher,{(at * 7 + len(wave)) % 24},24")
    (folder / "scores.csv").write_text("\n".join(marks) + "\n")
    (folder / "study.toml").write_text(TOML)
    return read_study(folder)


def with_music(study):
    """Add single notes, drills, patterns, ratings and attendance."""
    ids = study.students["student"].tolist()
    notes = [
        {"student": s, "occasion": "pre", "measure": "pitch", "form": "A", "rater": "own teacher", "melody": "Kit's song",
         "item": n, "degree": n, "alter": 0, "approached_by": "step", "right": (at + n) % 3 > 0, "sung": "4",
         "missing_reason": "", **PLACE}
        for at, s in enumerate(ids) for n in (1, 2)
    ]  # fmt: skip
    lines = [{"date": "2025-10-01", "choir": c, "teacher": "Given01", "activity": "echo", "unit": "class", "minutes": 5,
              "pattern": "P01 P02", "target": "1 2 3", "correction": "told Given01 twice", **PLACE} for c in CHOIRS]  # fmt: skip
    lines += [{"date": "2025-10-01", "choir": "Larch Treble", "student": s, "sung": "- 1 2", "response": "shy today",
               "attempt": 1, "right": False, **PLACE} for s in ids[:20]]  # fmt: skip
    here = [{"student": s, "date": "2025-10-01", "present": "present", **PLACE} for s in ids]
    rating = {"judge": "Given02 Family02", "rating": 1, "best_rating": 1, "worst_rating": 5, "part": "sight reading"}
    loaded = replace(
        study.loaded,
        items=conform(notes, ITEMS), drills=conform(lines, DRILLS), attendance=conform(here, ATTENDANCE),
        patterns=conform([{"pattern": p, "notes": "1 2 3", **PLACE} for p in ("P02", "P01")], PATTERNS),
        ratings=conform([{"choir": c, "date": "2026-03-05", **rating, **PLACE} for c in CHOIRS], RATINGS),
    )  # fmt: skip
    return replace(study, loaded=loaded)


def table(folder, name):
    """Read an exported table as text."""
    return pd.read_csv(folder / f"{name}.csv", dtype=str, keep_default_na=False)


@pytest.fixture(scope="module")
def study(tmp_path_factory):
    return with_music(write(tmp_path_factory.mktemp("study")))


@pytest.fixture(scope="module")
def out(study, tmp_path_factory):
    folder = tmp_path_factory.mktemp("parent") / "out"
    export_study(study, folder)
    return folder


def test_the_files(study, tmp_path):
    """Each table that has rows is there twice, with package, codebook and cautions; empty tables are not."""
    names = [path.name for path in export_study(replace(study, loaded=write(tmp_path).loaded), tmp_path / "out")]
    assert sorted(names) == ["CODEBOOK.md", "README.md", "codebook.csv", "datapackage.json", "scores.csv",
                             "scores.parquet", "students.csv", "students.parquet"]  # fmt: skip
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == sorted(names)


def test_the_package_is_valid_for_another_program(out):
    """The general library of the standard finds nothing wrong with any table, and reads the Parquet files' rows."""
    report = frictionless.validate(str(out / "datapackage.json"))
    assert report.flatten(["title", "note"]) == []
    assert report.valid
    assert {task.name for task in report.tasks} == {"students", "scores", "items", "drills", "patterns", "ratings",
                                                    "attendance"}  # fmt: skip
    for task in report.tasks:
        assert len(pd.read_parquet(out / f"{task.name}.parquet")) == task.stats["rows"]


BREAKS = {
    "constraint-error": ("scores", ",pre,", ",never,"),
    "type-error": ("scores", "rater 1,1,", "rater 1,one,"),
    "foreign-key": ("attendance", r"\n[^,]+,", r"\nnobody,"),
    "incorrect-label": ("students", "student,", "pupil,"),
}


@pytest.mark.parametrize("error", BREAKS)
def test_a_broken_package_is_not_valid(out, tmp_path, error):
    """The same library finds a wrong word, a wrong type, an unknown student and a wrong heading."""
    for path in out.iterdir():
        (tmp_path / path.name).write_bytes(path.read_bytes())
    name, find, put = BREAKS[error]
    broken, times = re.subn(find, put, (out / f"{name}.csv").read_text(encoding="utf-8"), count=1)
    assert times == 1
    (tmp_path / f"{name}.csv").write_text(broken, encoding="utf-8")
    report = frictionless.validate(str(tmp_path / "datapackage.json"))
    assert not report.valid
    assert error in {kind for (kind,) in report.flatten(["type"])}


def test_ids_are_new_and_lead_to_nobody(study, out, tmp_path):
    """No id of the study is in the export, another export has other ids, and all tables use the same ones."""
    old, new = set(study.students["student"]), set(table(out, "students")["student"])
    assert not old & new
    export_study(study, tmp_path / "again")
    assert not new & set(table(tmp_path / "again", "students")["student"])
    for name in ("scores", "items", "attendance", "drills"):
        assert set(table(out, name)["student"]) - {""} <= new
    assert table(out, "students")["student"].is_monotonic_increasing


def test_rows_keep_their_content(study, out):
    """Marks, notes and days are those of the study, though in another order."""
    assert sorted(table(out, "scores")["points"].astype(float)) == sorted(study.scores["points"])
    assert (table(out, "items")["right"] == "true").sum() == study.loaded.items["right"].sum()
    assert len(table(out, "attendance")) == len(study.loaded.attendance)


def test_nothing_of_a_persons_own_is_in_any_file(study, out):
    """Names, school ids, free text, files and rows are gone; so are names of choirs and schools."""
    for path in out.iterdir():
        text = csv_text(pd.read_parquet(path)) if path.suffix == ".parquet" else path.read_text(encoding="utf-8")
        assert find_personal(text, study.loaded.personal) == []
        for word in ("Given0", "Larch", "Fir", "twice", "shy", "x.csv", "Kit's"):
            assert word not in text, f"{word} in {path.name}"
    for name in ("students", "scores", "items", "drills"):
        assert not {"file", "sheet", "row", "column", "teacher", "correction", "consent"} & set(table(out, name))


def test_teachers_keep_the_names_of_choirs(study, tmp_path):
    """For use inside the school choirs and schools are named; people are not."""
    export_study(study, tmp_path / "out", audience="teacher")
    assert {"Larch Treble", "Larch Chamber"} <= set(table(tmp_path / "out", "students")["choir"])
    assert "keep their names: this export is for use inside the school" in (tmp_path / "out/README.md").read_text()
    assert "Given0" not in csv_text(table(tmp_path / "out", "ratings"))


@pytest.mark.parametrize("smallest", [3, 5, 10])
def test_no_group_is_small(study, tmp_path, smallest):
    """Students who agree in approach, school, choir, grade and voice part are enough, empty cells counted too."""
    export_study(study, tmp_path / "out", smallest=smallest)
    students = table(tmp_path / "out", "students")
    assert students.groupby(list(GROUPS)).size().min() >= smallest
    assert len(students) == 49
    assert f"are at least {smallest};" in (tmp_path / "out/README.md").read_text()


def test_a_small_choir_takes_another_one_along(out):
    """A choir of four is not shown, nor is the next smallest of its school: the total would give the four away."""
    students = table(out, "students")
    assert sorted(students.groupby("choir").size().drop("", errors="ignore")) == [14, 16]
    assert (students["choir"] == "").sum() == 19
    assert set(table(out, "ratings")["choir"]) == set(students["choir"]) - {""}
    lines = table(out, "drills")
    assert set(lines.loc[lines["student"] == "", "choir"]) == set(students["choir"]) - {""}
    assert set(lines.loc[lines["student"] != "", "choir"]) == {""}
    assert (
        "- Fewer than 10 lines of ratings about choirs that are too small to be shown."
        in (out / "README.md").read_text()
    )


def test_days_become_weeks_and_rare_weeks_are_empty(out):
    """Every date is a Monday; the week of the one who was tested late is not there."""
    for name in ("scores", "drills", "ratings", "attendance"):
        days = table(out, name)["date"]
        assert set(pd.to_datetime(days[days != ""]).dt.day_of_week) == {0}
    assert "2025-12-08" in set(table(out, "scores")["date"])
    assert "2025-12-15" not in set(table(out, "scores")["date"])


def test_a_rater_does_not_tell_a_hidden_choir(study, tmp_path):
    """Where each choir has a rater of its own, the rater is shown with shown choirs only."""
    of = study.students.set_index("student")["choir"]
    scores = study.scores.assign(rater="who heard " + study.scores["student"].map(of))
    anybodys = replace(study.settings, rater="")
    export_study(replace(study, settings=anybodys, loaded=replace(study.loaded, scores=scores)), tmp_path / "out")
    marks = table(tmp_path / "out", "scores").merge(table(tmp_path / "out", "students"), on="student")
    assert set(marks.loc[marks["choir"] == "", "rater"]) == {""}
    assert marks.loc[marks["choir"] != "", "rater"].str.fullmatch(r"rater \d").any()


def test_a_form_does_not_tell_a_hidden_choir_or_few(study, tmp_path):
    """The small choir sang a form of its own, and three of another one did: neither is shown, nor their notes."""
    of = study.students.set_index("student")["choir"]
    own = study.students.loc[study.students["choir"] == "Larch Treble", "student"].tolist()[:3]

    def forms(rows):
        odd = rows["student"].map(of).eq("Fir Quartet") | rows["student"].isin(own)
        return rows.assign(form=rows["form"].mask(odd, "C"))

    loaded = replace(study.loaded, scores=forms(study.scores), items=forms(study.loaded.items))
    export_study(replace(study, loaded=loaded), tmp_path / "out")
    scores, items = table(tmp_path / "out", "scores"), table(tmp_path / "out", "items")
    assert len(scores) == len(study.scores)
    assert set(scores["form"]) == {"A", ""}
    assert set(items["form"]) == {"A"}
    # three of one choir, and the choir of four with the one it is hidden with
    assert items["student"].nunique() == 49 - 3 - 4 - 15


def test_a_log_does_not_tell_a_hidden_choir(study, tmp_path):
    """Of two choirs that are not shown only the small one logged its singers: nobody can tell the four from the others."""
    few = study.students.loc[study.students["choir"].isin(["Fir Quartet", "Larch Treble"]), ["student", "choir"]]
    lines = [{"date": "2025-10-01", "choir": row.choir, "student": row.student, "unit": "one", "sung": "1 2", "attempt": 1,
              "right": True, **PLACE} for row in few.itertuples()]  # fmt: skip
    export_study(replace(study, loaded=replace(study.loaded, drills=conform(lines, DRILLS))), tmp_path / "out")
    logged = table(tmp_path / "out", "drills").merge(table(tmp_path / "out", "students"), on="student")
    assert len(logged) == 16
    assert "" not in set(logged["choir_y"])


def test_words_of_a_schools_own_become_numbers(out):
    """Declared approaches, common words and short labels stay; melodies, raters, judges and the rest are numbered."""
    assert set(table(out, "students")["approach"]) == {"ear-first", "approach 1"}
    assert set(table(out, "items")["melody"]) == {"melody 1"}
    assert set(table(out, "scores")["rater"]) == {"rater 1"}
    assert set(table(out, "ratings")["judge"]) == {"judge 1"}
    assert set(table(out, "ratings")["part"]) == {"sight reading"}
    assert table(out, "patterns")["pattern"].tolist() == ["P02", "P01"]
    assert set(table(out, "drills")["pattern"]) == {"P01 P02", ""}
    assert set(table(out, "drills")["response"]) == {""}


def test_formulas_are_escaped_in_csv_only(out):
    """A sung line that begins with a hold would be run by a spreadsheet program; Parquet has it as it was."""
    assert "'- 1 2" in set(table(out, "drills")["sung"])
    assert "- 1 2" in set(pd.read_parquet(out / "drills.parquet")["sung"])


def test_csv_text_escapes_text_and_leaves_numbers():
    """Every text column is looked at, numbers and dates are not."""
    rows = pd.DataFrame({"=head": ["=1+1", "@a", "\tb", "-2"], "n": [-1.5, 2, 3, 4], "ok": [True, False, None, True]})
    assert csv_text(rows) == "'=head,n,ok\n'=1+1,-1.5,true\n'@a,2.0,false\n'\tb,3.0,\n-2,4.0,true\n"


def test_without_consent_nobody_is_in_any_table(tmp_path):
    """Students with a no are left out and counted; where a yes is recorded for others, so are those with nothing."""
    rows = [(*row[:6], "no" if at < 12 else "" if at < 24 else "yes") for at, row in enumerate(roster())]
    study = with_music(write(tmp_path, rows))
    export_study(study, tmp_path / "out")
    assert len(table(tmp_path / "out", "students")) == 25
    assert table(tmp_path / "out", "scores")["student"].nunique() == 25
    assert table(tmp_path / "out", "attendance")["student"].nunique() == 25
    readme = (tmp_path / "out/README.md").read_text()
    assert "- 12 students without consent to the sharing of their data." in readme
    assert "- 12 students for whom no consent is recorded, while it is for others." in readme


def test_few_are_not_counted_exactly(tmp_path):
    """The number of those without consent is not told where it is small."""
    rows = [(*row[:6], "no" if at == 0 else "") for at, row in enumerate(roster())]
    export_study(write(tmp_path, rows), tmp_path / "out")
    readme = (tmp_path / "out/README.md").read_text()
    assert "- Fewer than 10 students without consent to the sharing of their data." in readme
    assert len(table(tmp_path / "out", "students")) == 48


def test_a_mark_that_all_of_a_group_have_is_left_out(study, tmp_path):
    """Where a whole group has one mark, to know the group is to know the mark."""
    of = study.students.set_index("student")["choir"]
    same = study.scores["student"].map(of).eq("Larch Chamber") & study.scores["occasion"].eq("post")
    scores = study.scores.assign(
        points=study.scores["points"].mask(same, 24), share=study.scores["share"].mask(same, 1)
    )
    export_study(replace(study, loaded=replace(study.loaded, scores=scores)), tmp_path / "out")
    assert (
        "- 14 rows of scores of groups whose students all have the same mark."
        in (tmp_path / "out/README.md").read_text()
    )
    assert len(table(tmp_path / "out", "scores")) == len(scores) - 14


def test_rare_reasons_are_not_told(study, tmp_path):
    """A reason that few students have, such as a changing voice, is given as unspecified."""
    scores = study.scores.copy()
    scores.loc[scores.index[:3], ["points", "share", "missing_reason"]] = [None, None, "voice"]
    export_study(replace(study, loaded=replace(study.loaded, scores=scores)), tmp_path / "out")
    assert set(table(tmp_path / "out", "scores")["missing_reason"]) == {"", "unspecified"}


def test_a_name_that_slips_through_stops_the_export(study, tmp_path):
    """A grade that is somebody's name is found before anything is written."""
    students = study.students.assign(grade="Given01 Family01")
    with pytest.raises(
        PersonalDataError,
        match=re.escape(
            "The export was not written: students.csv would hold 1 names, ids or addresses of the input. Check the "
            "names of occasions, approaches, grades and voice parts in study.toml and in your files."
        ),
    ):
        export_study(replace(study, loaded=replace(study.loaded, students=students)), tmp_path / "out")
    assert list(tmp_path.iterdir()) == []


def test_too_few_students(study, tmp_path):
    """With fewer students than a group needs nothing is written."""
    few = study.students.head(7)
    with pytest.raises(
        TooFewError,
        match=re.escape("export_study: needs 10 students whose data may be shared, so that none of them can be "
                        "recognized. There are fewer."),
    ):  # fmt: skip
        export_study(replace(study, loaded=replace(study.loaded, students=few)), tmp_path / "out")
    none = study.students.assign(consent=pd.array([False] * 49, dtype="boolean"))
    with pytest.raises(TooFewError, match=re.escape("recognized. There are none.")):
        export_study(replace(study, loaded=replace(study.loaded, students=none)), tmp_path / "out")


def test_wrong_choices_are_refused(study, tmp_path):
    """An audience that there is not, a group of two, a folder with something in it, a study with problems."""
    with pytest.raises(UnknownChoiceError):
        export_study(study, tmp_path / "out", audience="friends")
    with pytest.raises(ValueError, match=re.escape("export_study: smallest must be 3 or more. Got 2.")):
        export_study(study, tmp_path / "out", smallest=2)
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "letter.txt").write_text("x")
    with pytest.raises(StudyProblems) as refused:
        export_study(study, tmp_path / "mine")
    assert str(refused.value) == (
        "mine: The folder for the export is not empty. Name a new folder: every export has new ids, so that files of "
        "two do not fit together."
    )
    (tmp_path / "bad").mkdir()
    (tmp_path / "bad/study.toml").write_text('title = "x"\n[[scores]]\nfile = "gone.csv"\n')
    with pytest.raises(StudyProblems):
        export_study(read_study(tmp_path / "bad"), tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_study_without_students(study, tmp_path):
    """Ratings of choirs alone can be exported; no student is in them."""
    blank = {
        name: getattr(study.loaded, name).iloc[:0] for name in ("students", "scores", "items", "drills", "attendance")
    }
    export_study(replace(study, loaded=replace(study.loaded, **blank)), tmp_path / "out")
    assert sorted(table(tmp_path / "out", "ratings")["choir"]) == ["choir 1", "choir 2", "choir 3", "choir 4"]
    assert frictionless.validate(str(tmp_path / "out/datapackage.json")).valid
    assert "foreignKeys" not in json.dumps(json.loads((tmp_path / "out/datapackage.json").read_text()))


MESSY = Path(__file__).parents[1] / "synthetic_data" / "messy"


def exported(folder, file, audience="public"):
    """Export one of the messy files as a study of its own."""
    (folder / "s").mkdir()
    shutil.copyfile(MESSY / file, folder / "s" / file)
    (folder / "s" / "study.toml").write_text(f'title = "x"\n[[scores]]\nfile = "{file}"\n')
    export_study(read_study(folder / "s"), folder / "out", audience=audience)
    return folder / "out"


def test_a_choir_named_like_a_formula(tmp_path):
    """The choir of F108 goes out as text that no spreadsheet program computes."""
    text = (exported(tmp_path, "F108.csv", "teacher") / "students.csv").read_text(encoding="utf-8")
    assert "'=SUM(1,2)" in text
    assert not re.search(r'(?:^|[,"])=', text, re.MULTILINE)


def test_a_choir_of_four(tmp_path):
    """The choir of four of F109 is not shown, and no other group tells its size."""
    students = pd.read_csv(exported(tmp_path, "F109.csv", "teacher") / "students.csv", keep_default_na=False)
    sizes = students["choir"].value_counts().to_dict()
    assert "Willow" not in sizes
    assert min(sizes.values()) >= 10


def test_a_choir_in_which_all_have_the_same_mark(tmp_path):
    """The second mark of the uniform choir of F110 goes out for nobody of it."""
    out = exported(tmp_path, "F110.csv", "teacher")
    students = pd.read_csv(out / "students.csv", keep_default_na=False).set_index("student")["choir"]
    scores = pd.read_csv(out / "scores.csv")
    post = scores[scores["occasion"] == "post"]
    assert set(post["student"].map(students)) == {"Larch"}
    assert "same mark" in (out / "README.md").read_text(encoding="utf-8")


def test_students_without_recorded_consent_are_few_beside_a_report(tmp_path):
    """Three said nothing: a report averages them, the export lacks them, so whoever has both knows their marks.

    The record warns, whichever of the two is made later; an export for inside the school is not given out.
    """
    rows = [(*row[:-1], "" if at in (3, 20, 33) else "yes") for at, row in enumerate(roster())]
    study = write(tmp_path, rows)
    export_study(study, tmp_path / "inside", audience="teacher")
    assert warned(tmp_path / PRIVATE / FILE) == []
    export_study(study, tmp_path / "out")
    assert warned(tmp_path / PRIVATE / FILE) == []
    reports = released(study, {"district": "grant_report.ipynb"}, choir="", school="", audience="public")
    [told] = record(tmp_path / PRIVATE / FILE, reports)
    assert re.fullmatch(
        r"This copy and one of \d{4}-\d\d-\d\d \(export, public\) are about the same students but for fewer than 10\. "
        r"Whoever has both can work out what those students scored: give out one of the two, not both\.", told,
    )  # fmt: skip
    export_study(study, tmp_path / "again")
    [told] = warned(tmp_path / PRIVATE / FILE)
    assert "(grant report, public) are about the same students but for fewer than 10" in told


def test_an_export_of_everybody_is_no_second_copy(tmp_path):
    """Where nobody said no, a report beside the export is about the same students and marks."""
    study = write(tmp_path)
    record(tmp_path / PRIVATE / FILE, released(study, {"": "grant_report"}, choir="", school="", audience="public"))
    export_study(study, tmp_path / "out")
    assert warned(tmp_path / PRIVATE / FILE) == []
    assert "- Give nobody reports and this export both: " in (tmp_path / "out" / "README.md").read_text()
