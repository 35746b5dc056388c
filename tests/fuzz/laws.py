"""What must hold of every file, however broken: the laws, the watch on files and network, and a worker of its own."""

from __future__ import annotations

import faulthandler
import json
import os
import re
import resource
import signal
import sys
import traceback
import unicodedata
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from html.parser import HTMLParser
from pathlib import Path

from kit.check import check_file, check_page
from kit.check_html import check_html
from kit.errors import StudyProblems
from kit.load.files import Loaded, load_files
from kit.load.people.keys import Crosswalk
from kit.reasons import REASONS
from kit.settings import Settings
from kit.study import Study
from tests.fuzz.mutators import KINDS, Case, family_names

SECONDS = 4.0
"""Processor time for a study of eight mutated files and its check page, at most."""
HOSTILE_SECONDS = 10.0
"""Processor time for one hostile file, at most."""
HOSTILE_ROOM = 1_500 * 2**20
"""Bytes that the address space may grow by while one hostile file is read, at most; the Parquet library reserves much."""
HOSTILE_MEGABYTES = 400
"""Megabytes (2^20 bytes) that the resident memory may grow by, at most."""

_OTHER = ("unread", "title", "header", "blank", "total", "data")
_TABLES = ("students", "scores", "items", "drills", "patterns", "ratings", "attendance")
_TURNING = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
_watched: list[str] | None = None


class TooSlowError(BaseException):
    """The processor time ran out; no ordinary error, so that nobody catches it."""


# ---------------------------------------------------------------------------------------------------------------- watch


def _hear(event: str, arguments: tuple) -> None:
    """Note each attempt to write a file, to reach the network or to start a program, while the watch is on."""
    if _watched is None:
        return
    if event == "open" and isinstance(arguments[2], int) and arguments[2] & (os.O_WRONLY | os.O_RDWR | os.O_CREAT):
        if "__pycache__" not in str(arguments[0]):
            _watched.append(f"wrote {arguments[0]}")
    elif event.startswith(
        ("socket.", "subprocess.", "os.system", "os.exec", "os.posix_spawn", "urllib.", "webbrowser.")
    ):
        _watched.append(event)


sys.addaudithook(_hear)


@contextmanager
def watched(seconds: float) -> Iterator[list[str]]:
    """Note what reaches outside, and stop what takes longer than its processor time."""
    global _watched  # noqa: PLW0603 - a hook of the interpreter cannot be taken back, only told to be silent

    def stop(*_: object) -> None:
        raise TooSlowError(f"more than {seconds} seconds of processor time")

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    _watched = heard = []
    try:
        yield heard
    finally:
        _watched = None
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def listing(folder: Path) -> list[str]:
    """List every file and folder below a folder."""
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*"))


# ----------------------------------------------------------------------------------------------------------------- laws


def broken_laws(loaded: Loaded) -> list[str]:
    """Say which laws of conservation do not hold.

    Parameters
    ----------
    loaded : Loaded
        What was read.

    Returns
    -------
    list of str
        A sentence for each; empty when all hold.
    """
    ledger, aside, found = loaded.ledger, loaded.set_aside, []
    for row in ledger.itertuples():
        place = f"{row.file} {row.sheet!r}"
        if row.rows != sum(getattr(row, kind) for kind in _OTHER):
            found.append(f"{place}: rows are not the sum of their kinds")
        if row.data != row.used + row.set_aside:
            found.append(f"{place}: data are not used + set aside")
        if min(row.rows, row.used, row.set_aside, row.cells_set_aside, *(getattr(row, kind) for kind in _OTHER)) < 0:
            found.append(f"{place}: a negative count")
    if len(aside) != ledger.set_aside.sum() + ledger.cells_set_aside.sum():
        found.append("the rows and marks that are listed as set aside are not as many as counted")
    unknown = {*aside.why, *(problem.why for problem in loaded.problems)} - set(REASONS)
    if unknown:
        found.append(f"unknown reasons {unknown}")
    return found + _lost_or_made_up(loaded)


