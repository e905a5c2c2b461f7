"""Small faults put into the program one at a time, to see whether a test fails: python tests/mutation.py --count 100 --seed 1

    python tests/mutation.py                                       300 mutants of the rooms that decide what is safe
    python tests/mutation.py jamcalc/formula/storage.py --count 0  every mutant of one module
    python tests/mutation.py --only jamcalc/jars/filling.py:55     those of one line, each with the test that catches it

The checkout is copied to a temporary folder and every mutant is run there, in a child of a process that holds numpy, scipy, pint and what
no mutant touches: a second or two each instead of ten. The module's own tests run first, then those of its room and the common ones, but
for those that start a process. A mutant that nothing tells from the original stands in mutation_equivalents.toml, with the reason.
"""

from __future__ import annotations

import argparse
import ast
import contextlib
import copy
import importlib
import itertools
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

TESTS = Path(__file__).parent
ROOMS = ("formula", "chemistry", "jars")
COMMON = ("test_laws.py", "test_published.py", "test_contract.py")
# What a room rests on beside its own tests: formula's are the first to notice a fault in the chemistry.
BESIDE = {"formula": ("book/test_book_law.py",), "chemistry": ("formula",), "jars": ("kitchen/test_plan.py",)}
HELD = ("numpy", "scipy.optimize", "scipy.optimize.elementwise", "pint", "rich.console", "pytest", "hypothesis", "phreeqc")
# Above the rooms in the flow: no module here imports from them, so a child may share it.
UNTOUCHED = (
    "errors", "nouns.known", "nouns.said", "nouns.asked", "nouns.written", "nouns.outcome", "words.units", "words.measures",
    "words.phrases", "facts", "reading.several",
)  # fmt: skip
TIME_LIMIT_S = 120.0
LEAST = 1e-3  # constants under this are how near a search goes, and a twentieth more of that is no fault

COMPARED = {
    ast.Lt: (ast.LtE, ast.GtE), ast.LtE: (ast.Lt, ast.Gt), ast.Gt: (ast.GtE, ast.LtE), ast.GtE: (ast.Gt, ast.Lt), ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,), ast.Is: (ast.IsNot,), ast.IsNot: (ast.Is,), ast.In: (ast.NotIn,), ast.NotIn: (ast.In,),
}  # fmt: skip
WORKED_OUT = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Div, ast.Pow: ast.Mult}


@dataclass(frozen=True)
class Mutant:
    """One change to one module."""

    path: str
    line: int
    text: str  # of that line, by which it is known when lines move
    before: str
    after: str
    source: str  # the whole module with the change

    def __str__(self) -> str:
        return f"{self.path}:{self.line} {self.before}  ->  {self.after}"


def changed(node: ast.AST) -> Iterator[ast.AST]:
    """Every small fault that one expression may have."""
    if isinstance(node, ast.Compare):
        for place, operator in enumerate(node.ops):
            for other in COMPARED.get(type(operator), ()):
                new = copy.deepcopy(node)
                new.ops[place] = other()
                yield new
    elif isinstance(node, ast.BinOp) and type(node.op) in WORKED_OUT:
        yield ast.BinOp(left=node.left, op=WORKED_OUT[type(node.op)](), right=node.right)
    elif isinstance(node, ast.BoolOp):
        yield ast.BoolOp(op=ast.Or() if isinstance(node.op, ast.And) else ast.And(), values=node.values)
        yield from node.values  # and each of them alone
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not | ast.USub):
        yield node.operand
    elif isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        if isinstance(node.value, bool):
            yield ast.Constant(value=not node.value)
        elif node.value == 0 or abs(node.value) >= LEAST:
            yield ast.Constant(value=node.value * 1.05 if isinstance(node.value, float) and node.value else node.value + 1)
    elif isinstance(node, ast.Call):
        if isinstance(node.func, ast.Name) and node.func.id in ("max", "min") and len(node.args) > 1:
            yield from node.args
        elif len(node.args) > 1 and not any(isinstance(each, ast.Starred) for each in node.args[:2]):
            yield ast.Call(func=node.func, args=[node.args[1], node.args[0], *node.args[2:]], keywords=node.keywords)
    elif isinstance(node, ast.Tuple) and isinstance(node.ctx, ast.Load) and len(node.elts) > 1 and not isinstance(node.elts[0], ast.Slice):
        yield ast.Tuple(elts=[node.elts[1], node.elts[0], *node.elts[2:]], ctx=node.ctx)


