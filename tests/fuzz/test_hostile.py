"""Hostile files: each is read or refused with a reason, within its time and memory, and reaches nothing outside."""

import json
import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from kit.__main__ import main
from kit.check import check_file, check_page
from kit.check_html import check_html
from kit.load.declared import MarkColumn, Rules, ScoreSource
from kit.load.files import load_files
from tests.fuzz import laws
from tests.fuzz.hostile import ANY, HOSTILE, sheet, workbook
from tests.fuzz.mutators import INJECTIONS, KINDS, LETTERS, Case

ROOT = Path(__file__).parents[2]


ORDINARY = [hostile for hostile in HOSTILE if not hostile.large]
LARGE = [hostile for hostile in HOSTILE if hostile.large]


def read_all(folder, files):
    """Read each hostile file in a process of its own, bounded in time and memory."""
    (folder / "study").mkdir()
    for hostile in files:
        (folder / "study" / hostile.name).write_bytes(hostile.make())
    told = json.dumps({hostile.name: hostile.kind for hostile in files})
    run = subprocess.run(
        [sys.executable, "-W", "error", "-m", "tests.fuzz.laws", str(folder)], input=told, capture_output=True, text=True,
        cwd=ROOT, env=os.environ | {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}, check=False,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    return json.loads(run.stdout)


@pytest.fixture(scope="module")
def answers(tmp_path_factory):
    """Read the hostile files of the ordinary suite."""
    return read_all(tmp_path_factory.mktemp("hostile"), ORDINARY)


@pytest.fixture(scope="module")
def answers_of_large(tmp_path_factory):
    """Read the hostile files of the slow suite."""
    return read_all(tmp_path_factory.mktemp("large"), LARGE)


@pytest.mark.parametrize("hostile", ORDINARY, ids=lambda hostile: hostile.name)
def test_a_hostile_file(answers, hostile):
    """It ends in tables or in problems that say why, and every law holds."""
    judge(answers[hostile.name], hostile)


@pytest.mark.slow
@pytest.mark.parametrize("hostile", LARGE, ids=lambda hostile: hostile.name)
def test_a_large_hostile_file(answers_of_large, hostile):
    """As `test_a_hostile_file`, for files that take seconds."""
    judge(answers_of_large[hostile.name], hostile)


def judge(answer, hostile):
    """Compare what came of a hostile file with what must come of it."""
    assert "raised" not in answer, answer["raised"]
    assert "died" not in answer, answer["died"]
    assert answer["laws"] == []
    assert answer["seconds"] < laws.HOSTILE_SECONDS
    assert answer["megabytes"] < laws.HOSTILE_MEGABYTES
    if hostile.refused == ANY:
        assert answer["why"] or answer["used"] >= 0
    elif hostile.refused:
        assert set(answer["why"] or [""]) & set(hostile.refused), answer["why"]
    else:
        assert answer["why"] == []
        assert answer["used"] == hostile.used
    page = "\n".join(answer.get("page", ())).casefold()
    assert [word for word in hostile.never if word.casefold() in page] == []


FOUND = {
    "two raters and no setting that says whose marks count": ("scores", b"ID,Pre JM,Pre KB,Post JM,Post KB\r\n" + b"".join(
        b"%s,%d,x?,%d,%d\r\n" % (who, n, n + 3, n + 3) for n, who in enumerate((b"R4KT", b"B9WX", b"H2MZ", b"Q7DN")))),
    "a mark with more digits than a number holds": ("scores", b"ID,Pre,Post\na1,17/" + b"9" * 400 + b",5\na2,5,6\n"),
    "notes right with more digits than a number holds": ("drills", b"Date,Student,Asked,Right\n2025-10-06,a1,do re mi,17/" + b"9" * 400 + b"\n"),
    "a heading with more digits than the language reads": ("items", b"Student,Occasion,n1,n" + b"1" * 5_000 + b"\na1,pre,1,0\n"),
    "a log whose header has lost its first cell": (
        "drills", b"Student,Asked,Sung,Right\r\n2025-10-06,R4KT,,,\xe2\x9c\x94\r\n2025-10-06,B9WX,,,x\r\n"),
    "a log cut off in its first row": ("drills", b"Date,Student,Asked,Sung,Right\r2025-1"),
    "attendance without days and without codes": ("attendance", b'ID,,"Date,Code\r\nR4KT,2025-09-15,P\r\nB9WX,2025-09-15,A\r\n'),
    "a student without any code": ("attendance", b"Student ID,Choir,2025-09-22,2025-09-23\nR4KT,Treble,P,A\nH2MZ\n"),
    "a roster that has lost its header": ("rosters", b"R4KT,\"Nettlebed, Pim\",Treble Blue,7\nB9WX,\"Saltmarsh, Ivo\",Treble Blue,7\n"),
    "a roster whose lines have become one": (
        "rosters", b"Student ID,Name,Choir,School,Grade" + b"".join(b"R%d,\"Nettlebed, Pim\",Treble,Lane,7" % n for n in range(9))),
    "a file of marks whose lines have become one": (
        "scores", "ID,Name,Pre,Post\u2028R4KT,Pim Nettlebed,11,14\u2028B9WX,Odo Thistlewick,7,12\u2028".encode()),
    "a heading and a student in one row": ("scores", b'Score,ID,"Nettlebed, Pim",Pre,Post\na1,b1,x,5,7\na2,b2,y,6,8\n'),
    "a heading that steers a terminal": ("scores", b"ID,Pre,Post,\x1b[2J\x1b[31mred\na1,5,7,x\na2,6,8,y\n"),
    "a heading on two lines": ("scores", b'ID,Pre,Post,"one\ntwo"\na1,5,7,x\na2,6,8,y\n'),
    "a heading that turns the text": ("scores", "ID,Pre,Post,\u202egnp.x\na1,5,7,x\na2,6,8,y\n".encode()),
    "a log and no marks": ("drills", b"Date,Choir,Minutes\n2025-10-06,Treble,5\n2025-10-07,Treble,6\n"),
}  # fmt: skip
"""Files that once broke a law, as small as they can be."""


@pytest.mark.parametrize("name", FOUND)
def test_a_file_that_once_broke_a_law(tmp_path, name):
    """Every law holds for it now, on the text page and on the HTML page."""
    kind, content = FOUND[name]
    study = Case(0, {"x.csv": content}, (KINDS[kind](file="x.csv"),), Rules(), {})
    assert laws.read_case(study, tmp_path, alone=True) == []


BOUNDS = {
    "bomb_of_one_comment.xlsx": "The workbook is damaged (in xl/worksheets/sheet1.xml: a tag or comment of more than 1 MB). "
    "Save it again and try once more.",
    "bomb_of_comments.xlsx": "A part of the workbook unpacks to more than 200 times its size. "
    "No workbook of marks does: save it again from the spreadsheet program.",
    "one_text_often.xlsx": "The cells of the file hold more than 134,217,728 letters. Split it.",
    "text_bomb.parquet": "The cells of the file hold more than 134,217,728 letters. Split it.",
    "cells_repeated.ods": "A row has more than 2,000 columns. Delete the columns that are not needed.",
    "long_name.xlsx": "The workbook is damaged (the name of a sheet has more than 255 letters). Save it again and try once more.",
    "many_parts.xlsx": "The workbook holds 10,054 files. The kit opens at most 10,000: save it again.",
    "sheets_many.xlsx": "The workbook has 3,000 sheets. The kit reads at most 500: split it.",
    "beyond.xlsx": "The sheet has more than 1,048,576 rows. Split it.",
    "long_cell.csv": "A field on line 2 holds more than 32,767 letters. Shorten it, or put it into a file of its own.",
    "deep_tags.xlsx": "The workbook is damaged (nested more than 100 deep). Save it again and try once more.",
    "laughs.xlsx": "The workbook is damaged (it declares entities of its own, which no spreadsheet program does). "
    "Save it again and try once more.",
    "cut.parquet": "The table cannot be opened. Save it again and try once more.",
}


@pytest.mark.parametrize("name", BOUNDS)
def test_who_meets_a_bound_is_told_the_number(tmp_path, name):
    """Each refusal names the file, the bound and what to do."""
    hostile = next(hostile for hostile in HOSTILE if hostile.name == name)
    (tmp_path / name).write_bytes(hostile.make())
    loaded = load_files(tmp_path, [ScoreSource(file=name)])
    assert [str(problem) for problem in loaded.problems] == [f"{name}: {BOUNDS[name]}"]


def test_a_student_without_a_code_is_set_aside(tmp_path):
    """A row of attendance that holds nothing is said to hold nothing."""
    (tmp_path / "x.csv").write_bytes(FOUND["a student without any code"][1])
    source = KINDS["attendance"](file="x.csv", codes={"P": "present", "A": "absent"})
    aside = load_files(tmp_path, [source]).set_aside
    assert aside[["row", "why", "found", "what_to_do"]].values.tolist() == [
        [3, "unknown_code", "The row has no code.", "Fill in the codes, or delete the row."]
    ]


def test_columns_that_are_no_headings_are_only_counted(tmp_path):
    """Where marks or names stand in the row of headings, the check page does not repeat them."""
    (tmp_path / "x.csv").write_bytes(FOUND["a heading and a student in one row"][1])
    said = [line for line in check_page(check_file(tmp_path / "x.csv")) if "not read:" in line]
    assert said == ["  x.csv: not read: 2 columns"]


def test_hundreds_of_tests_do_not_fill_the_page(tmp_path):
    """Sixty tests are listed, the rest are counted."""
    (tmp_path / "x.csv").write_text(
        f"ID,{','.join(f'Task {n}' for n in range(70))}\na1{',5' * 70}\na2{',6' * 70}\n", encoding="utf-8"
    )
    marks = tuple(MarkColumn(column=f"Task {n}", occasion="pre", measure=f"task {n}") for n in range(70))
    source = ScoreSource(file="x.csv", student="ID", marks=marks)
    page = check_page(laws.Study(tmp_path, laws.Settings(title="x", scores=(source,)), load_files(tmp_path, [source])))
    assert len([line for line in page if line.startswith("  task ")]) == 60
    assert "  and 10 more." in page


def test_what_breaks_a_law_is_noticed(tmp_path):
    """The laws and the watch can fail: a lost row, a written file, a network call, a name and a tag are all told."""
    (tmp_path / "x.csv").write_text("ID,Pre,Post\na1,5,7\na2,x?y,8\nNettlebed,5,6\n", encoding="utf-8")
    loaded = load_files(tmp_path, [ScoreSource(file="x.csv")])
    assert laws.broken_laws(loaded) == []
    loaded.ledger.loc[0, "used"] -= 1
    assert laws.broken_laws(loaded) == [
        "x.csv '': data are not used + set aside", "tables hold 3 rows of ('x.csv', ''), of which 2 were used"
    ]  # fmt: skip
    loaded.ledger.loc[0, "used"] += 2
    assert "1 used rows of x.csv '' gave nothing and nothing was said" not in laws.broken_laws(loaded)
    loaded.ledger.loc[0, "used"] += 1
    assert "1 used rows of x.csv '' gave nothing and nothing was said" in laws.broken_laws(loaded)
    with laws.watched(5) as heard, socket.socket() as caller:
        (tmp_path / "out.txt").write_text("x", encoding="utf-8")
        caller.connect_ex(("127.0.0.1", 9))
    assert f"wrote {tmp_path / 'out.txt'}" in heard
    assert "socket.connect" in heard
    assert laws.unfit(["Pim Nettlebed", "a\x1b[2J"]) == [
        "the page names 'nettlebed'",
        "the page holds the sign '\\x1b'",
    ]
    assert laws.unsafe_html("<h1>x</h1><script>1</script><p onload=1>") == [
        "the HTML holds script",
        "the HTML holds onload",
    ]


def test_what_takes_too_long_is_stopped():
    """A reader that never ends is stopped by its processor time, not by the patience of who waits."""

    def endless():
        with laws.watched(0.1):
            while True:
                pass

    with pytest.raises(laws.TooSlowError, match=r"more than 0\.1 seconds of processor time"):
        endless()


def everywhere(*words):
    """Write a file in which words stand as headings, ids, names, choirs and marks."""
    cells = ['"' + word.replace('"', '""') + '"' for word in words]
    rows = [f"{cell},Pim {cell},{cell},5,7,{','.join(cells)}" for cell in cells]
    rows += [f"a{n},{cell},Treble,{cell},8,{','.join(cells)}" for n, cell in enumerate(cells)]
    return "\n".join([f"ID,Name,Choir,Pre,Post,{','.join(cells)}", *rows, ""]).encode("utf-8", "replace")


@pytest.mark.parametrize(
    "words", [INJECTIONS[:12], INJECTIONS[12:], LETTERS[:20], LETTERS[20:]], ids=["0", "1", "2", "3"]
)
def test_what_a_school_writes_is_text(tmp_path, words):
    """Markup in a file name, heading, id, name, choir or mark is text on the HTML page and steers nothing on the text page."""
    path = tmp_path / "<b onload=x>&.csv"
    # many control signs make a file that is no text at all; `FOUND` has files with a few
    path.write_bytes(
        everywhere(*(word for word in words if not any(sign < " " and sign not in "\t\r\n" for sign in word)))
    )
    study = check_file(path)
    assert study.loaded.ledger.used.sum() > 0
    assert laws.unsafe_html(check_html(study)) == []
    assert laws.unfit(check_page(study)) == []


def test_markup_in_the_name_of_a_sheet(tmp_path):
    """A sheet name is text, too; where sheets are choirs it stands on the page."""
    names = ("&lt;script&gt;alert(1)&lt;/script&gt;", "=1+1", "../../x", "a&#10;b", "&#x202E;x")
    (tmp_path / "x.xlsx").write_bytes(workbook({name: sheet() for name in names}))
    study = check_file(tmp_path / "x.xlsx")
    page = check_page(study)
    assert any("<script>alert(1)</script>" in line for line in page)
    assert laws.unfit(page) == []
    assert laws.unsafe_html(check_html(study)) == []


@pytest.mark.parametrize("name", ["broken", "injected", "nul", "headless"])
def test_the_command_line_shows_no_traceback(tmp_path, capsys, name):
    """The check command ends with a page, whatever the file."""
    content = {
        "broken": workbook()[:-30], "injected": everywhere("<script>=1+1"), "nul": bytes(500),
        "headless": FOUND["a roster that has lost its header"][1],
    }[name]  # fmt: skip
    (tmp_path / "x.csv").write_bytes(content)
    status = main(["check", str(tmp_path / "x.csv")])
    said = capsys.readouterr()
    assert status in (0, 1)
    assert "Traceback" not in said.out + said.err
    assert said.out + said.err


def test_a_path_for_an_id_writes_nothing_outside(tmp_path):
    """Ids such as ../../x are text in the crosswalk, and no file is named after them."""
    study = tmp_path / "study"
    study.mkdir()
    (study / "x.csv").write_text("ID,Choir,Pre,Post\n../../x,../../y,5,7\n/etc/z,..\\..\\z,6,8\n", encoding="utf-8")
    crosswalk = laws.Crosswalk.open(study / "private" / "crosswalk.csv")
    marks = (MarkColumn(column="Pre", occasion="pre"), MarkColumn(column="Post", occasion="post"))
    loaded = load_files(study, [ScoreSource(file="x.csv", student="ID", marks=marks)], crosswalk=crosswalk)
    assert loaded.problems == ()
    assert [path.name for path in tmp_path.iterdir()] == ["study"]
    assert {path.name for path in study.iterdir()} == {"private", "x.csv"}
    assert "../../x" in (study / "private" / "crosswalk.csv").read_text(encoding="utf-8")
    assert not loaded.scores.student.str.contains("[./]").any()
