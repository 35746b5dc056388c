"""The makers of the synthetic data are scripts in their own folder: let the tests import them."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2] / "synthetic_data"))
