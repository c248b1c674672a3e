"""Who may import whom: the contracts of pyproject.toml hold, and each of them can fail."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
LINT = [
    sys.executable,
    "-c",
    "from importlinter.cli import lint_imports_command as lint; lint()",
    "--no-cache",
]


def lint(folder):
    return subprocess.run(LINT, cwd=folder, capture_output=True, check=False, timeout=60, text=True)


def test_the_contracts_are_kept():
    done = lint(ROOT)
    assert done.returncode == 0, done.stdout
    assert " 0 broken." in done.stdout


BREACHES = {
    "a stage imports a stage": ("sheet/_extra.py", "cutopt.planfile", "Layers"),
    "the check looks at the planner": ("check/_extra.py", "cutopt.planner.joints", "Layers"),
    "data knows a stage": ("model/extra.py", "cutopt.layout", "Layers"),
    "units know the data": ("units/_extra.py", "cutopt.model.job", "Layers"),
    "data knows errors": ("model/extra.py", "cutopt.errors", "Layers"),
    "the pipeline knows the command line": ("planner/extra.py", "cutopt.cli.app", "Layers"),
    "a stage calls the pipeline": ("numbering/_extra.py", "cutopt.pipeline", "Layers"),
    "the check reads the rule book": ("check/_extra.py", "cutopt.rulebook", "The job file alone"),
    "arrays in the check": ("check/_extra.py", "numpy", "The independent check"),
    "shapes elsewhere in the check": ("check/_extra.py", "shapely", "The independent check"),
    "the solver in the layout": ("layout/_extra.py", "ortools", "Only the planner"),
    "shapes in the sheet": ("sheet/_extra.py", "shapely", "Arrays and shapes"),
    "pages in the workbook": ("workbook/_extra.py", "reportlab", "Only the drawing"),
    "a workbook in the sheet": ("sheet/_extra.py", "xlsxwriter", "Only the workbook"),
    "a cluster in the pipeline": ("pipeline/_extra.py", "distributed", "One module knows the cluster"),
    "a terminal in the planner": ("planner/extra.py", "rich", "Only the command line"),
}


@pytest.mark.parametrize(("file", "imported", "contract"), BREACHES.values(), ids=BREACHES)
def test_a_breach_is_found(tmp_path, file, imported, contract):
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    shutil.copytree(ROOT / "cutopt", tmp_path / "cutopt", ignore=shutil.ignore_patterns("__pycache__"))
    (tmp_path / "cutopt" / file).write_text(f"import {imported}\n", encoding="utf-8")
    done = lint(tmp_path)
    broken = [line for line in done.stdout.splitlines() if line.endswith("BROKEN") or " BROKEN (" in line]
    assert done.returncode == 1
    assert any(line.startswith(contract) for line in broken), done.stdout


def test_a_module_in_no_layer_is_found(tmp_path):
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    shutil.copytree(ROOT / "cutopt", tmp_path / "cutopt", ignore=shutil.ignore_patterns("__pycache__"))
    (tmp_path / "cutopt" / "helpers.py").write_text("", encoding="utf-8")
    done = lint(tmp_path)
    assert done.returncode == 1
    assert "helpers" in done.stdout
