"""Thousands of broken files: each ends in tables or in problems, every row is accounted for, nothing reaches outside."""

import resource
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.load.declared import Rules
from tests.fuzz import laws
from tests.fuzz.mutators import KINDS, NASTY, Case, case, seeds

ORDINARY = 64
"""Studies of the ordinary suite; each has one broken file of each of eight kinds, so that these are 512 files."""
SLOW = 1_280
"""Studies of the slow suite: 10,240 files more."""
IN_ONE_TEST = 16
GROWTH = 400 * 2**20
"""Bytes by which the resident memory may grow while a block of studies is read."""


def failures(numbers, folder):
    """Read the studies of these numbers; of each that breaks a law, tell which of its files do so alone."""
    found = []
    for number in numbers:
        study = case(number)
        broken = laws.read_case(study, folder / str(number), alone=number % 4 == 0)
        if broken:
            alone = {
                file: laws.read_case(study.only(file), folder / f"{number} {at}", alone=True)
                for at, file in enumerate(study.files)
            }
            guilty = [f"{file} ({study.steps[file]})" for file, said in alone.items() if said]
            found.append(f"case({number}), {guilty or 'all its files together'}: " + "\n".join(broken[:5]))
    return found


def blocks(first, studies):
    """Cut the numbers of studies into blocks, a test each."""
    return [range(at, min(at + IN_ONE_TEST, first + studies)) for at in range(first, first + studies, IN_ONE_TEST)]


def read_block(numbers, folder):
    """Read a block of studies within its bounds."""
    before, began = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, time.process_time()
    found = failures(numbers, folder)
    assert found == [], "\n\n".join(found[:5])
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < GROWTH / 1024
    assert time.process_time() - began < laws.SECONDS * len(numbers)


@pytest.mark.parametrize("numbers", blocks(0, ORDINARY), ids=str)
def test_broken_files(tmp_path, numbers):
    """Broken files of every kind are read or refused."""
    read_block(numbers, tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize("numbers", blocks(ORDINARY, SLOW), ids=str)
def test_many_broken_files(tmp_path, numbers):
    """Ten thousand broken files more are read or refused."""
    read_block(numbers, tmp_path)


def test_every_kind_is_broken():
    """There are at least 500 files in the ordinary suite and 10,000 in the slow one, of every kind in equal shares."""
    kinds = {kind: pool for kind, pool in seeds().items() if pool}
    assert set(kinds) == set(KINDS)
    assert all(len(pool) >= 2 for kind, pool in kinds.items() if kind in ("scores", "rosters", "drills"))
    assert ORDINARY * len(KINDS) >= 500
    assert SLOW * len(KINDS) >= 10_000
    assert len(case(0).files) == len(KINDS)


def test_a_case_is_the_same_each_time():
    """A failing number can be looked at again."""
    assert case(7) == case(7)
    assert case(7) != case(8)


COLUMNS = {
    "scores": "ID,Name,Choir,Pre,Post", "rosters": "Student ID,Name,Choir,School,Grade,Approach",
    "drills": "Date,Choir,Student,Minutes,Activity,Pattern,Asked,Try,Sung,Right",
    "items": "Student,Occasion,Melody,Item,Right,Sung", "keys": "Form,Melody,Item,Degree,Approach",
    "patterns": "Pattern,Notes", "ratings": "Date,Choir,Judge,Rating", "attendance": "Student ID,Date,Attendance",
}  # fmt: skip


def quoted(value):
    """Write a cell so that it is one cell, whatever it holds."""
    return '"' + value.replace('"', '""') + '"'


@settings(max_examples=60, deadline=None)
@given(data=st.data(), kind=st.sampled_from(sorted(COLUMNS)))
def test_any_cells_below_known_headings(tmp_path_factory, data, kind):
    """Whatever stands below the headings of any kind of file, every law holds."""
    columns = COLUMNS[kind].split(",")
    anything = st.one_of(st.sampled_from(NASTY), st.sampled_from(["1", "2", "do", "a1", "pre", "yes"]),
                         st.text(st.characters(exclude_categories=["Cs"]), max_size=12))  # fmt: skip
    rows = data.draw(st.lists(st.lists(anything, min_size=len(columns), max_size=len(columns)), max_size=6))
    text = "\n".join([COLUMNS[kind], *(",".join(map(quoted, row)) for row in rows)]) + "\n"
    study = Case(-1, {"x.csv": text.encode("utf-8", "replace")}, (KINDS[kind](file="x.csv"),), Rules(), {})
    assert laws.read_case(study, tmp_path_factory.mktemp("cells")) == []
