"""The makers of the synthetic data are scripts in their own folder: let the tests import them."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest

from kit.study import load_study

sys.path.insert(0, str(Path(__file__).parents[2] / "synthetic_data"))


@pytest.fixture(scope="session")
def study(tmp_path_factory):
    """Load a copy of the district as its study file declares it."""
    source = Path(__file__).parents[2] / "synthetic_data" / "two_larches"
    folder = tmp_path_factory.mktemp("district") / "two_larches"
    shutil.copytree(source, folder, ignore=shutil.ignore_patterns("private", "reports"))
    return load_study(folder)