def _lost_or_made_up(loaded: Loaded) -> list[str]:
    """Say where a table has a row that was set aside or never there, or a used row gave nothing and said nothing."""
    found, ledger, aside = [], loaded.ledger, loaded.set_aside
    several = ledger.duplicated(["file", "sheet"], keep=False)
    counted = {(row.file, row.sheet): row for row in ledger[~several].itertuples()}
    whole = _places(aside[aside.column == ""])
    in_tables: dict[tuple[str, str], set[int]] = {}
    for name in _TABLES:
        for file, sheet, row in _places(getattr(loaded, name)):
            in_tables.setdefault((file, sheet), set()).add(row)
            if (file, sheet, row) in whole and (file, sheet) in counted:
                found.append(f"{name} holds row {row} of {file} {sheet!r}, which was set aside")
    for place, rows in in_tables.items():
        if place not in set(zip(ledger.file, ledger.sheet, strict=True)):
            found.append(f"a table holds rows of {place}, of which there is no account")
        elif place in counted and len(rows) > counted[place].used:
            found.append(f"tables hold {len(rows)} rows of {place}, of which {counted[place].used} were used")
    cells, refused = _places(aside[aside.column != ""]), {problem.file for problem in loaded.problems}
    for (file, sheet), row in counted.items():
        silent = row.used - len(in_tables.get((file, sheet), set())) - sum(p[:2] == (file, sheet) for p in cells)
        if silent > 0 and file not in refused and file not in _keys(loaded):
            found.append(f"{silent} used rows of {file} {sheet!r} gave nothing and nothing was said")
    return found


def _keys(loaded: Loaded) -> set[str]:
    """Name the files that are keys; a key is no table of the study."""
    return set(loaded.key["file"]) if "file" in loaded.key else set()


def _places(table: object) -> set[tuple[str, str, int]]:
    """List file, sheet and row of a table."""
    rows = table[["file", "sheet", "row"]].dropna()
    return {(file, sheet, int(row)) for file, sheet, row in rows.itertuples(index=False, name=None)}


def unfit(page: list[str]) -> list[str]:
    """Say what must not stand on a check page: family names of the invented students, and signs that steer a terminal."""
    words = set(re.findall(r"\w+", "\n".join(page).casefold()))
    unprintable = {sign for line in page for sign in line if unicodedata.category(sign) == "Cc" or sign in _TURNING}
    return [
        *(f"the page names {name!r}" for name in sorted(words & family_names())),
        *(f"the page holds the sign {sign!r}" for sign in sorted(unprintable)),
    ]


