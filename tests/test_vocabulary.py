"""One word: each statistic is a function, a glossary word, a source and a reference file; nothing is left over."""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
import re
from collections import Counter
from pathlib import Path

import pytest

import kit.stats
from kit.glossary import GLOSSARY
from kit.sources import SOURCES

ROOT = Path(__file__).parents[1]
REFERENCE = Path(__file__).parent / "reference"
KEY = re.compile(r"``([a-z0-9-]+)``")


def functions(returns):
    """Give (name, function) of every public function of kit.stats that returns this."""
    for module in pkgutil.walk_packages(kit.stats.__path__, "kit.stats."):
        for name, function in inspect.getmembers(importlib.import_module(module.name), inspect.isfunction):
            own = function.__module__ == module.name and not name.startswith("_")
            if own and inspect.get_annotations(function).get("return") == returns:
                yield name, function


STATISTICS = list(functions("Estimate"))
TOOLS = [pair for pair in functions("Interval") if pair[1].__module__ == "kit.stats.resampling"]
NAMES = [name for name, _ in STATISTICS]


def written_sources():
    """Give every text written after ``source=`` or ``interval_source=`` in kit, with its file."""
    for path in sorted((ROOT / "kit").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.keyword) and node.arg == "source":
                for part in ast.walk(node.value):
                    if isinstance(part, ast.Constant) and isinstance(part.value, str):
                        yield path.relative_to(ROOT).as_posix(), part.value


def test_there_are_statistics():
    """The search finds the statistics, so the tests below cannot pass on nothing."""
    assert {"mean_gain", "d_pre", "share_wilson", "count", "correlation", "detectable_gain"} <= set(NAMES)
    assert {name for name, _ in TOOLS} == {"bootstrap_bca", "bootstrap_percentile"}


def test_names_are_unique():
    """No two statistics share a name."""
    assert [name for name, times in Counter(NAMES).items() if times > 1] == []


def test_glossary_is_complete_and_nothing_is_left_over():
    """Each statistic has a glossary word, and each word a statistic."""
    assert set(GLOSSARY) == set(NAMES)


def test_reference_files_are_complete_and_nothing_is_left_over():
    """Each statistic and each resampling tool has a reference file, and each file one of them; R scripts likewise."""
    expected = {*NAMES, *(name for name, _ in TOOLS)}
    assert {path.stem for path in REFERENCE.glob("*.json")} == expected
    assert {path.stem for path in REFERENCE.glob("*.R")} <= expected


def test_test_files_follow_the_modules():
    """Each module of kit.stats has a test file of its name, and each test file a module."""
    stats, tests = ROOT / "kit/stats", ROOT / "tests/stats"
    modules = {str(path.relative_to(stats)) for path in stats.rglob("*.py") if path.name != "__init__.py"}
    tested = {str(path.relative_to(tests)).replace("test_", "") for path in tests.rglob("test_*.py")}
    assert tested == modules | {"every_statistic.py"}


@pytest.mark.parametrize("name", NAMES)
def test_word_is_plain(name):
    """A word is filled in, its meaning has at most three sentences, and its source exists."""
    word = GLOSSARY[name]
    assert word.name == name
    assert word.words == word.words.strip(" .")
    assert word.words
    assert word.unit
    assert 1 <= len(re.findall(r"[.!?](?:\s|$)", word.meaning)) <= 3
    assert word.source in SOURCES


def test_words_are_unique():
    """No two statistics are called the same in print."""
    assert [words for words, times in Counter(word.words for word in GLOSSARY.values()).items() if times > 1] == []


@pytest.mark.parametrize(("name", "function"), STATISTICS + TOOLS)
def test_docstring_is_complete(name, function):
    """Each statistic says shapes, missing values, assumption, refusals, formula and text, and shows an example."""
    text = inspect.getdoc(function)
    order = [text.index(f"\n{section}\n---") for section in
             ("Parameters", "Returns", "Raises", "Notes", "References", "Examples")]  # fmt: skip
    assert order == sorted(order)
    assert "assum" in text
    assert "missing" in text
    assert ">>> " in text
    keys = KEY.findall(text[order[-2] : order[-1]])
    assert keys
    assert set(keys) <= set(SOURCES)


@pytest.mark.parametrize(("name", "function"), STATISTICS)
def test_estimate_is_named_like_its_function(name, function):
    """A statistic takes `about` by keyword and builds its estimate under its own name."""
    assert inspect.signature(function).parameters["about"].kind is inspect.Parameter.KEYWORD_ONLY
    assert f'"{name}"' in inspect.getsource(function)


def test_written_sources_exist():
    """Every source key written in kit is known."""
    assert [(path, key) for path, key in written_sources() if path.startswith("kit/stats") and key not in SOURCES] == []


def test_sources_are_filed_under_their_keys():
    """Each source stands under its key, is printed in one line, and says whether it was seen."""
    for key, source in SOURCES.items():
        assert source.key == key
        assert re.fullmatch(r"[a-z0-9-]+", key)
        assert source.reference.count("\n") == 0
        assert ("(cited from memory)" in source.reference) == (source.status == "from memory")
