"""From rows to units in clusters, and everything that is refused."""

from __future__ import annotations

import numpy as np
import pytest

from kit.errors import TooFewError
from kit.stats.mixed.rows import nested_blocks


def world(students=6, tests=4, seed=1):
    """Give scores, students, times and choirs of two students each."""
    rng = np.random.default_rng(seed)
    student, time = np.repeat(np.arange(students), tests), np.tile(np.arange(float(tests)), students)
    return {"y": rng.normal(size=student.size), "student": student, "x": time, "choir": student // 2}


def lay_out(*, slopes=(0, None), **given):
    """Lay the world out with some of it changed."""
    rows = world() | given
    return nested_blocks(
        "f", rows["y"], rows["student"], rows["x"], "A", slopes=slopes if rows["choir"] is not None else slopes[:1],
        clusters=rows["choir"], what="students",
    )  # fmt: skip


def test_units_of_one_cluster_stand_together():
    """Whatever the order of rows, students are put choir by choir; sizes and lost rows are counted."""
    rows = world()
    order = np.random.default_rng(2).permutation(24)
    rows["y"][3] = np.nan
    laid = lay_out(**{name: column[order] for name, column in rows.items()})
    blocks = laid.blocks
    assert (laid.sizes, laid.dropped, blocks.n, blocks.p) == ((6, 3), 1, 23, 2)
    assert blocks.layers[0].bounds.tolist() == [0, 2, 4, 6]
    assert blocks.layers[1].bounds.tolist() == [0, 3]
    straight = lay_out(y=rows["y"]).blocks
    assert blocks.rows == pytest.approx(straight.rows)
    assert blocks.totals == pytest.approx(straight.totals)


def test_columns_are_turned_to_length_one():
    """Predictors are unrelated and of length one over all rows, effects over the average unit, residuals are left."""
    blocks = lay_out().blocks
    total = blocks.totals[0].sum(axis=0)
    assert total[:2, :2] == pytest.approx(np.eye(2), abs=1e-12)
    assert total[:2, 2] == pytest.approx(np.zeros(2), abs=1e-12)
    assert blocks.inside.mean(axis=2) == pytest.approx(np.eye(2))


ONE_TIME = np.repeat(np.arange(6.0), 4)


@pytest.mark.parametrize(("error", "given", "message"), [
    (TooFewError, {"student": np.zeros(24), "choir": None}, "f: needs 2 students. A has 1."),
    (TooFewError, {"choir": np.zeros(24)}, "f: needs 2 choirs. A has 1."),
    (TooFewError, {"choir": world()["student"]}, "f: needs 7 students. A has 6."),
    (ValueError, {"choir": np.arange(24) % 3}, "f: each student must be in one choir."),
    (ValueError, {"choir": np.zeros(3)}, "f: students and clusters must list the same rows."),
    (TooFewError, {"student": np.arange(24) // 2, "choir": np.arange(24) // 8},
     "f: needs 25 rows for 24 effects of students. A has 24."),
    (TooFewError, {"x": ONE_TIME}, "f: needs students inside whom the slope's predictor differs. A has none."),
    (TooFewError, {"x": np.column_stack([world()["x"], *(world()["student"][:, None] == np.arange(1, 6)).T])},
     "f: needs more students or choirs than predictors alike inside them. A has too few."),
    (TooFewError, {"y": 3 + world()["x"]},
     "f: needs scores that do not all follow from the model exactly. A has such scores only."),
    (TooFewError, {"y": world()["student"] ** 2 * world()["x"]},
     "f: needs scores that do not all follow from the model exactly. A has such scores only."),
    (TooFewError, {"x": np.ones(24)}, "f: needs predictors that do not follow from one another. A has some."),
    (ValueError, {"y": np.full(24, np.inf)},
     "f: outcome, clusters and predictors must list the same rows, in finite numbers."),
])  # fmt: skip
def test_what_is_refused(error, given, message):
    """Each refusal says what is needed."""
    with pytest.raises(error) as refused:
        lay_out(**given)
    assert str(refused.value) == message
