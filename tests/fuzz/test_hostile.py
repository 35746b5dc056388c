"""Hostile files: each is read or refused with a reason, within its time and memory, and reaches nothing outside."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.fuzz import laws
from tests.fuzz.hostile import ANY, HOSTILE

ROOT = Path(__file__).parents[2]
pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="the bounds on time and memory need a system with fork")


@pytest.fixture(scope="module")
def answers(tmp_path_factory):
    """Read every hostile file in a process of its own, bounded in time and memory."""
    folder = tmp_path_factory.mktemp("hostile")
    (folder / "study").mkdir()
    for hostile in HOSTILE:
        (folder / "study" / hostile.name).write_bytes(hostile.make())
    told = json.dumps({hostile.name: hostile.kind for hostile in HOSTILE})
    run = subprocess.run(
        [sys.executable, "-W", "error", "-m", "tests.fuzz.laws", str(folder)], input=told, capture_output=True, text=True,
        cwd=ROOT, env=os.environ | {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}, check=False,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    return json.loads(run.stdout)


@pytest.mark.parametrize("hostile", HOSTILE, ids=lambda hostile: hostile.name)
def test_a_hostile_file(answers, hostile):
    """It ends in tables or in problems that say why, and every law holds."""
    answer = answers[hostile.name]
    assert "raised" not in answer, answer["raised"]
    assert "died" not in answer, answer["died"]
    assert answer["laws"] == []
    assert answer["seconds"] < laws.HOSTILE_SECONDS
    assert answer["megabytes"] * 2**20 < laws.HOSTILE_MEMORY
    if hostile.refused == ANY:
        assert answer["why"] or answer["used"] >= 0
    elif hostile.refused:
        assert set(answer["why"] or [""]) & set(hostile.refused), answer["why"]
    else:
        assert answer["why"] == []
        assert answer["used"] == hostile.used
    page = "\n".join(answer.get("page", ())).casefold()
    assert [word for word in hostile.never if word.casefold() in page] == []