def nodes(tree: ast.AST) -> Iterator[ast.expr]:
    """The expressions that may be changed: no words, no types, no decorators."""
    for field, value in ast.iter_fields(tree):
        if field in ("annotation", "returns", "decorator_list", "bases", "format_spec"):
            continue
        for child in value if isinstance(value, list) else [value]:
            alias = isinstance(child, ast.Assign) and isinstance(child.value, ast.Subscript)  # of a type
            guard = isinstance(child, ast.JoinedStr | ast.Raise | ast.Assert) or getattr(child, "arg", None) == "strict"
            if alias or guard or not isinstance(child, ast.AST):
                continue
            if isinstance(child, ast.expr):
                yield child
            yield from nodes(child)


def mutants(root: Path, path: str) -> list[Mutant]:
    """All mutants of one module, in the order of its lines."""
    raw, found = (root / path).read_bytes(), []
    starts = [0, *itertools.accumulate(map(len, raw.splitlines(keepends=True)))]
    tree = ast.parse(raw)
    tests = {id(each.test) for each in ast.walk(tree) if isinstance(each, ast.If | ast.While | ast.IfExp)}
    wanted = [(node, new) for node in nodes(tree) for new in changed(node)]
    wanted += [(node, ast.UnaryOp(op=ast.Not(), operand=node)) for node in nodes(tree) if id(node) in tests]
    lines = raw.decode().splitlines()
    for node, new in wanted:
        start, end = starts[node.lineno - 1] + node.col_offset, starts[(node.end_lineno or 0) - 1] + (node.end_col_offset or 0)
        after = ast.unparse(ast.fix_missing_locations(new))
        if after == ast.unparse(node):  # two alike in another order
            continue
        source = (raw[:start] + b"(" + after.encode() + b")" + raw[end:]).decode()
        found.append(Mutant(path, node.lineno, lines[node.lineno - 1].strip(), ast.unparse(node), after, source))
    return sorted(found, key=lambda mutant: mutant.line)


def alike(root: Path) -> tuple[set[tuple[str, str, str, str]], list[str]]:
    """The mutants that nothing tells from the original, as mutation_equivalents.toml lists them, and the entries that fit none any more."""
    held = tomllib.loads((TESTS / "mutation_equivalents.toml").read_text(encoding="utf-8"))["mutant"]
    listed = {(each["path"], each["line"], each["before"], each["after"]) for each in held}
    paths = {path for path, *_ in listed if (root / path).exists()}
    there = {(each.path, each.text, each.before, each.after) for path in paths for each in mutants(root, path)}
    return listed, [f"{path}: {before}  ->  {after}  in  {line}" for path, line, before, after in sorted(listed - there)]


def tests_of(root: Path, path: str) -> tuple[list[str], list[str]]:
    """The module's own test file, if it has one, and all the others that are to notice a fault in it."""
    room, name = path.split("/")[1:3]
    own = root / "tests" / room / f"test_{name}"
    every = sorted((root / "tests" / room).glob("test_*.py"))
    for beside in BESIDE.get(room, ()):
        every += sorted((root / "tests").glob(beside if beside.endswith(".py") else f"{beside}/test_*.py"))
    every += [root / "tests" / common for common in COMMON]
    return [str(own)] if own in every else [], [str(each) for each in every if each != own]


class FirstFailure:
    """The test that noticed."""

    name = ""

    def pytest_runtest_logreport(self, report: Any) -> None:
        if report.failed and not self.name:
            self.name = report.nodeid

    pytest_collectreport = pytest_runtest_logreport


def noticed(files: list[str], limit_s: float) -> str | None:
    """The first test in a child process that fails; None where all of them pass."""
    import pytest

    read, write = os.pipe()
    if (child := os.fork()) == 0:
        os.setsid()
        for stream in (0, 1, 2):
            os.dup2(os.open(os.devnull, os.O_RDWR), stream)
        subprocess.Popen = lambda *_, **__: pytest.skip("no processes here")  # type: ignore[assignment,misc]
        first, code = FirstFailure(), 1
        try:
            held = "ignore::pytest.PytestAssertRewriteWarning"  # of what was imported before pytest could look at it
            code = int(pytest.main(["-x", "-q", "-p", "no:cacheprovider", "-W", held, *files], plugins=[first]))
        except BaseException as error:  # whatever ends it ends it here
            first.name = first.name or repr(error)
        os.write(write, (first.name or f"pytest's exit code {code}").encode())
        os._exit(min(code, 1))
    os.close(write)
    until = time.monotonic() + limit_s
    while not (ended := os.waitpid(child, os.WNOHANG))[0] and time.monotonic() < until:
        time.sleep(0.02)
    done, status = ended
    if not done:
        os.killpg(child, signal.SIGKILL)  # a child that leads its own group: nothing else is in it
        os.waitpid(child, 0)
    name = os.read(read, 4000).decode() if done else f"none within {limit_s:.0f} s"
    os.close(read)
    return None if done and status == 0 else name


