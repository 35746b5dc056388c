"""The three verbs as typed."""

import subprocess
import sys
from pathlib import Path

import pytest

from kit.__main__ import main

ROOT = Path(__file__).parents[1]


def test_help_loads_no_heavy_library():
    """--help answers at once: it loads no table, number, figure or notebook library (counted, not timed)."""
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "kit", "--help"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    loaded = {line.rpartition("|")[2].strip().partition(".")[0] for line in done.stderr.splitlines()}
    assert "argparse" in loaded
    assert (
        loaded & {"numpy", "pandas", "scipy", "matplotlib", "pydantic", "rich", "openpyxl", "IPython", "nbformat"}
        == set()
    )
    assert "VERB" in done.stdout


def test_check_loads_no_statistics():
    """The check page needs no distribution function and no figure."""
    code = "import sys, kit.check; print(sorted({'scipy', 'matplotlib', 'IPython'} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_check_of_one_file(tmp_path, capsys):
    """A good file ends with 0, one with problems with 1."""
    (tmp_path / "good.csv").write_text("ID,Pre,Post\na1,1,2\na2,3,4\n")
    (tmp_path / "bad.csv").write_text("colour\nred\n")
    assert main(["check", str(tmp_path / "good.csv")]) == 0
    assert main(["check", str(tmp_path / "bad.csv")]) == 1
    assert "Nothing stands in the way of a report." in capsys.readouterr().out


def test_everything_to_mend_is_listed_without_a_traceback(tmp_path, capsys):
    """A study file with two faults gives two lines and a count."""
    (tmp_path / "study.toml").write_text('titel = "x"\n[[scores]]\nfile = "a.csv"\n')
    assert main(["report", str(tmp_path)]) == 1
    said = capsys.readouterr().err.splitlines()
    assert said[0] == "2 things to mend:"
    assert sorted(said[1:]) == [
        "  study.toml, line 1, titel: There is no such setting. Take it out, or correct its name.",
        "  study.toml, title: The setting is missing. Add it.",
    ]


def test_a_mistyped_name_is_told(tmp_path, capsys):
    """A file or folder that is not there is said to be missing, and nothing about study files."""
    assert main(["check", str(tmp_path / "scors.xlsx")]) == 1
    assert capsys.readouterr().err.splitlines()[1:] == [
        "  scors.xlsx: There is no such file or folder. Check its name, and where you are."
    ]


def test_new_then_check(tmp_path, capsys):
    """The folder that new proposes is one that check accepts."""
    (tmp_path / "scores.csv").write_text("ID,Pre,Post\na1,1,2\na2,3,4\n")
    folder = tmp_path / "my_term"
    assert main(["new", str(folder), "--from", str(tmp_path / "scores.csv")]) == 0
    assert capsys.readouterr().out.splitlines()[-1] == (
        f"Next: read {folder / 'study.toml'}, then run: python -m kit check {folder}"
    )
    assert main(["check", str(folder)]) == 0


@pytest.mark.parametrize(
    "words",
    [["report"], ["sing"], ["report", "x", "--audience", "everybody"],
     ["report", "x", "--each", "choir", "--choir", "Treble"]],
)  # fmt: skip
def test_a_wrong_command_is_refused(words, capsys):
    """A slip in the command shows how it is used."""
    with pytest.raises(SystemExit) as ended:
        main(words)
    assert ended.value.code == 2
    assert "usage: python -m kit" in capsys.readouterr().err


def test_an_unknown_choir_is_told_with_the_list(tmp_path, capsys):
    """--choir with a wrong name lists the choirs."""
    (tmp_path / "scores.csv").write_text("ID,Choir,Pre,Post\na1,Treble,1,2\na2,Bass,3,4\n")
    (tmp_path / "study.toml").write_text('title = "x"\n[[scores]]\nfile = "scores.csv"\n')
    assert main(["report", str(tmp_path), "--choir", "Alto"]) == 1
    assert capsys.readouterr().err.strip() == "study: choir must be one of 'Bass', 'Treble'. Got 'Alto'."


def test_the_package_offers_its_public_names():
    """Every public name can be had, and they are few."""
    import kit

    assert len(kit.__all__) <= 20
    assert dir(kit) == kit.__all__
    assert all(getattr(kit, name) is not None for name in kit.__all__)
    with pytest.raises(AttributeError):
        kit.nothing  # noqa: B018


def test_a_mistyped_format_is_told_before_anything_is_read(tmp_path, capsys):
    """One sentence with the formats there are; the study is not even looked for."""
    assert main(["report", str(tmp_path / "none"), "--to", "html,word"]) == 1
    assert capsys.readouterr().err.strip() == "report: to must be one of 'html', 'docx', 'pdf'. Got 'word'."
