"""A new study folder: a proposed study.toml with the evidence for each line, and the notebooks."""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Sequence
from dataclasses import fields
from pathlib import Path

from kit.errors import Problem, StudyProblems
from kit.faults import FILE
from kit.load.declared import MarkColumn, RosterSource, ScoreSource
from kit.load.files import Loaded, load_files


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
    rosters = [path for path in files if _is_roster(folder, path)]
    loaded = load_files(
        folder,
        [
            *(RosterSource(file=path.name) for path in rosters),
            *(ScoreSource(file=path.name) for path in files if path not in rosters),
        ],
    )
    proposal = folder / FILE
    proposal.write_text("\n".join(_proposal(folder.name, loaded)) + "\n", encoding="utf-8")
    return [proposal, *written]


def _is_roster(folder: Path, path: Path) -> bool:
    """Say whether a file names students and their choirs, and holds no marks."""
    read = load_files(folder, [ScoreSource(file=path.name)])
    unmarked = any(problem.why == "wrong_columns" for problem in read.problems)
    return unmarked and any(s.source.choir and (s.source.student or s.source.name) for s in read.suggestions)


def _copy(files: Sequence[Path], folder: Path) -> list[Path]:
    """Copy files that are not in the folder yet."""
    copied = []
    for path in files:
        target = folder / path.name
        if not target.exists():
            shutil.copyfile(path, target)
            copied.append(target)
    return copied


def _proposal(title: str, loaded: Loaded) -> Iterator[str]:
    """Write the lines of a proposed study file."""
    yield "# Proposed from the headings of your files. Read it once; lines marked  decide:  need an answer from you."
    yield f"title = {_quoted(title.replace('_', ' '))}"
    occasions = list(dict.fromkeys(loaded.scores["occasion"])) or ["pre", "post"]
    ordered = [word for word in ("pre", "mid", "post", "later") if word in occasions]
    yield f'before = "{ordered[0] if ordered else "pre"}"'
    yield f'after = "{ordered[-1] if len(ordered) > 1 else "post"}"'
    yield ""
    yield "[assignment]"
    yield "# decide: how did choirs or students come to a teaching approach?"
    yield '# "none" if everybody was taught the same way.'
    yield '# The other words: "schools_chose", "teachers_chose", "cutoff", "students_at_random", "choirs_at_random".'
    yield 'how = "undeclared"'
    yield ""
    yield "[occasions]  # the first word is printed in reports, the others are words for it in your files"
    for occasion in ordered or ["pre", "post"]:
        yield f"{occasion} = {_words(occasion, loaded)}"
    for problem in loaded.problems:
        yield ""
        yield f"# decide: {problem}"
    for suggestion in dict.fromkeys(loaded.suggestions):
        yield from _source_lines(suggestion.source, suggestion.evidence, suggestion.decide)


def _source_lines(source: ScoreSource | RosterSource, evidence: Sequence[str], decide: Sequence[str]) -> Iterator[str]:
    """Write the section of one file."""
    yield ""
    yield from (f"# {sentence}" for sentence in evidence)
    yield from (f"# decide: {question}" for question in decide)
    yield "[[scores]]" if isinstance(source, ScoreSource) else "[[rosters]]"
    for field in fields(source):
        value = getattr(source, field.name)
        if field.name != "marks" and value:
            yield f"{field.name} = {_written(value)}"
    for mark in getattr(source, "marks", ()):
        yield from _mark_lines(mark)


def _mark_lines(mark: MarkColumn) -> Iterator[str]:
    """Write the section of one column of marks."""
    yield "[[scores.marks]]"
    for field in fields(MarkColumn):
        value = getattr(mark, field.name)
        if value:
            yield f"{field.name} = {_written(value)}"
    if mark.max_points is None:
        yield "# decide: the most points that can be earned, unless every mark says it (17/20)"
        yield "# max_points = "


def _words(occasion: str, loaded: Loaded) -> str:
    """Find the school's own words for an occasion; the first one is what reports print."""
    found = []
    for suggestion in loaded.suggestions:
        found += [word.capitalize() for word, meant in suggestion.occasions if meant == occasion]
        found += [
            mark.column
            for mark in getattr(suggestion.source, "marks", ())
            if mark.occasion == occasion and mark.measure == "total"
        ]
    plain = {"pre": "first test", "mid": "middle test", "post": "second test", "later": "later test"}[occasion]
    return _written(tuple(dict.fromkeys(found or [plain])))


def _written(value: object) -> str:
    """Write a value the way TOML does."""
    if isinstance(value, tuple):
        return f"[{', '.join(map(_written, value))}]"
    return _quoted(value) if isinstance(value, str) else f"{value:g}"


def _quoted(text: str) -> str:
    """Write text the way TOML does."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", " ")
    return f'"{escaped}"'
