"""The record of what was given out, and what it warns of."""

import json
import shutil
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from kit import make
from kit.__main__ import main
from kit.report.privacy.names import find_personal
from kit.report.privacy.release import ADVICE, FILE, RecordError, Release, record, warned, warnings
from kit.study import load_study

DISTRICT = Release(
    report="grant_report", audience="public", scope="all", part="", day="2026-01-10", input="a1", marks="m1",
    students=340, before=338, after=315, both=314,
)  # fmt: skip
FEW = (
    "This copy and one of 2026-01-10 (grant report, public) are about the same students but for fewer than 10. "
    f"{ADVICE}"
)


def test_two_students_who_left_are_told_by_subtraction():
    """340 and then 338 students: whoever has both reports can subtract."""
    later = replace(DISTRICT, input="a2", marks="m2", day="2026-02-01", students=338, both=313)
    assert warnings(later, [DISTRICT]) == [FEW]
    assert warnings(replace(later, report="term_review"), [DISTRICT]) == [FEW]


def test_subtraction_gives_the_score_back():
    """24 students with an average of 61.2 and then 23 with 61.5: the one who left had 54.3, so it is warned of."""
    scored = 24 * 61.2 - 23 * 61.5
    assert scored == pytest.approx(54.3)
    choir = replace(DISTRICT, scope="choir", part="c1", students=24, before=24, after=24, both=24)
    assert len(warnings(replace(choir, input="a2", students=23, before=23, after=23, both=23), [choir])) == 1


@pytest.mark.parametrize(
    "changed",
    [{"input": "a2", "students": 328, "before": 326, "after": 303, "both": 302}, {}, {"input": "a2"}, {"day": "2026-03-01"},
     {"input": "a2", "students": 338, "scope": "choir", "part": "c1"}],
)  # fmt: skip
def test_what_needs_no_warning(changed):
    """Ten students or more, the same input, the same marks in another file, another part."""
    assert warnings(replace(DISTRICT, **changed), [DISTRICT]) == []


def test_changed_marks_are_told():
    """As many students and other marks: the difference is what was corrected."""
    later = replace(DISTRICT, input="a2", marks="m2")
    assert warnings(later, [DISTRICT]) == [
        "This copy and one of 2026-01-10 (grant report, public) are about as many students with other marks. Whoever "
        "has both can work out by how much marks were changed: give out one of the two, not both."
    ]


def test_the_stricter_reader_decides():
    """Six students apart: enough inside the district, too few where the other copy is public."""
    inside = replace(DISTRICT, audience="district")
    later = replace(inside, input="a2", students=334)
    assert warnings(later, [inside]) == []
    assert len(warnings(later, [DISTRICT])) == 1


def test_all_but_a_small_choir():
    """Copies of thirteen choirs and one of all leave the fourteenth, of four students, over."""
    parts = [
        replace(DISTRICT, scope="choir", part=f"c{at}", students=56, before=56, after=52, both=52) for at in range(6)
    ]
    told = (
        "The copies about single choirs and the one about all leave fewer than 10 students over, whose numbers follow "
        "by subtraction: give out the one or the others, not both."
    )
    assert warnings(DISTRICT, parts) == [told]
    assert warnings(parts[0], [DISTRICT, *parts[1:]]) == [told]
    assert warnings(DISTRICT, parts[:5]) == []
    assert warnings(replace(DISTRICT, scope="school", part="s1"), [DISTRICT, *parts]) == []


def test_the_record_is_kept_and_holds_no_name(tmp_path):
    """Copies are added, the same one is not listed twice, and a teacher's copy is none."""
    path = tmp_path / "releases.json"
    assert record(path, [replace(DISTRICT, audience="teacher")]) == []
    assert not path.exists()
    assert warned(path) == []
    assert record(path, [DISTRICT]) == []
    assert record(path, [replace(DISTRICT, day="2026-01-11")]) == []
    assert len(json.loads(path.read_text(encoding="utf-8"))["releases"]) == 1
    later = replace(DISTRICT, input="a2", students=338)
    [told] = record(path, [later, replace(later, audience="teacher")])
    assert told == FEW.replace("2026-01-10", "2026-01-11")
    assert warned(path) == [told]
    kept = json.loads(path.read_text(encoding="utf-8"))
    assert [one["audience"] for one in kept["releases"]] == ["public", "public"]
    assert set(kept["releases"][0]) == {
        "report", "audience", "scope", "part", "day", "input", "marks", "students", "before", "after", "both",
    }  # fmt: skip
    # a run without a copy to give out leaves the list and takes the warnings back
    assert record(path, []) == []
    assert warned(path) == []
    assert len(json.loads(path.read_text(encoding="utf-8"))["releases"]) == 2


@pytest.mark.parametrize("content", ["", "{}", '{"releases": [{"report": "x"}]}', "[1]"])
def test_a_broken_record_is_told(tmp_path, content):
    """A record that somebody changed is no reason to forget what was given out."""
    path = tmp_path / "releases.json"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(RecordError) as refused:
        record(path, [DISTRICT])
    assert str(refused.value) == (
        "releases.json cannot be read, so earlier copies cannot be compared. Put back the file as it was, or move it "
        "away and look yourself which copies were given out."
    )


def test_copies_made_together_are_looked_at_together(tmp_path):
    """All and every choir but a small one in one run."""
    parts = [
        replace(DISTRICT, scope="choir", part=f"c{at}", students=84, before=84, after=78, both=78) for at in range(4)
    ]
    assert len(record(tmp_path / "releases.json", [DISTRICT, *parts])) == 1


def test_a_run_writes_the_record_and_the_command_tells_it(tmp_path, monkeypatch, capsys):
    """The record lies with what stays in the school; the second run, with a student fewer, warns."""
    demo = Path(__file__).parents[3] / "synthetic_data" / "one_choir"
    study = shutil.copytree(demo, tmp_path / "study", ignore=shutil.ignore_patterns("reports", "private"))
    monkeypatch.setattr(make, "make_of", lambda *_, **__: iter(()))
    words = ["report", str(study), "--for", "educator", "--audience", "public", "--out", str(tmp_path / "out")]
    assert main(words) == 0
    assert "Whoever has both" not in capsys.readouterr().err
    kept = json.loads((study / "private" / FILE).read_text(encoding="utf-8"))["releases"]
    assert [(one["report"], one["scope"], one["audience"], one["students"]) for one in kept] == [
        ("term_review", "all", "public", 22)
    ]
    assert not any((tmp_path / "out").glob(f"**/{FILE}"))
    before = make.disclosure.released
    monkeypatch.setattr(make.disclosure, "released", lambda pairs: before(pairs.iloc[:-1]))
    monkeypatch.setattr(make, "date", type("Later", (date,), {"today": classmethod(lambda _: date(2030, 1, 1))}))
    assert main(words) == 0
    assert ADVICE in capsys.readouterr().err
    assert main([*words[:4], "--audience", "teacher", *words[6:]]) == 0
    assert ADVICE not in capsys.readouterr().err
    text = (study / "private" / FILE).read_text(encoding="utf-8")
    assert not find_personal(text, load_study(study).loaded.personal)
