"""The tables of the planning workbench."""

from __future__ import annotations

import dataclasses

import numpy as np

from kit.questions import planning
from kit.report.numbers import show
from kit.report.tables.plan import choirs_caption, grid_notes, grid_table

PLAN = planning.plan(choirs=8, students=25, correlation=0.7, alike=[0.1, 0.2, 0.3], difference=0.4)


def test_each_cell_is_its_estimate():
    """A row for each share between choirs, a column without and one with a first test."""
    grid = planning.sizes(PLAN)
    table = grid_table(grid)
    assert list(table.columns) == ["Variance between choirs", "Without a first test", "With a first test"]
    assert list(table["Variance between choirs"]) == ["10 %", "20 %", "30 %"]
    cells = [cell for row in table.iloc[:, 1:].itertuples(index=False) for cell in row]
    assert cells == [show(one.value, "SD") for one in grid.estimates]


def test_intervals_are_in_the_cell():
    """A simulated share is written with its interval."""
    cell = grid_table(planning.noticed(PLAN, rng=np.random.default_rng(1))).iloc[0, 1]
    assert cell.endswith(" %)")
    assert " % (" in cell


def test_missing_numbers_say_too_few():
    """Where a first test cannot be used the cell says so, and the reason stands below."""
    grid = planning.sizes(dataclasses.replace(PLAN, choirs=6))
    table = grid_table(grid)
    assert list(table["With a first test"]) == ["too few choirs"] * 3
    assert "1.48 SD" in list(table["Without a first test"])
    assert planning.TOO_FEW_FOR_A_FIRST_TEST in grid_notes(grid)


def test_nothing_to_tell_cites_nothing():
    """A table without any number has no sources, only the reason."""
    grid = planning.sizes(dataclasses.replace(PLAN, choirs=3))
    assert grid_notes(grid) == [planning.TOO_FEW_CHOIRS]
    assert set(grid_table(grid).iloc[0, 1:]) == {"too few choirs"}


def test_notes_are_those_of_the_numbers():
    """What must be printed with the numbers stands below them once, then the sources."""
    grid = planning.sizes(PLAN)
    assert len(grid.estimates[1].notes) == 2
    assert grid_notes(grid) == [*grid.estimates[1].notes, "Sources: Dong & Maynard (2013)."]


def test_caption_tells_every_point():
    """A blind reader is told every point of the picture."""
    grid = planning.by_number_of_choirs(PLAN)
    caption = choirs_caption(grid, PLAN)
    for one, row in zip(grid.estimates, grid.rows.itertuples(), strict=True):
        assert f"{row.choirs} choirs {show(one.value, 'SD')}" in caption.alt
    assert caption.alt.endswith("An upright line marks 8 choirs.")
