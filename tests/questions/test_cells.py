"""Numbers for pooling studies: a row for each approach."""

import numpy as np
import pytest

from kit.questions.cells import COLUMNS, cells
from kit.stats.clusters.choirs import icc_clusters
from tests.questions.worlds import choirs_of, pairs_of

PAIRS = choirs_of(
    ("A", "ear", [1, 2, 3, 9], [4, 6, 5, 9]), ("B", "ear", [8, 9, 7], [9, 9, None]), ("C", "page", [5, 6], [7, 9]),
)  # fmt: skip


def test_each_number_is_what_its_column_says():
    """Choirs, students with both marks, means, SDs (n - 1), correlation and likeness of the singers of a choir."""
    table = cells(PAIRS)
    assert tuple(table.columns) == COLUMNS
    row = table.set_index("approach").loc["ear"]
    pre, post = np.array([1, 2, 3, 9, 8, 9]), np.array([4, 6, 5, 9, 9, 9])
    assert (row["choirs"], row["n"], row["unit"]) == (2, 6, "points")
    assert row["mean_first"] == pytest.approx(pre.mean())
    assert row["sd_second"] == pytest.approx(post.std(ddof=1))
    assert row["correlation"] == pytest.approx(np.corrcoef(pre, post)[0, 1])
    alike = icc_clusters(pre, list("AAAABB"), about="choirs").value
    assert row["between_choirs_first"] == pytest.approx(alike)


def test_what_cannot_be_had_is_missing():
    """One choir has no likeness; two students have no correlation that says anything."""
    row = cells(PAIRS).set_index("approach").loc["page"]
    assert np.isnan(row["between_choirs_first"])
    assert np.isnan(row["correlation"])
    assert len(cells(pairs_of([1, 2], [None, None]))) == 0
