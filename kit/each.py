"""Reports of every choir or school of a district: several at once, the bad ones listed, and what is made is kept."""

from __future__ import annotations

import html
import json
import multiprocessing
import os
import signal
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass
from hashlib import sha256
from multiprocessing.context import BaseContext
from pathlib import Path
from typing import Literal

from kit.faults import FILE
from kit.make import make_of, released
from kit.new import notebook_folder
from kit.report.document import Forms
from kit.report.document.style import REFERENCE
from kit.report.privacy.release import FILE as RELEASES
from kit.report.privacy.release import record
from kit.study import PRIVATE, REPORTS, Study, kept, load_study

Each = Literal["choir", "school"]
MADE = "made.json"
"""What is made already, each with the fingerprint of what it was made from."""
INDEX = "index.html"
PRELOADED = (
    "kit.each", "kit.report.page", "kit.questions.growth", "kit.questions.quality", "kit.questions.coverage.narrow",
    "kit.figures.distribution", "IPython.core.interactiveshell", "openpyxl",
)  # fmt: skip
"""What takes longest to import for a report; every worker has it from the start."""
_WORKER: list[Study] = []


@dataclass(frozen=True, slots=True)
class Made:
    """The reports of one choir or school.

    Attributes
    ----------
    name : str
        The choir or school.
    pages : tuple of str
        The pages, relative to the folder of all reports.
    problem : str
        Why there are none, or not all; empty where all are there.
    """

    name: str
    pages: tuple[str, ...] = ()
    problem: str = ""


def make_each(
    folder: Path,
    readers: Mapping[str, str],
    *,
    each: Each,
    audience: str = "",
    out: Path | None = None,
    isolated: bool = False,
    forms: Forms = Forms(),  # noqa: B008 - it cannot be changed
    workers: int | None = None,
    step: Callable[[str], None] = lambda _: None,
) -> tuple[Path, list[Made]]:
    """Make the reports of every choir or school.

    Parameters
    ----------
    folder : Path
        The study folder.
    readers : mapping of str to str
        Reader -> name of the notebook.
    each : {"choir", "school"}
        Of what one report is made.
    audience, out, isolated, forms, step
        As for `kit.make.make_reports`.
    workers : int, optional
        Processes; by default one for each processor.

    Returns
    -------
    index : Path
        A page that leads to all of them.
    made : list of Made
        By name. One that cannot be made does not stop the others; what was made before from the same files by the same
        notebooks is not made again.

    Raises
    ------
    StudyProblems
        With everything that stands in the way of all of them.
    """
    study = load_study(folder, step=step)
    target = out or folder / REPORTS
    target.mkdir(parents=True, exist_ok=True)
    names = study.choirs if each == "choir" else study.schools
    stamp = _stamp(study, readers, audience, forms)
    found = {name: Made(name, tuple(pages)) for name, pages in _made_before(target, stamp).items() if name in names}
    jobs = [name for name in names if name not in found]
    options = {"readers": dict(readers), "each": each, "audience": audience, "out": target, "isolated": isolated,
               "forms": forms}  # fmt: skip
    for done in _run(study, jobs, options, workers or os.cpu_count() or 1):
        found[done.name] = done
        _keep(target, stamp, study.settings.title, [found[name] for name in names if name in found])
        step(f"{len(found)} of {len(names)}")
    made = [found[name] for name in names]
    record(folder / PRIVATE / RELEASES, [
        release for one in made if not one.problem
        for release in released(study, readers, **{"choir": "", "school": "", each: one.name}, audience=audience)
    ])  # fmt: skip
    _keep(target, stamp, study.settings.title, made)
    return target / INDEX, made


def _context() -> BaseContext:
    """Choose how workers are started: fresh, since a copy of this process would share the locks of its threads.

    Where the system can, they are copies of one that runs no thread and imports what all of them need, once.
    """
    if "forkserver" not in multiprocessing.get_all_start_methods():
        return multiprocessing.get_context("spawn")
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(list(PRELOADED))
    return context


