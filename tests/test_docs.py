"""The documents are true: every path exists, every module is on the map, the commands are those that run."""

import pkgutil
import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
MAP = " ".join(DEVELOPERS.partition("## Floors")[0].split())


def test_developers_is_short():
    """The map for developers fits into 150 lines."""
    assert len(DEVELOPERS.splitlines()) <= 150


def test_every_module_is_on_the_map():
    """Each module of the kit is named in DEVELOPERS.md, after its package."""
    missing = []
    for path in (ROOT / "kit").rglob("*.py"):
        package = path.parent.name + "/" if path.parent != ROOT / "kit" else "kit/"
        if path.name != "__init__.py" and path.name not in MAP.partition(f" {package} ")[2]:
            missing.append(str(path.relative_to(ROOT)))
    assert missing == []


def leads_somewhere(name: str) -> bool:
    """Say whether a dotted name leads to a module, or to something in one."""
    try:
        return pkgutil.resolve_name(name) is not None
    except (ImportError, AttributeError):
        return False


def test_every_name_of_the_kit_leads_somewhere():
    """Docstrings, the README and notebooks name nothing of the kit that is not there, or no longer."""
    files = [*(ROOT / "kit").rglob("*.py"), *(ROOT / "notebooks").glob("*.ipynb"), ROOT / "README.md"]
    named = {
        (name, path.name) for path in files
        for name in re.findall(r"(?<![\w.])kit(?:\.[A-Za-z_]\w*)+", path.read_text(encoding="utf-8"))
    }  # fmt: skip
    assert len(named) > 500
    assert [found for found in sorted(named) if not leads_somewhere(found[0])] == []


@pytest.mark.parametrize(
    "path", sorted(set(re.findall(r"`((?:kit|tests|notebooks|synthetic_data)/[\w./]*[\w/])`", README + DEVELOPERS)))
)
def test_every_path_named_exists(path):
    """A path in the documents leads somewhere."""
    assert (ROOT / path).exists()


def test_pictures_exist():
    """Every picture of the README is there."""
    pictures = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", README)
    assert pictures
    assert [picture for picture in pictures if not (ROOT / picture).is_file()] == []


def test_the_first_command_is_on_the_first_screen():
    """A reader meets the first command within one screen, after what the kit is for."""
    lines = README.splitlines()
    assert lines.index("```sh") < 30


def test_no_registry_host_and_no_lock_file():
    """No file names a package registry's host; there is no lock file."""
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.split(
        "\n"
    )
    hosts = re.compile(
        r"(?:" + "|".join(["py" + r"pi\.(?:org|python)", "files" + r"\.pythonhosted", "registry" + r"\.npmjs"]) + ")"
    )
    found = [
        name for name in tracked
        if (ROOT / name).is_file() and not name.endswith((".png", ".xlsx", ".pdf"))
        and hosts.search((ROOT / name).read_text(encoding="utf-8", errors="ignore"))
    ]  # fmt: skip
    assert found == []
    assert [name for name in tracked if name.endswith(".lock")] == []
