"""How our code is built, in figures: `python -m bench.structure [FOLDER]`.

The folder is that of a package, by default ours, and read as text: nothing is imported. A module
imports another where it says so at its head, also for types only; what a function imports when it
is called is counted apart.
"""

import ast
import statistics
import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

SOURCE = Path(__file__).parents[1] / "src" / "platebook"
FUNCTION = (ast.FunctionDef, ast.AsyncFunctionDef)
Graph = Mapping[str, frozenset[str]]


@dataclass(frozen=True)
class Module:
    """One file of ours, by its dotted name; `package` is the top-level folder it lies in."""

    name: str
    text: str
    is_package: bool

    @cached_property
    def tree(self) -> ast.Module:
        """The parsed source."""
        return ast.parse(self.text)

    @property
    def package(self) -> str:
        """The folder of the source that it lies in; the root's own name for what lies in none."""
        parts = self.name.split(".")
        return parts[1] if len(parts) > 2 or (self.is_package and len(parts) > 1) else parts[0]

    @cached_property
    def in_functions(self) -> frozenset[ast.AST]:
        """Every statement and expression inside a function."""
        functions = (n for n in ast.walk(self.tree) if isinstance(n, FUNCTION))
        return frozenset(inner for f in functions for inner in ast.walk(f) if inner is not f)


def modules_in(root: Path) -> dict[str, Module]:
    """The modules under this package's folder, by dotted name."""
    found = {}
    for file in sorted(root.rglob("*.py")):
        parts = [root.name, *file.relative_to(root).with_suffix("").parts]
        is_package = parts[-1] == "__init__"
        name = ".".join(parts[:-1] if is_package else parts)
        found[name] = Module(name, file.read_text(encoding="utf-8"), is_package)
    return found


def _imported(statement: ast.AST, names: Iterable[str]) -> Iterator[str]:
    """The modules of ours that an import statement names."""
    if isinstance(statement, ast.Import):
        yield from (alias.name for alias in statement.names if alias.name in names)
    if isinstance(statement, ast.ImportFrom) and statement.module is not None:
        for alias in statement.names:
            longer = f"{statement.module}.{alias.name}"
            if longer in names:
                yield longer
            elif statement.module in names:
                yield statement.module


def imports(modules: Mapping[str, Module], *, in_functions: bool) -> Graph:
    """Which modules of ours each imports at its head, or with `in_functions` anywhere in it."""
    return {
        name: frozenset(
            imported
            for node in ast.walk(module.tree)
            if in_functions or node not in module.in_functions
            for imported in _imported(node, modules)
            if imported != name
        )
        for name, module in modules.items()
    }


def imports_in_functions(modules: Mapping[str, Module]) -> Counter[str]:
    """How many import statements for modules of ours stand inside functions, by package."""
    return Counter(
        module.package
        for module in modules.values()
        for node in module.in_functions
        if any(_imported(node, modules))
    )


def circles(graph: Graph) -> list[frozenset[str]]:
    """The modules that import each other in a circle, each circle's together."""
    reach = {name: _reached(graph, name) for name in graph}
    together = {
        frozenset(other for other in reach[name] if name in reach[other]) | {name}
        for name in graph
        if name in reach[name]
    }
    return sorted(together, key=sorted)


def _reached(graph: Graph, start: str) -> set[str]:
    reached: set[str] = set()
    ahead = list(graph[start])
    while ahead:
        name = ahead.pop()
        if name not in reached:
            reached.add(name)
            ahead += graph[name]
    return reached


def floors(graph: Graph) -> int:
    """Modules on the longest way down the imports; those of a circle stand on one floor."""
    circle_of = {name: circle for circle in circles(graph) for name in circle}
    height: dict[str, int] = {}

    def height_of(name: str) -> int:
        if name not in height:
            level = circle_of.get(name, frozenset({name}))
            below = {other for one in level for other in graph[one]} - level
            tallest = 1 + max(map(height_of, below), default=0)
            height.update(dict.fromkeys(level, tallest))
        return height[name]

    return max(map(height_of, graph), default=0)


