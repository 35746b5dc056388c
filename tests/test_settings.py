"""study.toml: what it may say, and every fault at once."""

import tomllib
from datetime import date

import pytest

from kit.errors import StudyProblems
from kit.load.declared import MarkColumn
from kit.settings import KINDS, Settings, check_settings, read_settings

GOOD = """
title = "Fall reading test"
before = "pre"
after = "post"
level = 0.9

[assignment]
how = "none"

[occasions]
pre = ["September", "Sept"]
post = ["December", "Dec"]

[[scores]]
file = "scores.xlsx"
student = "ID"
[[scores.marks]]
column = "Sept"
occasion = "pre"
max_points = 16
[[scores.marks]]
column = "Dec"
occasion = "post"
"""

BAD = """
title = 3
levle = 0.9
level = 95
attempts = "frist"
[assignment]
how = "coin"
[tests.total]
reliability = "x"
[[scores]]
fil = "a.csv"
[[scores]]
file = "b.xlsx"
[[scores.marks]]
column = "Sept"
max_points = "twenty"
[[scores.marks]]
occasion = "pre"
"""


def faults(text: str) -> list[str]:
    """Check a study file and give its faults as printed."""
    with pytest.raises(StudyProblems) as refused:
        check_settings(tomllib.loads(text), text)
    return [str(problem) for problem in refused.value.problems]


def test_a_good_study_file():
    """Everything declared is there; everything else has its default."""
    settings = check_settings(tomllib.loads(GOOD), GOOD)
    assert isinstance(settings, Settings)
    assert settings.scores[0].marks[0] == MarkColumn(column="Sept", occasion="pre", max_points=16)
    assert (settings.level, settings.attempts, settings.label("pre"), settings.label("mid")) == (
        0.9, None, "September", "mid",
    )  # fmt: skip


def test_all_faults_at_once_each_with_its_line_and_what_to_write():
    """Ten faults give ten lines, in the words of a person."""
    assert sorted(faults(BAD)) == sorted([
        "study.toml, line 2, title: This should be text. Put it between quotation marks.",
        "study.toml, line 4, level: 95 will not do. It should be less than 1. "
        "As a share, 95 percent is 0.95.",
        "study.toml, line 5, attempts: There is no choice 'frist'. Write one of 'first', 'last', 'best' or 'mean'.",
        "study.toml, line 7, assignment.how: There is no choice 'coin'. Write one of 'undeclared', 'none', "
        "'schools_chose', 'teachers_chose', 'cutoff', 'students_at_random' or 'choirs_at_random'.",
        "study.toml, line 9, tests.total.reliability: This should be a number. "
        "Write it without quotation marks, such as 12 or 0.5.",
        "study.toml, line 10, scores.1.file: The setting is missing. Add it.",
        "study.toml, line 11, scores.1.fil: There is no such setting. Take it out, or correct its name.",
        "study.toml, line 16, scores.2.marks.1.max_points: This should be a number. "
        "Write it without quotation marks, such as 12 or 0.5.",
        "study.toml, line 17, scores.2.marks.2.column: The setting is missing. Add it.",
        "study.toml, line 3, levle: There is no such setting. Take it out, or correct its name.",
    ])  # fmt: skip


def test_settings_that_contradict_each_other():
    """An occasion nobody declared, and a reliability without a source, are told with their lines."""
    text = GOOD.replace('after = "post"', 'after = "pots"') + "\n[tests.total]\nreliability = 0.5\n"
    assert faults(text) == [
        'study.toml, line 4, after: "pots" is no occasion of this study. Write one of "post", "pre".',
        "study.toml, line 26, reliability: The reliability has no source. "
        'Say where it is from: reliability_from = "two melodies, spring 2026".',
    ]
    assert faults(GOOD.replace('after = "post"', 'after = "pre"')) == [
        "study.toml, line 4, after: The two occasions are the same. Name two different occasions."
    ]


def test_days_on_which_choirs_began():
    """A day as TOML writes it or between quotation marks; anything else is told with its line, all at once."""
    text = GOOD + '\n[starts]\n"Treble 1" = 2026-01-12\nBass = "2026-02-09"\n'
    settings = check_settings(tomllib.loads(text), text)
    assert settings.starts == {"Treble 1": date(2026, 1, 12), "Bass": date(2026, 2, 9)}
    wrong = GOOD + '\n[starts]\n"Treble 1" = "soon"\nBass = ["2026-02-09"]\nAlto = 2026-01-12T08:30:00\n'
    assert faults(wrong) == [
        f"study.toml, line {line}, starts.{choir}: This should be a day. Write it as 2026-01-12."
        for line, choir in ((26, "Treble 1"), (27, "Bass"), (28, "Alto"))
    ]


