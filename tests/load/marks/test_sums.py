"""Totals of parts: complete, left out, or estimated where that is declared."""

import pytest

from kit.load.declared import MarkColumn, ScoreSource
from kit.load.files import load_files

PARTS = ("melody 1", "melody 2", "melody 3")


def totals(folder, *lines, prorate_from=0, most=8):
    """Load marks of three melodies and give the totals."""
    (folder / "marks.csv").write_text("\n".join(("ID,M1,M2,M3", *lines)), encoding="utf-8")
    marks = tuple(
        MarkColumn(column=f"M{at}", occasion="pre", measure=part, max_points=most) for at, part in enumerate(PARTS, 1)
    )
    source = ScoreSource(file="marks.csv", student="ID", marks=marks, total_of=PARTS, prorate_from=prorate_from)
    loaded = load_files(folder, [source])
    return loaded, loaded.scores[loaded.scores.measure == "total"]


def test_a_complete_test_is_added_up(tmp_path):
    """The total is the sum of the parts, of the sum of their maxima, and says where it comes from."""
    loaded, total = totals(tmp_path, "S1,5,6,7")
    assert total[["points", "max_points", "share"]].to_numpy().tolist() == [[18, 24, 0.75]]
    assert total.column.tolist() == ["M1 + M2 + M3"]
    assert loaded.changes.rule.tolist() == ["marks of the parts added up"]


@pytest.mark.parametrize(("cell", "reason"), [("", "unspecified"), ("absent", "absent"), ("9", "unspecified")])
def test_a_part_without_a_mark_leaves_no_total(tmp_path, cell, reason):
    """A missing or faulty part leaves no total, with the reason of the part; the other parts stay."""
    loaded, total = totals(tmp_path, f"S1,5,{cell},7", *(f"T{at},1,2,3" for at in range(20)))
    assert total.missing_reason.tolist()[0] == reason
    assert total.points.isna().tolist()[0]
    assert (loaded.scores.points.dropna() == 5).any()
    assert "no total, since a part has no mark" in set(loaded.changes.rule)


def test_estimated_where_declared(tmp_path):
    """From two of three parts the total is their share of all points; from one it is not, if two are asked for."""
    loaded, total = totals(tmp_path, "S1,5,,7", "S2,4,,", prorate_from=2)
    assert total.points.tolist()[0] == 18
    assert total.missing_reason.tolist() == ["", "unspecified"]
    assert "total estimated from the parts that have a mark" in set(loaded.changes.rule)


def test_without_maxima_nothing_is_estimated(tmp_path):
    """Parts of unknown length add up when all are there, and never stand for each other."""
    _, total = totals(tmp_path, "S1,5,,7", "S2,4,4,4", prorate_from=2, most=None)
    assert total.missing_reason.tolist() == ["unspecified", ""]
    assert total.points.tolist()[1] == 12
