"""The house keeps its order: who may import whom, and what every module owes its reader."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[1] / "plansgen"

# From the ground up. Rooms of one line may use each other; nobody may use a later line.
ORDER = (
    ("__init__", "atmosphere", "problems", "quantity"),
    ("library", "data"),
    ("airframe",),
    ("balance",),
    ("drive",),
    ("flight",),
    ("structure",),
    ("controls",),
    ("alternatives",),
    ("patterns",),
    ("review",),
    ("published",),
    ("dossier",),
    ("changes",),
    ("figures",),
    ("site",),
    ("starter",),
    ("cli_shared", "cli_library", "cli_print", "cli_start", "cli", "__main__"),
)
LEVEL = {room: level for level, rooms in enumerate(ORDER) for room in rooms}

# What declared packages themselves are made of, and always bring.
BROUGHT = {"markupsafe": "jinja2", "pydantic_core": "pydantic"}

LONGEST = 400  # lines of one module


@dataclass(frozen=True)
class Module:
    """One module of the package, read but not run."""

    name: str  # as a path below the package
    text: str

    @cached_property
    def tree(self) -> ast.Module:
        return ast.parse(self.text)

    @property
    def room(self) -> str:
        return self.name.split("/")[0].removesuffix(".py")


MODULES = tuple(
    Module(path.relative_to(PACKAGE).as_posix(), path.read_text("utf-8"))
    for path in sorted(PACKAGE.rglob("*.py"))
)


def imported(module: Module) -> Iterator[str]:
    """Every name a module imports, also inside functions and for type checking, with dots."""
    package = ["plansgen", *module.name.split("/")[:-1]]
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            start = ".".join([*base, *([node.module] if node.module else [])])
            yield start
            yield from (f"{start}.{alias.name}" for alias in node.names)


def rooms_used(module: Module) -> set[str]:
    names = [name.split(".") for name in imported(module)]
    used = {parts[1] for parts in names if parts[0] == "plansgen" and len(parts) > 1}
    return used & {other.room for other in MODULES}


def outside(module: Module, package: str) -> bool:
    """Whether a module imports a package that is not ours."""
    return any(name == package or name.startswith(f"{package}.") for name in imported(module))


def test_imports_are_found_wherever_they_stand() -> None:
    text = (
        "import numpy as np\n"
        "from . import models\n"
        "from ..site.build import x\n"
        "def f():\n    from plansgen.figures import all\n"
    )
    module = Module("library/made_up.py", text)
    assert {"numpy", "plansgen.library.models", "plansgen.site.build", "plansgen.figures.all"} <= (
        set(imported(module))
    )
    assert rooms_used(module) == {"library", "site", "figures"}


def test_every_room_has_its_place() -> None:
    assert {module.room for module in MODULES} <= set(LEVEL)


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.name)
def test_no_module_imports_from_above(module: Module) -> None:
    above = sorted(room for room in rooms_used(module) if LEVEL[room] > LEVEL[module.room])
    assert not above, f"{module.name} may not import {', '.join(above)}"


def test_reading_a_design_needs_no_arrays() -> None:
    assert [m.name for m in MODULES if m.room == "library" and outside(m, "numpy")] == []


def test_what_is_imported_is_installed_with_the_package() -> None:
    """A fresh install brings only declared dependencies; tests and tools bring more."""
    project = tomllib.loads((PACKAGE.parent / "pyproject.toml").read_text("utf-8"))["project"]
    declared = {re.split(r"[^\w-]", wanted)[0] for wanted in project["dependencies"]}
    known = packages_distributions()
    roots = {name.split(".")[0] for m in MODULES for name in imported(m)}
    foreign = {BROUGHT.get(name, name) for name in roots}
    foreign -= {"plansgen", *sys.stdlib_module_names}
    missing = {
        name
        for name in foreign
        if not {d.lower().replace("_", "-") for d in known.get(name, [name])} & declared
    }
    assert missing == set()


def test_one_module_knows_the_site_engine() -> None:
    assert [m.name for m in MODULES if outside(m, "mkdocs")] == ["site/engine.py"]


def test_figures_share_no_global_state() -> None:
    assert [m.name for m in MODULES if outside(m, "matplotlib.pyplot")] == []


def test_pages_and_commands_are_the_only_ones_that_know_a_terminal_or_a_server() -> None:
    allowed = {"site", "cli", "cli_library", "cli_print", "cli_shared", "cli_start", "__main__"}
    users = {m.room for m in MODULES for tool in ("click", "rich", "http") if outside(m, tool)}
    assert users <= allowed


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.name)
def test_a_module_stays_short(module: Module) -> None:
    lines = len(module.text.splitlines())
    assert lines <= LONGEST


def public(module: Module) -> Iterator[ast.AST]:
    """The module, and its public functions, classes and methods."""
    tree = module.tree
    yield tree
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            if node.name.startswith("_"):
                continue
            yield node
            if isinstance(node, ast.ClassDef):
                yield from _methods(node)


def _methods(node: ast.ClassDef) -> Iterator[ast.AST]:
    bases = {base.id for base in node.bases if isinstance(base, ast.Name)}
    for part in node.body:
        # A protocol's members are described where they are implemented.
        is_public = isinstance(part, ast.FunctionDef) and not part.name.startswith("_")
        if is_public and "Protocol" not in bases:
            yield part


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.name)
def test_everything_public_says_what_it_is(module: Module) -> None:
    silent = [
        getattr(node, "name", "the module")
        for node in public(module)
        if not ast.get_docstring(node)  # type: ignore[arg-type]
    ]
    assert not silent, f"{module.name}: no docstring: {', '.join(silent)}"
