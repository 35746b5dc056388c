"""Calling pandoc: one binary that comes as a package, which reads and writes nothing but what it is handed."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Sequence
from functools import cache
from pathlib import Path

from kit.report.document.parts import DocumentError

LONGEST = 300
"""Seconds after which pandoc is stopped."""
NO_DAY = "315532800"
"""1 January 1980 in seconds, the first day that a packed file can carry: the same page gives the same bytes."""


def run_pandoc(words: Sequence[str], *, text: bytes = b"") -> bytes:
    """Run pandoc.

    Parameters
    ----------
    words : sequence of str
        Its options.
    text : bytes, optional
        What it reads.

    Returns
    -------
    bytes
        What it prints.

    Raises
    ------
    DocumentError
        If it does not start (there are packages whose binary is for another processor), fails, or takes too long.
    """
    try:
        done = subprocess.run(
            [str(_binary()), *words], input=text, capture_output=True, timeout=LONGEST, check=False,
            env={**os.environ, "SOURCE_DATE_EPOCH": NO_DAY},
        )  # fmt: skip
    except OSError as refused:
        raise DocumentError(
            f"pandoc, which writes for Word, does not start on this machine ({refused.strerror}). "
            "The page and the PDF need no pandoc: --to html,pdf."
        ) from refused
    except subprocess.TimeoutExpired as late:
        raise DocumentError(f"pandoc was stopped after {LONGEST} seconds; the page is too long for Word.") from late
    if done.returncode:
        raise DocumentError(f"pandoc could not write for Word: {done.stderr.decode(errors='replace').strip()[:300]}")
    return done.stdout


@cache
def _binary() -> Path:
    """Find the binary inside the package, whatever else is installed on this machine."""
    import pypandoc  # noqa: PLC0415 - of the extra "documents"

    inside = sorted((Path(pypandoc.__file__).parent / "files").glob("pandoc*"))
    return next((path for path in inside if path.suffix in ("", ".exe")), None) or Path(pypandoc.get_pandoc_path())