def test_no_scores_at_all():
    """A study without a file of marks is refused."""
    assert faults('title = "x"\nscores = []\n') == [
        "study.toml: The study names no file of marks, single notes, drills or ratings. "
        'Add a section such as  [[scores]]  with  file = "scores.xlsx".'
    ]


def test_no_study_file(tmp_path):
    """A folder without a study file is told how to get one."""
    with pytest.raises(StudyProblems) as refused:
        read_settings(tmp_path)
    assert str(refused.value) == (
        f"study.toml: There is no study.toml in {tmp_path.name}. Make one with: python -m kit new FOLDER --from FILES"
    )


def test_a_study_file_that_is_no_toml(tmp_path):
    """A slip of the pen is told with its line."""
    (tmp_path / "study.toml").write_text('title = "x"\nlevel = = 3\n')
    with pytest.raises(StudyProblems) as refused:
        read_settings(tmp_path)
    assert str(refused.value) == (
        "study.toml, line 2: The line cannot be read: invalid value. "
        'Write settings as  name = "value"  and lists as  ["one", "two"].'
    )


def test_a_study_file_that_an_editor_saved_in_another_encoding(tmp_path):
    """The first line with a letter that cannot be read is told, and how to save the file."""
    (tmp_path / "study.toml").write_bytes('title = "Choir"\nbefore = "Fr\u00fchling"\n'.encode("cp1252"))
    with pytest.raises(StudyProblems) as refused:
        read_settings(tmp_path)
    assert str(refused.value) == (
        "study.toml, line 2: A letter cannot be read, since the file is not saved as UTF-8. "
        "Save it again with the encoding UTF-8; editors ask for it under Save as."
    )
    (tmp_path / "study.toml").write_bytes('title = "Choir"\n'.encode("utf-16"))
    with pytest.raises(StudyProblems, match="not saved as UTF-8"):
        read_settings(tmp_path)


def test_numbers_between_quotation_marks_and_percentages():
    """What stands in place of a number is told with a number that will do."""
    assert faults(GOOD.replace("level = 0.9", 'level = "90 %"')) == [
        "study.toml, line 5, level: This should be a number. Write it without quotation marks, such as 12 or 0.5."
    ]
    assert faults(GOOD.replace("level = 0.9", "level = 90\nseed = 1.5")) == [
        "study.toml, line 5, level: 90 will not do. It should be less than 1. As a share, 90 percent is 0.9.",
        "study.toml, line 6, seed: This should be a whole number. Write it without quotation marks, such as 12.",
    ]


def test_one_word_for_two_occasions():
    """A word that would mean two occasions is told with both."""
    assert faults(GOOD.replace('post = ["December", "Dec"]', 'post = ["December", "sept"]')) == [
        'study.toml, line 12, occasions.post: "sept" is also a word for pre. Leave it under one occasion only.'
    ]


def test_days_without_school():
    """Days without school are days or spans; anything else is refused with the line."""
    good = 'no_school = ["2025-11-27", "2025-12-22..2026-01-05"]\n'
    settings = check_settings(tomllib.loads(f'title = "x"\n{good}[[drills]]\nfile = "log.csv"\n'))
    assert settings.rules.no_school == ("2025-11-27", "2025-12-22..2026-01-05")
    assert faults('title = "x"\nno_school = ["Thanksgiving"]\n[[drills]]\nfile = "log.csv"\n') == [
        'study.toml, line 2, no_school: "Thanksgiving" is no day or span of days. '
        'Write days as "2025-11-27" and spans as "2025-12-22..2026-01-05".'
    ]


def test_files_of_every_kind():
    """A file of every kind may be declared, each in a section of its own."""
    sections = "".join(f'[[{kind}]]\nfile = "{kind}.csv"\n' for kind in KINDS)
    settings = check_settings(tomllib.loads(f'title = "x"\n{sections}'))
    assert [source.file for source in settings.sources] == [f"{kind}.csv" for kind in KINDS]
