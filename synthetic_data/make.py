"""Make every synthetic file of this folder: ``python synthetic_data/make.py [--only NAME] [--truth]``."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

from choir_file import make_one_choir
from district_folder import make_two_larches
from messy_drill_notes import drill_note_fixtures
from messy_files import Messy
from messy_groups import group_fixtures
from messy_items import item_fixtures
from messy_kinds import file_fixtures
from messy_layout import layout_fixtures
from messy_logs import log_fixtures
from messy_marks import mark_fixtures
from messy_odd_marks import odd_mark_fixtures
from messy_people import people_fixtures
from messy_raters import rater_fixtures
from messy_ratings import rating_fixtures
from messy_roster import roster_fixtures
from messy_sharing import sharing_fixtures
from messy_workbook import workbook_fixtures
from truth import write_truth

FOLDER = Path(__file__).parent


def make_messy(folder: Path) -> None:
    """Write the messy fixtures and their manifest."""
    messy = Messy()
    for part in (
        layout_fixtures(),
        workbook_fixtures(),
        file_fixtures(),
        people_fixtures(),
        mark_fixtures(),
        odd_mark_fixtures(),
        rater_fixtures(),
        roster_fixtures(),
        group_fixtures(),
        item_fixtures(),
        rating_fixtures(),
        log_fixtures(),
        drill_note_fixtures(),
        sharing_fixtures(),
    ):
        messy.add(part)
    messy.write(folder / "messy")


MAKERS: dict[str, Callable[[Path], None]] = {
    "one_choir": make_one_choir, "two_larches": make_two_larches, "messy": make_messy,
}  # fmt: skip


def make(folder: Path, only: str = "") -> None:
    """Write all sets, or one of them, into a folder.

    Parameters
    ----------
    folder : Path
        Where the sets go, each into a folder of its own.
    only : str, optional
        Name of one set.
    """
    for name in [only] if only else MAKERS:
        MAKERS[name](folder)


def main() -> None:
    """Read the command line and make what it asks for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", choices=tuple(MAKERS), default="", help="make this set only")
    parser.add_argument("--truth", action="store_true", help="also compute truth.json by simulation (a minute or two)")
    wanted = parser.parse_args()
    make(FOLDER, wanted.only)
    if wanted.truth:
        write_truth(FOLDER / "truth.json", print)
    print(f"made {wanted.only or ', '.join(MAKERS)} in {FOLDER}")


if __name__ == "__main__":
    sys.exit(main())