class _Tags(HTMLParser):
    """Lists what a page is built of, and what of it no check page has."""

    def __init__(self) -> None:
        super().__init__()
        self.foreign: list[str] = []
        self.titles = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take one tag."""
        self.titles += tag == "h1"
        if tag in ("script", "img", "b", "a", "iframe", "form", "link", "svg", "object"):
            self.foreign.append(tag)
        self.foreign += [name for name, _ in attrs if name.startswith("on") or name in ("src", "href")]

    def handle_comment(self, data: str) -> None:
        """Take a comment."""
        self.foreign.append(f"<!--{data[:20]}")


def unsafe_html(page: str) -> list[str]:
    """Say which tags, attributes and names have slipped from a school file into the HTML of the check page."""
    reader = _Tags()
    reader.feed(page)
    reader.close()
    found = [f"the HTML holds {what}" for what in reader.foreign] + (
        ["more than one title"] if reader.titles != 1 else []
    )
    words = set(re.findall(r"\w+", page.casefold()))
    return found + [f"the HTML names {name!r}" for name in sorted(words & family_names())]


# ------------------------------------------------------------------------------------------------------------------ run


def read_case(case: Case, folder: Path, *, seconds: float = SECONDS, alone: bool = False) -> list[str]:
    """Write the files of a case into a new study folder, read them, and say which laws do not hold.

    Parameters
    ----------
    case : Case
        Files and what is declared of them.
    folder : Path
        An empty folder; the study is made inside, so that what is written beside it is seen.
    seconds : float, optional
        Processor time allowed.
    alone : bool, optional
        Whether to read the first file as the command line does for a file without a study, too.

    Returns
    -------
    list of str
        Empty when every law holds.
    """
    study = folder / "study"
    study.mkdir(parents=True)
    for name, content in case.files.items():
        (study / name).write_bytes(content)
    before = listing(folder)
    found = []
    try:
        with watched(seconds) as heard:
            loaded = load_files(study, case.sources, rules=case.rules, crosswalk=Crosswalk())
            page = check_page(Study(study, _settings(case), loaded))
            found += broken_laws(loaded) + unfit(page)
            if alone:
                only = check_file(study / next(iter(case.files)))
                found += broken_laws(only.loaded) + unfit(check_page(only)) + unsafe_html(check_html(only))
    except StudyProblems as refused:
        found += [] if refused.problems else ["refused without a problem"]
    except (Exception, TooSlowError):
        found.append("raised " + traceback.format_exc(limit=-6))
    return found + heard + [f"left {name}" for name in listing(folder) if name not in before]


def _settings(case: Case) -> Settings:
    """Make the settings of a study of a case."""
    by_kind = {kind: tuple(s for s in case.sources if isinstance(s, record)) for kind, record in KINDS.items()}
    return Settings(title="A study", occasions=dict(case.rules.occasions), **by_kind)


# --------------------------------------------------------------------------------------------------------------- worker


def isolated(read: Callable[[], dict], *, seconds: float, memory: int) -> dict:
    """Run a function in a process of its own with bounds on time and memory.

    Parameters
    ----------
    read : callable
        Gives a record that JSON can hold.
    seconds : float
        Processor time; past it the process is killed.
    memory : int
        Bytes by which its address space may grow.

    Returns
    -------
    dict
        The record, with ``seconds`` and ``megabytes`` (growth of the resident memory) used; ``died`` where it was killed.
    """
    out, into = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(out)
        _child(read, into, seconds, memory)
    os.close(into)
    with os.fdopen(out, "rb") as pipe:
        said = pipe.read()
    _, status, used = os.wait4(child, 0)
    *stack, last = said.decode().rpartition("\n")
    record = json.loads(last) if not status else {"died": f"status {status}: {last}"}
    if stack[0]:
        record["died"] = f"the time ran out here: {stack[0]}"
    return record | {"seconds": used.ru_utime + used.ru_stime}


def _child(read: Callable[[], dict], into: int, seconds: float, memory: int) -> None:
    """Read, tell, and end without any clearing up."""
    pages = Path("/proc/self/statm").read_text(encoding="ascii").split()
    page = resource.getpagesize()
    resource.setrlimit(resource.RLIMIT_AS, (int(pages[0]) * page + memory,) * 2)
    resource.setrlimit(resource.RLIMIT_CPU, (int(seconds) + 1, int(seconds) + 2))
    # where it stood, should the time run out inside a call that cannot be stopped
    faulthandler.register(signal.SIGXCPU, file=into, all_threads=False)
    try:
        record = read()
    except BaseException:
        record = {"raised": traceback.format_exc(limit=-6)}
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
    record["megabytes"] = max(0, peak - int(pages[1]) * page) / 2**20
    with os.fdopen(into, "wb") as pipe:
        pipe.write(b"\n" + json.dumps(record).encode())
    os._exit(0)


def read_hostile(folder: Path, file: str, kind: str) -> dict:
    """Read one hostile file of a folder as a study and as a file alone; record what came of it."""
    before = listing(folder.parent)
    source = KINDS[kind](file=file)
    with watched(HOSTILE_SECONDS) as heard:
        try:
            loaded = load_files(folder, [source], crosswalk=Crosswalk())
        except StudyProblems as refused:
            return {"why": [problem.why for problem in refused.problems], "laws": []}
        study = Study(folder, Settings(title="A study", **{kind: (source,)}), loaded)
        page = check_page(study)
    laws = broken_laws(loaded) + unfit(page) + unsafe_html(check_html(study)) + heard
    laws += [f"left {name}" for name in listing(folder.parent) if name not in before]
    return {
        "why": [problem.why for problem in loaded.problems], "aside": sorted(set(loaded.set_aside.why)), "laws": laws,
        "used": int(loaded.ledger.used.sum()), "page": page,
    }  # fmt: skip


if __name__ == "__main__":
    home = Path(sys.argv[1])
    answers = {}
    for name, kind in json.loads(sys.stdin.read()).items():
        answers[name] = isolated(
            lambda name=name, kind=kind: read_hostile(home / "study", name, kind),
            seconds=HOSTILE_SECONDS, memory=HOSTILE_ROOM,
        )  # fmt: skip
    sys.stdout.write(json.dumps(answers))
