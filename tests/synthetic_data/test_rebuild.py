"""Made again, every set comes out byte for byte as committed."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

import make
import pytest
import workbook

COMMITTED = Path(__file__).parents[2] / "synthetic_data"


@pytest.mark.parametrize("name", make.MAKERS)
def test_set_is_rebuilt_byte_for_byte(name, tmp_path):
    """Making a set into an empty folder gives the committed files, and all of them but the study file and the plan."""
    make.make(tmp_path, name)
    made = {path.relative_to(tmp_path).as_posix(): path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    committed = {
        path.relative_to(COMMITTED).as_posix(): path.read_bytes()
        for path in (COMMITTED / name).iterdir()
        if path.is_file() and path.name not in ("study.toml", "plan.md")
    }
    assert made
    assert sorted(made) == sorted(committed)
    assert [file for file in made if made[file] != committed[file]] == []


def test_workbook_holds_no_clock():
    """A workbook carries one fixed moment in its parts and its properties, and none of now."""
    with zipfile.ZipFile(io.BytesIO(workbook.workbook({"Marks": [["ID", "Pre"], ["R4KT", 11]]}))) as parts:
        assert {part.date_time for part in parts.infolist()} == {(2026, 1, 5, 8, 0, 0)}
        properties = parts.read("docProps/core.xml").decode()
    assert re.findall(r"W3CDTF\">([^<]*)<", properties) == ["2026-01-05T08:00:00Z"] * 2


def test_text_tables_end_lines_alike_everywhere():
    """Lines end as spreadsheet programs end them, whatever the machine, and an empty field stays empty."""
    made = workbook.text_table([("ID", "Pre"), ("R4KT", None)], delimiter=";", first="sep=;")
    assert made == b"sep=;\r\nID;Pre\r\nR4KT;\r\n"