def run(root: Path, mutant: Mutant) -> str | None:
    """Put a mutant in its place, run the tests and take it out again."""
    place = root / mutant.path
    before, stamp = place.read_bytes(), place.stat()
    place.write_text(mutant.source, encoding="utf-8")
    try:
        return next((name for files in tests_of(root, mutant.path) if files and (name := noticed(files, TIME_LIMIT_S))), None)
    finally:
        place.write_bytes(before)
        os.utime(place, ns=(stamp.st_atime_ns, stamp.st_mtime_ns))  # as the compiled module remembers it


def hold(root: Path) -> None:
    """Import once what every child needs and no mutant changes."""
    os.environ["PYTHONPATH"] = str(root)
    os.chdir(root)
    sys.path[:0] = [str(root), str(root / "tests")]
    for name in (*HELD, *(f"jamcalc.{each}" for each in UNTOUCHED)):
        with contextlib.suppress(ModuleNotFoundError):
            importlib.import_module(name)
    touched = [name for name in sys.modules if name.startswith(tuple(f"jamcalc.{room}" for room in ROOMS))]
    assert not touched, f"held already, so that no mutant of it would be seen: {touched}"


def main() -> int:
    """Run the mutants that were asked for; exit code 1 where under nine in ten are noticed."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("modules", nargs="*", help="paths of modules; none: all of jamcalc/formula, chemistry and jars")
    parser.add_argument("--count", type=int, default=300, help="how many, drawn from all of them; 0: every one")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", metavar="PATH:LINE", help="the mutants of one line, all of them")
    asked = parser.parse_args()
    only, _, line = (asked.only or "").partition(":")
    os.nice(5)
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "checkout"
        shutil.copytree(TESTS.parent, root, ignore=shutil.ignore_patterns(".*", "build", "dist"))
        modules = asked.modules or sorted(str(each.relative_to(root)) for room in ROOMS for each in root.glob(f"jamcalc/{room}/*.py"))
        known, stale = alike(root)
        if stale:
            print("no such line or no such mutant, though mutation_equivalents.toml has it:", *stale, sep="\n    ")
            return 2
        every = [each for path in ([only] if only else modules) for each in mutants(root, path) if line in ("", str(each.line))]
        every = [each for each in every if (each.path, each.text, each.before, each.after) not in known]
        if asked.count and not only:
            every = sorted(random.Random(asked.seed).sample(every, min(asked.count, len(every))), key=lambda each: (each.path, each.line))
        if not every:
            parser.error("there is no mutant there")
        hold(root)
        unchanged = sorted({file for path in {each.path for each in every} for files in tests_of(root, path) for file in files})
        if name := noticed(unchanged, 10 * TIME_LIMIT_S):
            print(f"without any mutant {name} fails: nothing can be learned from it")
            return 2
        sys.dont_write_bytecode = True  # a mutant's would be taken for the original's
        os.environ["PYTHONDONTWRITEBYTECODE"] = "1"
        killed, lived = Counter[str](), Counter[str]()
        for mutant in every:
            name = run(root, mutant)
            (killed if name else lived)[mutant.path] += 1
            if name is None or asked.only:
                print(f"{'lived ' if name is None else 'killed'} {mutant}" + (f"  by {name}" if name else ""), flush=True)
    for path in sorted({*killed, *lived}):
        print(f"{path}: {killed[path]} of {killed[path] + lived[path]} noticed")
    print(f"{killed.total()} of {len(every)} mutants noticed, of {sum(len(mutants(TESTS.parent, path)) for path in modules)} there are")
    return 0 if killed.total() >= 0.9 * len(every) else 1


if __name__ == "__main__":
    sys.exit(main())
