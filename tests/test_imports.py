"""Imports run downward only, and what lies below the screens knows nothing of them."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
SOURCE = ROOT / "workshop"

LAYERS = (
    {"tui", "sheets", "cli", "options", "terminal", "exports", "settings_text", "__main__"},
    {
        "brought",
        "settings",
        "plan",
        "layout_figures",
        "schedule",
        "costing",
        "lift_states",
        "lift_table",
        "moved_deadlines",
        "standing",
        "shapes",
        "filling",
        "checking",
        "likeliest",
        "journal",
        "journal_entries",
        "striking",
        "meanwhile",
        "stock",
        "returning",
        "shelf",
        "to_weigh",
    },
    {"stages", "calculators", "pictures", "cure_course", "cure_inputs", "cure_sources"},
    {"layout"},
    {"resin_sheet"},
    {"desk", "trade", "project", "outlines"},
    {"calculator", "reference", "figures", "quantity", "factors", "clock", "raster"},
)
"""From the screens down. A module may import from its own layer and from those below."""

ALONE = {
    "trade": {"trade", "reference", "figures", "quantity"},
    "outlines": {"outlines", "trade", "quantity"},
}
"""What a part may import at most: the trade knows no project and no stage."""


def rank(part: str) -> int:
    """Where a part stands, 0 the highest."""
    found = [place for place, layer in enumerate(LAYERS) if part in layer]
    assert found, f"workshop.{part} stands in no layer: add it to LAYERS"
    return found[0]


def modules() -> Iterator[tuple[str, Path]]:
    """Every module of the program as dotted name and file."""
    for file in sorted(SOURCE.rglob("*.py")):
        dotted = ".".join(file.relative_to(ROOT).with_suffix("").parts)
        yield dotted.removesuffix(".__init__"), file


def imported(file: Path, module: str) -> Iterator[tuple[str, bool]]:
    """Every module that a file imports anywhere, and whether only for the type checker."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    for_types = {id(node) for branch in ast.walk(tree) if _is_for_types(branch) for node in ast.walk(branch)}
    package = module if file.name == "__init__.py" else module.rpartition(".")[0]
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((alias.name, id(node) in for_types) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                parents = package.split(".")[: len(package.split(".")) - node.level + 1]
                base = ".".join([*parents, base] if base else parents)
            for alias in node.names:
                # `from workshop import plan` names a module, `from workshop.plan import plan` what is in it.
                yield f"{base}.{alias.name}" if base == "workshop" else base, id(node) in for_types


def _is_for_types(node: ast.AST) -> bool:
    return isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test)


MODULES = tuple(modules())


def test_the_whole_program_is_looked_at() -> None:
    assert {"workshop.quantity", "workshop.trade.timber", "workshop.project.changes"} <= dict(MODULES).keys()


@pytest.mark.parametrize(("module", "file"), MODULES, ids=[module for module, _ in MODULES])
def test_imports_run_downward(module: str, file: Path) -> None:
    if module == "workshop":
        return
    part = module.split(".")[1]
    for name, for_types in imported(file, module):
        package, _, rest = name.partition(".")
        if package != "workshop" or not rest:
            continue
        other = rest.split(".")[0]
        if not for_types:
            assert rank(other) >= rank(part), f"{module} imports {name} from a layer above it"
        allowed = ALONE.get(part)
        assert allowed is None or other in allowed, f"{module} imports {name}, which it should not know"


@pytest.mark.parametrize(("module", "file"), MODULES, ids=[module for module, _ in MODULES])
def test_only_the_screens_import_textual(module: str, file: Path) -> None:
    if module.startswith("workshop.tui"):
        return
    outside = {name.partition(".")[0] for name, _ in imported(file, module)}
    assert "textual" not in outside, f"{module} imports textual"


@pytest.mark.parametrize(
    "module",
    [
        "workshop.plan",
        "workshop.shapes",
        "workshop.calculators",
        "workshop.stages",
        "workshop.project.store",
        "workshop.cli",
    ],
)
def test_the_core_runs_without_textual(module: str) -> None:
    ask = f"import sys, {module}; print(*sys.modules)"
    if module == "workshop.calculators":
        ask = f"import sys, {module} as held; held.catalogue(); print(*sys.modules)"
    loaded = subprocess.run(
        [sys.executable, "-c", ask], cwd=ROOT, capture_output=True, text=True, timeout=60, check=False
    )
    assert loaded.returncode == 0, loaded.stderr
    names = loaded.stdout.split()
    assert module in names
    screens = [name for name in names if name.split(".")[0] == "textual" or name.startswith("workshop.tui")]
    assert not screens, f"importing {module} loads {screens[:3]}"


@pytest.mark.parametrize("slow", ["pint", "numpy", "scipy", "shapely"])
def test_the_first_paint_waits_for_no_library_it_does_not_need(slow: str) -> None:
    ask = "import sys, workshop.quantity, workshop.figures, workshop.clock; print(*sys.modules)"
    loaded = subprocess.run(
        [sys.executable, "-c", ask], cwd=ROOT, capture_output=True, text=True, timeout=60, check=True
    )
    assert slow not in loaded.stdout.split()
