"""A new study folder: a proposed study.toml with the evidence for each line, and the notebooks."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from pathlib import Path

from kit.errors import Problem, StudyProblems
from kit.faults import FILE
from kit.proposal import proposal
from kit.undeclared import read_undeclared


def notebook_folder() -> Path:
    """Find the notebooks: inside an installed package, else beside it in a checkout."""
    installed = Path(__file__).parent / "notebooks"
    return installed if installed.is_dir() else Path(__file__).parent.parent / "notebooks"


def make_blanks(folder: Path) -> list[Path]:
    """Write blank workbooks for a roster, scores, single notes and drills, each with a dictionary of its columns.

    Parameters
    ----------
    folder : Path
        Where to.

    Returns
    -------
    list of Path
        What was written; workbooks that are there already stay as they are.
    """
    # here, since a study made of files needs no library that writes workbooks
    from kit.blank import write_blanks  # noqa: PLC0415

    return write_blanks(folder)


def make_study(folder: Path, files: Sequence[Path]) -> list[Path]:
    """Propose a study in a new folder.

    Parameters
    ----------
    folder : Path
        The folder to make; it may exist, a study.toml in it may not.
    files : sequence of Path
        The school's files; they are copied into the folder unless they are there already.

    Returns
    -------
    list of Path
        What was written.

    Raises
    ------
    StudyProblems
        If a study.toml is already there, or a file is missing.
    """
    faults = [
        Problem(why="file_missing", file=str(path), found="The file is not there.", do="Check its name and folder.")
        for path in files
        if not path.is_file()
    ]
    names = [path.name for path in files]
    faults += [
        Problem(why="file_twice", file=name, found="Two of the files have this name.", do="Rename one of them.")
        for name in sorted(set(names))
        if names.count(name) > 1
    ]
    if (folder / FILE).exists():
        faults.append(
            Problem(why="setting", file=FILE, found=f"There is already a study in {folder.name}.",
                    do="Choose another folder, or change the file by hand.")
        )  # fmt: skip
    if faults:
        raise StudyProblems(faults)
    folder.mkdir(parents=True, exist_ok=True)
    written = [*_copy(files, folder), *_copy(sorted(notebook_folder().glob("*.ipynb")), folder)]
    read = read_undeclared(folder, [folder / path.name for path in files])
    title = folder.resolve().name.replace("_", " ")
    target = folder / FILE
    target.write_text("\n".join(proposal(title, read)) + "\n", encoding="utf-8")
    return [target, *written]


def _copy(files: Sequence[Path], folder: Path) -> list[Path]:
    """Copy files that are not in the folder yet."""
    copied = []
    for path in files:
        target = folder / path.name
        if not target.exists():
            shutil.copyfile(path, target)
            copied.append(target)
    return copied
