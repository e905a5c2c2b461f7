"""The layout, read from the folders: a folder imports only from those above it in the list, and each outside library has one door.

Within a folder modules may use one another but never in a circle. Imports inside functions and under TYPE_CHECKING count too.
"""

from __future__ import annotations

import ast
import re
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path
from typing import get_args

import pytest

import jamcalc
from jamcalc import facts
from jamcalc.nouns.known import Fitness

PACKAGE = Path(jamcalc.__file__).parent

# In the order of the flow; `errors` is a module, all else a folder. `formula` is not called `batch`: it would hide jamcalc.batch.
FLOW = (
    "errors", "nouns", "words", "facts", "reading", "pasted", "chemistry", "jars", "formula", "answers", "labels", "recipes", "kitchen",
    "kept", "lessons", "book", "prints", "screens", "api", "guide", "cli",
)  # fmt: skip
DOOR = ("__init__", "__main__")  # the package's own, which open on everything

MODULES = sorted(
    ".".join(path.relative_to(PACKAGE).with_suffix("").parts).removesuffix(".__init__")
    for path in PACKAGE.rglob("*.py")
    if "__pycache__" not in path.parts
)
INSIDE = tuple(module for module in MODULES if module not in DOOR)
FOLDERS = tuple(folder for folder in FLOW if (PACKAGE / folder).is_dir())

UPWARDS = {("nouns.outcome", "answers.record"): "an answer can always be recorded: BatchResult.to_dict()"}
OPENED_BY = {
    "pint": {"words.units"},
    "scipy": {"chemistry.roots"},
    "rich": {"screens.*", "guide.guide_screen"},
}
MAY_PRINT = {"cli.main", "words.complaint", "screens.output"}
MAY_WRITE_FILES = {"reading.safefile", "book.file"}
NOUNS = {"nouns.known", "nouns.said", "nouns.asked", "nouns.written", "nouns.outcome"}  # nothing but nouns: these speak for themselves
MOST_MODULES = 12
MOST_LINES = 340
MOST_LINES_OF_A_FUNCTION = 60
# Names that said another thing in every module: a match, a plan, an ingredient.
VAGUE = {"each", "found", "has", "made"}
OPTIONS_SO_CALLED = {"api": {"found"}, "book.python": {"made"}}  # written by a caller: check(..., found="runny"), keep(..., made=day)
LONGER = {
    "cli.command_table": "every command and option in one table, words and help",
    "api": "the four calls with every option typed and told: help, and few lines that do anything",
    "reading.recipefile": "every key of a recipe file, read in one place",
}


def file_of(module: str) -> Path:
    path = PACKAGE.joinpath(*module.split("."))
    return path / "__init__.py" if path.is_dir() else path.with_suffix(".py")


def folder_of(module: str) -> str:
    return module.partition(".")[0]


@cache
def tree(module: str) -> ast.Module:
    return ast.parse(file_of(module).read_text(encoding="utf-8"))


@cache
def imported(module: str) -> frozenset[str]:
    """The modules of the package that a module imports, wherever in it."""
    names: set[str] = set()
    for node in ast.walk(tree(module)):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module}: a relative import"
            first, _, rest = (node.module or "").partition(".")
            if first == "jamcalc":
                inner = [f"{rest}.{alias.name}".lstrip(".") for alias in node.names]
                names |= {name if name in MODULES else rest or "__init__" for name in inner}
        elif isinstance(node, ast.Import):
            names |= {alias.name.removeprefix("jamcalc.") for alias in node.names if alias.name.startswith("jamcalc.")}
    return frozenset(names - {module})


def outside(node: ast.AST) -> set[str]:
    """The top names of what is imported below a node."""
    names = set()
    for inner in ast.walk(node):
        if isinstance(inner, ast.ImportFrom):
            names.add((inner.module or "").split(".")[0])
        elif isinstance(inner, ast.Import):
            names |= {alias.name.split(".")[0] for alias in inner.names}
    return names


def calls(module: str) -> list[ast.Call]:
    return [node for node in ast.walk(tree(module)) if isinstance(node, ast.Call)]


def test_every_module_stands_in_a_folder_of_the_flow() -> None:
    new = {folder_of(module) for module in INSIDE} - set(FLOW)
    assert not new, "put it into FLOW above, below what it imports"


@pytest.mark.parametrize("module", INSIDE)
def test_imports_go_down_the_flow_only(module: str) -> None:
    level = FLOW.index(folder_of(module))
    wrong = {
        other for other in imported(module) if other not in DOOR and FLOW.index(folder_of(other)) > level and (module, other) not in UPWARDS
    }
    assert not wrong, f"{module} must not import {sorted(wrong)}"


