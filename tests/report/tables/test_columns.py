"""The codebook of the files beside a page: every column that is written, and none that is not."""

import pandas as pd
import pytest

from kit.estimate import COLUMNS as NUMBERS
from kit.questions.cells import COLUMNS as CELLS
from kit.questions.recompute import CHOIR_COLUMNS, MELODY_COLUMNS, STUDENT_COLUMNS
from kit.report.tables.columns import columns, columns_table
from kit.tables import SET_ASIDE

WRITTEN = {
    "numbers.csv": NUMBERS,
    "pooling.csv": CELLS,
    "left_out.csv": tuple(column.name for column in SET_ASIDE.columns),
    "committee_numbers.csv": ("number", "part", "ours", "label", "why_not"),
    "committee_settings.csv": ("setting", "value"),
    "committee_choirs.csv": CHOIR_COLUMNS,
    "committee_students.csv": STUDENT_COLUMNS,
    "committee_melodies.csv": MELODY_COLUMNS,
}


@pytest.mark.parametrize("file", WRITTEN)
def test_every_column_is_explained_and_no_other(file):
    """The columns of a file, in their order, are those of the codebook."""
    told = columns()
    assert told.loc[told["file"] == file, "column"].tolist() == list(WRITTEN[file])


def test_the_codebook_knows_no_other_file():
    """Nothing is explained that is never written; every meaning is a sentence."""
    assert set(columns()["file"]) == set(WRITTEN)
    assert columns()["meaning"].str.endswith(".").all()


def test_only_a_copy_for_the_school_has_files_with_students():
    """The public copy explains numbers and what is handed over; the teacher's also what was left out."""

    def files(table):
        return set(table["File and column"].str.partition(": ")[0])

    public = columns_table("public", files=["committee_choirs.csv"])
    assert files(public) == {"numbers.csv", "committee_choirs.csv"}
    assert list(public.columns) == ["File and column", "Meaning", "Unit", "Empty where"]
    assert public["File and column"].iloc[0] == "numbers.csv: label"
    assert "left_out.csv" in files(columns_table("teacher"))
    assert isinstance(public, pd.DataFrame)
