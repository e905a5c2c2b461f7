"""The layout, held against one table: a module imports lower levels only, and each outside library has one door.

Imports inside functions and under TYPE_CHECKING count too. A new module has to be put into the table.
"""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

import pytest

import jamcalc

FOLDER = Path(jamcalc.__file__).parent
# A module in a folder is named with it, "book.store"; the folder's own __init__ is "book".
MODULES = sorted(".".join(path.relative_to(FOLDER).with_suffix("").parts).removesuffix(".__init__") for path in FOLDER.rglob("*.py"))

LEVELS: dict[str, tuple[str, ...]] = {
    "the nouns of what is known and asked": ("__init__", "errors", "model"),
    "the nouns of the answer": ("outcome",),
    "tools that know no jam": ("complaint", "interrupts", "measures", "paper", "roots", "textfile", "units", "userfolder"),
    "names that are not known": ("misnamed",),
    "facts, and numbers as words": ("dimensions", "facts", "label", "record", "wording"),
    "rules that stand alone": ("extras", "naming", "storage"),
    "the book: nouns and place": ("book", "book.entries", "book.place"),
    "the book: what is so now, and its tables": ("book.now", "book.rows", "book.schema"),
    "the book: what follows for the jars": ("book.lessons", "book.safety"),
    "the book: dates, seasons": ("book.season", "book.shelf"),
    "the book: its JSON": ("book.record",),
    "the book: the file; out and in": ("book.exchange", "book.store"),
    "one topic each": (
        "acidity", "canner", "claims", "conversation", "filling", "jarmix", "kitchen", "layout", "lines", "options", "panel",
        "printed", "process", "safefile", "setting", "sweetness", "typeset",
    ),
    "a batch put together; files; tables of commands and facts": (
        "assemble", "command_table", "facts_screen", "kitchen_screen", "kitchenfile", "manypools", "mending", "mixture", "portions",
        "recipefile", "recipetext", "spread",
    ),
    "the book: as CSV; a batch as a recipe": ("book.source", "book.tidy"),
    "a batch reckoned in one respect": ("nutrition", "printing", "scaling", "souring", "swapping"),
    "measures and screens; cards and labels as HTML": (
        "buying", "cardtext", "drawing", "fairpage", "labelpage", "lemoncurve", "rounding", "scaling_screen", "sourness", "terminal",
        "tested",
    ),
    "what the rule is asked": ("ruling",),
    "the conductor; what is looked up": ("guide_screen", "looking_up", "solver"),
    "what a meter tells": ("measuring",),
    "what was solved, in words": ("explain", "remarks", "steps", "turned_out"),
    "the whole answer": ("answer",),
    "answers put to use": ("backwards", "checking", "doing", "fairback", "fitting", "instead", "writeout"),
    "recipes scaled, kitchens fitted; cards and pages; a batch for the book": (
        "at_home", "book.keeping", "card", "page", "scaled", "wallsheet",
    ),
    "the Python calls; the kitchen page": ("api", "wallpage"),
    "asking and printing; the book's screens": ("book.files", "book.finishing", "book.page", "book.screens", "carding", "questions"),
    "the book: its commands, and its Python calls": ("book.commands", "book.python"),
    "the guide": ("guide",),
    "the commands": ("commands",),
    "the command line": ("cli",),
    "the door": ("__main__",),
}  # fmt: skip
LEVEL_OF = {module: level for level, modules in enumerate(LEVELS.values()) for module in modules}

UPWARDS = {
    ("outcome", "record"): "an answer can always be recorded: BatchResult.to_dict()",
    ("__init__", "api"): "the package's own door, opened only when asked",
    ("__init__", "acidity"): "the package's own door, opened only when asked",
    ("__init__", "book.python"): "the package's own door, opened only when asked",
}
DOORS = {
    "pint": {"units"},
    "scipy": {"roots"},
    "sqlite3": {"book.rows", "book.schema", "book.store"},
    "rich": {"book.screens", "facts_screen", "guide_screen", "kitchen_screen", "layout", "scaling_screen", "terminal"},
}
MAY_PRINT = {"cli", "complaint", "printing"}
MAY_WRITE_FILES = {"book.store", "safefile"}
MAY_ASK_FOR_A_FILE = {"book.files", "guide", "kitchenfile", "printing"}  # of safefile
NOUNS = {"model", "outcome"}
MOST_LINES = 340
LONGER = {
    "model": "the nouns of facts, batch and recipe, without a line of logic",
}


@cache
def text(module: str) -> str:
    path = FOLDER / module.replace(".", "/")
    return (path / "__init__.py" if path.is_dir() else path.with_suffix(".py")).read_text(encoding="utf-8")


