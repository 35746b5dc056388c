"""The built wheel works outside the repository: the notebooks are inside, and the report is made there."""

import os
import shutil
import site
import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).parents[1]


def run(*words, **options) -> str:
    """Run a command and give what it printed."""
    done = subprocess.run([str(word) for word in words], capture_output=True, text=True, check=False, **options)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_a_report_from_the_wheel_in_a_clean_environment(tmp_path):
    """A wheel, installed elsewhere without the checkout on any path, makes the demo report.

    The libraries are lent from the test environment by a path file, which does not follow the editable
    install's own path file, so that the kit itself can only come from the wheel.
    """
    run(sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", tmp_path / "dist", ROOT, cwd=tmp_path)
    venv.create(tmp_path / "clean", with_pip=False)
    folder = tmp_path / "clean" / ("Scripts" if os.name == "nt" else "bin")
    python = folder / "python"
    packages = Path(run(python, "-c", "import site; print(site.getsitepackages()[0])").strip())
    run(sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--no-index", "--target", packages,
        next((tmp_path / "dist").glob("*.whl")), cwd=tmp_path)  # fmt: skip
    (packages / "lent.pth").write_text("\n".join(site.getsitepackages()) + "\n")
    study = shutil.copytree(ROOT / "synthetic_data" / "one_choir", tmp_path / "one_choir",
                            ignore=shutil.ignore_patterns("private", "reports"))  # fmt: skip
    where = run(python, "-c", "import kit; print(kit.__file__)", cwd=tmp_path).strip()
    assert Path(where).is_relative_to(packages)
    page = Path(run(python, "-m", "kit", "report", study, "--for", "educator", cwd=tmp_path).splitlines()[-1])
    assert page.is_file()
    assert "Term review" in page.read_text(encoding="utf-8")