def relays(modules: Mapping[str, Module]) -> list[str]:
    """Functions that only pass a call on.

    After docstring and imports one statement is left: a call of something named, whose arguments
    are names, attributes or constants, with nothing made on the way.
    """
    return [
        f"{name}:{node.name}"
        for name, module in modules.items()
        for node in ast.walk(module.tree)
        if isinstance(node, FUNCTION) and _passes_on(node)
    ]


def _is_ours(relay: str) -> bool:
    """Whether our own code calls it: not `__len__`, `action_close`, `on_resize` and their like."""
    return not relay.partition(":")[2].startswith(("__", "action_", "on_", "list_commands"))


def _passes_on(function: ast.FunctionDef | ast.AsyncFunctionDef) -> bool:
    body = [n for n in function.body if not isinstance(n, ast.Import | ast.ImportFrom)]
    if ast.get_docstring(function) is not None:
        body = body[1:]
    if len(body) != 1 or not isinstance(body[0], ast.Return | ast.Expr):
        return False
    call = body[0].value
    if isinstance(call, ast.Await):
        call = call.value
    return (
        isinstance(call, ast.Call)
        and _is_plain(call.func)
        and all(_is_handed(argument) for argument in call.args)
        and all(_is_handed(keyword.value) for keyword in call.keywords)
    )


def _is_plain(called: ast.expr) -> bool:
    """Whether what is called is a name or an attribute of one."""
    while isinstance(called, ast.Attribute):
        called = called.value
    return isinstance(called, ast.Name)


def _is_handed(argument: ast.expr) -> bool:
    while isinstance(argument, ast.Starred | ast.Attribute):
        argument = argument.value
    return isinstance(argument, ast.Constant | ast.Name)


def lone(modules: Mapping[str, Module], graph: Graph) -> list[str]:
    """Modules that one module of their own package imports, and no other module anywhere."""
    askers: dict[str, set[str]] = {name: set() for name in graph}
    for name, imported in graph.items():
        for other in imported:
            askers[other].add(name)
    return sorted(
        name
        for name, asking in askers.items()
        if len(asking) == 1
        and not modules[name].is_package
        and {modules[one].package for one in asking} == {modules[name].package}
    )


def table(root: Path) -> list[str]:
    """The figures of this package's folder, a line each."""
    modules = modules_in(root)
    head, every = (imports(modules, in_functions=deep) for deep in (False, True))
    lines = [len(module.text.splitlines()) for module in modules.values()]
    inside = imports_in_functions(modules)
    passing = relays(modules)
    figures = [
        ("files", f"{len(modules)}"),
        ("lines, median", f"{statistics.median(lines):.0f}"),
        ("lines, all", f"{sum(lines):,}"),
        ("own modules that a module imports, mean", f"{_mean(head):.1f}"),
        ("  also inside functions", f"{_mean(every):.1f}"),
        ("import floors", f"{floors(head)}"),
        ("  also inside functions", f"{floors(every)}"),
        ("import circles", f"{len(circles(head))}"),
        ("  also inside functions", f"{len(circles(every))}"),
        ("functions that only pass a call on", f"{len(passing)}"),
        ("  but for those that Python, Textual or click call", f"{sum(map(_is_ours, passing))}"),
        ("modules that one of their own package alone imports", f"{len(lone(modules, every))}"),
        ("imports inside functions", f"{inside.total()}"),
        *((f"  {package}", f"{count}") for package, count in inside.most_common()),
    ]
    return [f"{name:54}{figure:>8}" for name, figure in figures]


def _mean(graph: Graph) -> float:
    return statistics.fmean(len(imported) for imported in graph.values())


def main(arguments: list[str]) -> int:
    """Print the figures."""
    root = Path(arguments[0]).resolve() if arguments else SOURCE
    sys.stdout.write("\n".join(table(root)) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
