"""A new study folder: a proposed study.toml with the evidence for each line, and the notebooks."""

from __future__ import annotations

import shutil
import tomllib
from collections.abc import Sequence
from pathlib import Path

from kit.errors import Problem, StudyProblems
from kit.faults import FILE
from kit.load.declared import Rules, ScoreSource, Source
from kit.load.files import Loaded, load_files
from kit.load.kinds import guess_source
from kit.proposal import occasion_words, proposal


def notebook_folder() -> Path:
    """Find the notebooks: inside an installed package, else beside it in a checkout."""
    installed = Path(__file__).parent / "notebooks"
    return installed if installed.is_dir() else Path(__file__).parent.parent / "notebooks"


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
    loaded, settled = _read_undeclared(folder, [folder / path.name for path in files])
    title = folder.resolve().name.replace("_", " ")
    target = folder / FILE
    target.write_text("\n".join(proposal(title, loaded, settled)) + "\n", encoding="utf-8")
    return [target, *written]


def _read_undeclared(folder: Path, files: Sequence[Path]) -> tuple[Loaded, list[tuple[str, str]]]:
    """Read the files with nothing declared but what they themselves turn out to need."""
    sources = [_guessed(path) for path in files]
    settled: dict[str, str] = {}
    occasions: dict[str, tuple[str, ...]] = {}
    while True:
        rules = Rules(**tomllib.loads("\n".join(settled)), occasions=occasions)
        loaded = load_files(folder, sources, rules=rules)
        wanted = {problem.type_this: problem.found for problem in loaded.problems if problem.type_this}
        learned = {} if occasions else occasion_words(loaded.suggestions)
        if not set(wanted) - set(settled) and not learned:
            return loaded, list(settled.items())
        settled, occasions = settled | wanted, occasions or learned


def _guessed(path: Path) -> Source:
    """Guess the kind of a file; one that cannot be opened is told as a problem when it is read."""
    try:
        return guess_source(path)
    except StudyProblems:
        return ScoreSource(file=path.name)


def _copy(files: Sequence[Path], folder: Path) -> list[Path]:
    """Copy files that are not in the folder yet."""
    copied = []
    for path in files:
        target = folder / path.name
        if not target.exists():
            shutil.copyfile(path, target)
            copied.append(target)
    return copied