@pytest.mark.parametrize("folder", FOLDERS)
def test_a_folder_turns_in_no_circle(folder: str) -> None:
    modules = [module for module in INSIDE if folder_of(module) == folder]
    within = {module: {other for other in imported(module) if folder_of(other) == folder} for module in modules}
    try:
        TopologicalSorter(within).prepare()
    except CycleError as error:
        pytest.fail(" -> ".join(error.args[1]))


@pytest.mark.parametrize("folder", FOLDERS)
def test_a_folder_is_small_and_says_what_it_is(folder: str) -> None:
    modules = [module for module in INSIDE if module.startswith(f"{folder}.")]
    assert len(modules) <= MOST_MODULES, (
        f"{folder} holds {len(modules)} modules, and {MOST_MODULES} are the most: put what is small with its kin"
    )
    assert ast.get_docstring(tree(folder)), f"{folder}/__init__.py has no docstring"


def test_every_exception_is_still_needed() -> None:
    assert {(module, other) for module, other in UPWARDS if other in imported(module)} == set(UPWARDS)
    assert {module for module in LONGER if length(module) > MOST_LINES} == set(LONGER)


@pytest.mark.parametrize("library", OPENED_BY)
def test_each_library_has_its_door(library: str) -> None:
    doors = OPENED_BY[library]
    users = {module for module in MODULES if library in outside(tree(module))}
    assert users
    assert not {module for module in users if module not in doors and f"{folder_of(module)}.*" not in doors}


@pytest.mark.parametrize("library", ["pint", "scipy", "numpy"])
def test_what_is_slow_to_import_is_imported_in_functions(library: str) -> None:
    for module in MODULES:
        imports = [node for node in ast.walk(tree(module)) if isinstance(node, ast.Import | ast.ImportFrom) and library in outside(node)]
        functions = [node for node in ast.walk(tree(module)) if isinstance(node, ast.FunctionDef)]
        inside = {id(node) for function in functions for node in ast.walk(function)}
        assert all(id(node) in inside for node in imports), f"{module} imports {library} at its top"


def test_no_module_goes_by_another_name() -> None:
    renamed = [
        f"{module}: {alias.name} as {alias.asname}"
        for module in MODULES
        for node in ast.walk(tree(module))
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("jamcalc")
        for alias in node.names
        if alias.asname
    ]
    assert not renamed


def test_only_the_command_line_prints() -> None:
    assert {
        module for module in MODULES if any(isinstance(call.func, ast.Name) and call.func.id == "print" for call in calls(module))
    } == MAY_PRINT


def test_only_the_writer_and_the_book_write_files() -> None:
    assert {module for module in MODULES if any(_writes(call) for call in calls(module))} == MAY_WRITE_FILES


def _writes(call: ast.Call) -> bool:
    """Whether a call opens a file to write, or moves, makes or removes one."""
    function = call.func
    name = function.id if isinstance(function, ast.Name) else function.attr if isinstance(function, ast.Attribute) else ""
    if name == "open":
        texts = [value.value for value in (*call.args, *(word.value for word in call.keywords)) if isinstance(value, ast.Constant)]
        return any(isinstance(text, str) and len(text) <= 3 and set(text) & set("wax+") for text in texts)
    if not isinstance(function, ast.Attribute):
        return False
    of_os = isinstance(function.value, ast.Name) and function.value.id in ("os", "shutil")
    return name in ("write_bytes", "mkdir", "makedirs", "touch", "unlink", "rmdir") or (
        of_os and name in ("replace", "rename", "remove", "move")
    )


def test_the_check_for_writing_sees_it() -> None:
    for text in ('open(x, "w")', 'path.open("ab")', "path.unlink()", "os.replace(a, b)", 'open(x, mode="x")'):
        assert _writes(ast.parse(text).body[0].value), text  # type: ignore[attr-defined]
    for text in ('path.open("rb")', "open(x)", "text.replace(a, b)", "replace(result, a=1)"):
        assert not _writes(ast.parse(text).body[0].value), text  # type: ignore[attr-defined]


def length(module: str) -> int:
    return len(file_of(module).read_text(encoding="utf-8").splitlines())


@pytest.mark.parametrize("module", MODULES)
def test_a_module_can_be_read_in_a_sitting(module: str) -> None:
    assert ast.get_docstring(tree(module)), f"{module} has no docstring"
    assert module in LONGER or length(module) <= MOST_LINES, f"{module} has {length(module)} lines, {MOST_LINES} are the most: divide it"