def _run(study: Study, jobs: list[str], options: dict, workers: int) -> Iterator[Made]:
    """Give each finished one as it comes."""
    if not jobs:
        return
    pool = ProcessPoolExecutor(min(workers, len(jobs)), _context(), _prepare, (study,))
    try:
        for done in as_completed([pool.submit(_make_one, name, options) for name in jobs]):
            yield done.result()
    finally:
        pool.shutdown(cancel_futures=True)  # whoever stops the run waits for those begun, not for all


def _prepare(study: Study) -> None:
    """Hand the study, as it was read, to a worker; the process that asked is the one to be stopped by the keyboard."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _WORKER[:] = [study]


def _make_one(name: str, options: dict) -> Made:
    """Make the reports of one choir or school; what goes wrong is told and stops nobody else."""
    [study] = _WORKER
    each, out = options["each"], options["out"]
    which = {"choir": "", "school": "", each: name}
    pages, problem = [], ""
    try:
        with kept(study):
            for page in make_of(
                study, options["readers"], audience=options["audience"], out=out, isolated=options["isolated"],
                forms=options["forms"], **which,
            ):  # fmt: skip
                pages.append(page.relative_to(out).as_posix())
    except ValueError as found:
        problem = str(found)
    return Made(name, tuple(pages), problem)


def _stamp(study: Study, readers: Mapping[str, str], audience: str, forms: Forms) -> str:
    """Give a fingerprint of everything that a report is made from."""
    own = [study.folder / name for name in readers.values()]
    notebooks = [path if path.is_file() else notebook_folder() / path.name for path in own]
    styles = [path for path in (forms.styles, study.folder / REFERENCE) if path and path.is_file()]
    content = [path.read_bytes() for path in (study.folder / FILE, *notebooks, *styles)]
    asked = [study.loaded.fingerprints, sorted(readers), audience, forms.formats, forms.paper]
    return sha256(b"".join([json.dumps(asked, sort_keys=True).encode(), *content])).hexdigest()


def _made_before(target: Path, stamp: str) -> dict[str, list[str]]:
    """Find what was made from the same files and still stands."""
    path = target / MADE
    if not path.is_file():
        return {}
    before = json.loads(path.read_text(encoding="utf-8"))
    pages = before["made"] if before["stamp"] == stamp else {}
    return {name: those for name, those in pages.items() if all((target / page).is_file() for page in those)}


def _keep(target: Path, stamp: str, title: str, found: Iterable[Made]) -> None:
    """Write down what is made, so that a run that was stopped goes on from here and its pages are found."""
    made = {one.name: one.pages for one in found if not one.problem}
    (target / MADE).write_text(json.dumps({"stamp": stamp, "made": made}, indent=1), encoding="utf-8")
    (target / INDEX).write_text(_index(title, found), encoding="utf-8")


def _index(title: str, made: Iterable[Made]) -> str:
    """Write the page that leads to all of them, in the order of their names, and lists what could not be made."""
    rows = "".join(
        f"<li>{html.escape(one.name)}: "
        + ", ".join(f'<a href="{html.escape(page)}">{html.escape(_words(page))}</a>' for page in one.pages)
        + "</li>"
        for one in made
        if one.pages
    )
    bad = "".join(f"<li>{html.escape(one.name)}: {html.escape(one.problem)}</li>" for one in made if one.problem)
    missing = f"<h2>Not made</h2><ul>{bad}</ul>" if bad else ""
    return (
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">"
        f"<title>{html.escape(title)}</title>"
        "<style>body{font:1rem/1.5 sans-serif;max-width:46rem;margin:2rem auto;padding:0 1rem}</style></head>"
        f"<body><main><h1>{html.escape(title)}</h1><ul>{rows}</ul>{missing}</main></body></html>\n"
    )


def _words(page: str) -> str:
    """Name a report as its file is named, with its format where it is no page."""
    kind = {".docx": " for Word", ".pdf": " as PDF"}.get(Path(page).suffix, "")
    return Path(page).stem.replace("_", " ") + kind
