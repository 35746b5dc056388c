"""The alias file: what it means, and everything that can be wrong with it."""

import pytest

from kit.errors import StudyProblems
from kit.load.people.aliases import compared, meanings, read_aliases


def test_reads_all_kinds(tmp_path):
    """Students, choirs and approaches each get their words; headings may stand in any order."""
    path = tmp_path / "aliases.csv"
    path.write_text(
        'Means,Kind,Found\nPer. 3 Treble,choir,P3\nV3GL,Student,"Foxglove, Braam"\near-first,approach,Ear\n'
    )
    assert read_aliases(path) == {
        "student": {"Foxglove, Braam": "V3GL"}, "choir": {"P3": "Per. 3 Treble"}, "approach": {"Ear": "ear-first"},
    }  # fmt: skip


def test_every_faulty_line_is_told(tmp_path):
    """Unknown kinds, empty cells and double meanings are told together, and no name is repeated."""
    path = tmp_path / "aliases.csv"
    path.write_text("kind,found,means\nteacher,T1,T2\nstudent,Pim,\nchoir,P3,Treble\nchoir,p3,Mixed\n")
    with pytest.raises(StudyProblems) as refused:
        read_aliases(path)
    assert [str(problem) for problem in refused.value.problems] == [
        'aliases.csv, row 2: The kind is "teacher". Write one of student, choir, approach.',
        "aliases.csv, row 3: A cell of the line is empty. Fill in both words, or delete the line.",
        "aliases.csv, row 5: The word was given another meaning further up. Keep one of the two lines.",
    ]


def test_missing_columns_are_told(tmp_path):
    """A file without the three columns says which are missing."""
    path = tmp_path / "aliases.csv"
    path.write_text("kind,alias\nchoir,P3\n")
    with pytest.raises(StudyProblems) as refused:
        read_aliases(path)
    assert [str(problem) for problem in refused.value.problems] == [
        'aliases.csv, row 1: There is no column "found", "means". Give the file the columns kind, found and means.'
    ]


@pytest.mark.parametrize(
    ("kind", "one", "other"),
    [("student", "Foxglove, Bram", "bram  FOXGLOVE"), ("student", "v3gl", "V3GL"), ("choir", "Per. 3 ", "per. 3")],
)
def test_words_are_compared_as_their_kind_is(kind, one, other):
    """Names are compared as names, ids and choirs without regard to case."""
    assert compared(kind, one) == compared(kind, other)
    assert meanings(kind, {kind: {one: "X"}}) == {compared(kind, other): "X"}