@pytest.mark.parametrize("module", MODULES)
def test_public_functions_and_classes_say_what_they_do(module: str) -> None:
    parts = [node for node in tree(module).body if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_")]
    silent = [node.name for node in parts if not ast.get_docstring(node)]
    assert module in NOUNS or not silent, f"{module}: {', '.join(silent)}"
    # the nouns speak for themselves; what they do must not be left unsaid there either
    methods = [each for node in parts if isinstance(node, ast.ClassDef) for each in node.body if isinstance(each, ast.FunctionDef)]
    assert module not in NOUNS or all(ast.get_docstring(each) for each in methods if not each.name.startswith("_"))


def outside_a_folder() -> list[str]:
    """Test files whose folder is none of the package's."""
    tests = Path(__file__).parent
    return sorted(path.parent.name for path in tests.glob("*/test_*.py") if path.parent.name not in FLOW)


def test_the_tests_mirror_the_folders() -> None:
    assert not outside_a_folder()


def test_a_function_is_seen_at_a_glance() -> None:
    """The lines of its body, without its docstring: what it takes is told by its name, and may be many options."""
    long = set()
    for module in INSIDE:
        for node in ast.walk(tree(module)):
            if isinstance(node, ast.FunctionDef):
                first = node.body[0] if ast.get_docstring(node) is None else node.body[1] if len(node.body) > 1 else node
                if (node.end_lineno or 0) - first.lineno > MOST_LINES_OF_A_FUNCTION:
                    long.add(f"{module}.{node.name}")
    assert not long


def vague(node: ast.AST) -> set[str]:
    """Of the names that said another thing in every module, those that a piece of code binds or defines.

    A field is read with its noun, as in state.found, and stays.
    """
    classes = [part for part in ast.walk(node) if isinstance(part, ast.ClassDef)]
    fields = {id(line.target) for part in classes for line in part.body if isinstance(line, ast.AnnAssign)}
    names = [part for part in ast.walk(node) if isinstance(part, ast.Name) and isinstance(part.ctx, ast.Store)]
    bound = {part.id for part in names if id(part) not in fields}
    bound |= {part.arg for part in ast.walk(node) if isinstance(part, ast.arg)}
    bound |= {part.name.strip("_") for part in ast.walk(node) if isinstance(part, ast.FunctionDef | ast.ClassDef)}
    return bound & VAGUE


@pytest.mark.parametrize("module", INSIDE)
def test_a_local_is_called_what_it_is(module: str) -> None:
    """An option of that name, which a caller writes, stays."""
    assert vague(tree(module)) == OPTIONS_SO_CALLED.get(module, set())


def test_the_check_for_vague_names_sees_them() -> None:
    for line in ("found = 1", "for each in rows: pass", "lambda made: 1", "def _has(row): pass", "[each for each in rows]", "(found := 1)"):
        assert vague(ast.parse(line)), line
    assert vague(ast.parse("class Row:\n    jars: int\n    def total(self):\n        made: int = self.jars"))
    for line in ("row.made = call(found=1)", "class Row:\n    made: date"):
        assert not vague(ast.parse(line)), line


def test_no_rendering_keeps_sets_of_ids() -> None:
    """What a finding is to a reader is its kind, said where it is made."""
    ids = set(facts.table("cautions"))
    for module in INSIDE:
        ids |= set(re.findall(r'Finding\(\s*id="([a-z-]+)"', file_of(module).read_text(encoding="utf-8")))
    ids = {id for id in ids if "-" in id} - set(get_args(Fitness))  # the others are words of the tongue too
    kept = []
    for module in INSIDE:
        if module.split(".")[0] in ("screens", "prints", "labels", "guide", "kitchen", "recipes"):
            for node in ast.walk(tree(module)):
                named = [each.value for each in getattr(node, "elts", getattr(node, "keys", [])) if isinstance(each, ast.Constant)]
                kept += [(module, named)] if len(ids.intersection(named)) > 1 else []
    assert not kept


def test_no_rule_keeps_a_list_of_fruits() -> None:
    """What is so of one fruit and not of another stands in its file, with the rest that is known of it."""
    fruits = {key for kind in ("fruit", "juice", "vegetable") for key in facts.keys(kind)}  # type: ignore[attr-defined]
    kept = []
    for module in INSIDE:
        if module != "facts.misnamed":  # which keeps words that alone name no variety
            for node in ast.walk(tree(module)):
                named = [each.value for each in getattr(node, "elts", getattr(node, "keys", [])) if isinstance(each, ast.Constant)]
                kept += [(module, named)] if len(fruits.intersection(named)) > 2 else []
    assert not kept