@cache
def tree(module: str) -> ast.Module:
    return ast.parse(text(module))


def imported(module: str) -> set[str]:
    """The modules of the package that a module imports, wherever in it."""
    found: set[str] = set()
    for node in ast.walk(tree(module)):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module}: a relative import"
            package, _, inner = (node.module or "").partition(".")
            if package == "jamcalc":
                names = {f"{inner}.{alias.name}".removeprefix(".") for alias in node.names}
                found |= {name if name in MODULES else inner or "__init__" for name in names}
        elif isinstance(node, ast.Import):
            found |= {alias.name.removeprefix("jamcalc.") for alias in node.names if alias.name.startswith("jamcalc.")}
    return found


def outside(module: str, node: ast.AST) -> set[str]:
    """The top names of what is imported below a node."""
    found = set()
    for each in ast.walk(node):
        if isinstance(each, ast.ImportFrom):
            found.add((each.module or "").split(".")[0])
        elif isinstance(each, ast.Import):
            found |= {alias.name.split(".")[0] for alias in each.names}
    return found


def calls(module: str) -> list[ast.Call]:
    return [node for node in ast.walk(tree(module)) if isinstance(node, ast.Call)]


def test_every_module_is_in_the_table_and_every_name_is_a_module() -> None:
    assert sorted(LEVEL_OF) == MODULES
    assert sum(len(modules) for modules in LEVELS.values()) == len(LEVEL_OF), "a module stands in two levels"


@pytest.mark.parametrize("module", MODULES)
def test_imports_go_down_only(module: str) -> None:
    assert module in LEVEL_OF, f"{module} is in no level: put it into the table"
    wrong = {other for other in imported(module) if LEVEL_OF.get(other, 0) >= LEVEL_OF[module] and (module, other) not in UPWARDS}
    assert not wrong, f"{module} must not import {sorted(wrong)}"


def test_every_exception_is_still_needed() -> None:
    assert {(module, other) for module, other in UPWARDS if other in imported(module)} == set(UPWARDS)
    assert {module for module in LONGER if length(module) > MOST_LINES} == set(LONGER)


@pytest.mark.parametrize("library", DOORS)
def test_each_library_has_its_door(library: str) -> None:
    assert {module for module in MODULES if library in outside(module, tree(module))} == DOORS[library]


@pytest.mark.parametrize("library", ["pint", "scipy", "numpy"])
def test_what_is_slow_to_import_is_imported_in_functions(library: str) -> None:
    for module in MODULES:
        functions = [node for node in ast.walk(tree(module)) if isinstance(node, ast.FunctionDef)]
        everywhere = sum(
            library in outside(module, node) for node in ast.walk(tree(module)) if isinstance(node, ast.Import | ast.ImportFrom)
        )
        inside = {id(node) for function in functions for node in ast.walk(function) if isinstance(node, ast.Import | ast.ImportFrom)}
        nested = sum(library in outside(module, node) for node in ast.walk(tree(module)) if id(node) in inside)
        assert nested == everywhere, f"{module} imports {library} at its top"


def test_only_the_command_line_prints() -> None:
    assert {
        module for module in MODULES if any(isinstance(call.func, ast.Name) and call.func.id == "print" for call in calls(module))
    } == MAY_PRINT


def test_only_safefile_writes_files() -> None:
    assert {module for module in MODULES if any(_writes(call) for call in calls(module))} == MAY_WRITE_FILES
    assert {module for module in MODULES if "safefile" in imported(module)} == MAY_ASK_FOR_A_FILE


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
    return len(text(module).splitlines())


@pytest.mark.parametrize("module", MODULES)
def test_a_module_can_be_read_in_a_sitting(module: str) -> None:
    assert ast.get_docstring(tree(module)), f"{module} has no docstring"
    assert module in LONGER or length(module) <= MOST_LINES, f"{module} has {length(module)} lines"


@pytest.mark.parametrize("module", MODULES)
def test_public_functions_and_classes_say_what_they_do(module: str) -> None:
    parts = [node for node in tree(module).body if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_")]
    silent = [node.name for node in parts if not ast.get_docstring(node)]
    assert module in NOUNS or not silent, f"{module}: {', '.join(silent)}"
    # the nouns speak for themselves; what they do must not be left unsaid there either
    methods = [each for node in parts if isinstance(node, ast.ClassDef) for each in node.body if isinstance(each, ast.FunctionDef)]
    assert module not in NOUNS or all(ast.get_docstring(each) for each in methods if not each.name.startswith("_"))
