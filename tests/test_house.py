"""Rules of the house that no single module can keep by itself."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
TOP = {
    "README.md",
    "DEVELOPERS.md",
    "CHANGELOG.md",
    "LICENSE",
    "pyproject.toml",
    "bot",
    "store",
    "content",
    "tests",
    ".ci",
    ".gitignore",
}
# What tools leave behind; .gitignore names them.
LEFT_BEHIND = {".git", ".hypothesis", ".mypy_cache", ".pytest_cache", ".ruff_cache", ".venv"}
MODULES = sorted(
    file for package in ("bot", "store", "content") for file in (ROOT / package).rglob("*.py")
)
# Rules: values in, values out. Everything else in bot/ may know the wires.
RULES = sorted(
    [
        *(ROOT / "bot" / "reading").glob("*.py"),
        *(
            ROOT / "bot" / f"{name}.py"
            for name in (
                *("timetable", "messages", "score_text", "choosing", "unusual"),
                "weather_text",
                *("plan_values", "planning", "plan_words", "plan_text", "calendar_file"),
                *("review_text", "review_json", "review_screen"),
                *("draft_values", "drafting", "draft_words", "draft_text", "written"),
                *("draft_wishes", "day_answers"),
                *("day_changes", "rereading"),
            )
        ),
    ]
)
WIRES = {"telegram", "sqlalchemy", "aiosqlite", "alembic", "apscheduler", "httpx", "starlette"}


def imported(file):
    """Return (line, full name) of every import of a file, also those inside functions."""
    package = file.relative_to(ROOT).parent.parts
    found = []
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found.extend((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            above = package[: len(package) - node.level + 1] if node.level else ()
            module = ".".join([*above, *([node.module] if node.module else [])])
            found.extend((node.lineno, f"{module}.{alias.name}") for alias in node.names)
    return found


def lines_that_import(files, forbidden):
    return [
        f"{file.relative_to(ROOT)}:{line} imports {name}"
        for file in files
        for line, name in imported(file)
        if name.split(".")[0] in forbidden
    ]


def of(package):
    return [file for file in MODULES if file.relative_to(ROOT).parts[0] == package]


def test_there_are_modules_to_look_at():
    assert all(len(of(package)) > 10 for package in ("bot", "store", "content"))
    assert len(RULES) > 10


@pytest.mark.parametrize(
    ("package", "forbidden"),
    [
        pytest.param("content", {"bot", "store", "tests"}, id="content"),
        pytest.param("store", {"bot", "content", "tests"}, id="store"),
        pytest.param("bot", {"tests"}, id="bot"),
    ],
)
def test_imports_point_one_way(package, forbidden):
    assert lines_that_import(of(package), forbidden) == []


def test_written_material_knows_no_wires():
    assert lines_that_import(of("content"), WIRES) == []


def test_weather_is_plain_arithmetic():
    """Whoever checks it needs Python and the published tables, nothing else."""
    files = sorted((ROOT / "content" / "weather").glob("*.py"))

    assert len(files) > 4
    assert lines_that_import(files, {"pydantic", "yaml", "numpy", "metpy"}) == []


def test_rules_know_no_wires():
    assert lines_that_import(RULES, WIRES) == []


def test_rules_of_the_bot_take_nothing_but_values_from_the_store():
    taken = [
        f"{file.relative_to(ROOT)}:{line} imports {name}"
        for file in RULES
        for line, name in imported(file)
        if name.startswith("store.") and not name.startswith("store.values.")
    ]

    assert taken == []


def test_values_of_the_store_need_the_standard_library_only():
    assert lines_that_import([ROOT / "store" / "values.py"], WIRES | {"pydantic", "store"}) == []


def test_nobody_outside_the_rehearsal_imports_it_when_loaded():
    """`run` needs neither the page nor its server."""
    outside = [file for file in of("bot") if "rehearsal" not in file.parts]
    at_once = [
        f"{file.relative_to(ROOT)}:{node.lineno}"
        for file in outside
        for node in ast.parse(file.read_text(encoding="utf-8")).body
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("bot.rehearsal")
    ]

    assert at_once == []


def test_a_running_bot_loads_no_numbers_and_no_pictures():
    """They cost more time at the start than everything else; only the review needs them."""
    loaded = subprocess.run(
        [sys.executable, "-c", "import sys, bot.app, bot.command_line; print(*sys.modules)"],
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    ).stdout.split()

    assert "bot.app" in loaded
    assert {"numpy", "matplotlib", "soundfile", "content.review.review"} & set(loaded) == set()


def test_pictures_are_drawn_without_the_state_of_a_plotting_session():
    assert lines_that_import(of("content"), {"matplotlib"}) == []
    assert [
        f"{file.relative_to(ROOT)}:{line} imports {name}"
        for file in MODULES
        for line, name in imported(file)
        if name.startswith(("matplotlib.pyplot", "pylab"))
    ] == []


def test_the_top_level_holds_the_agreed_names_only():
    assert names_at_the_top() - TOP == set()


def names_at_the_top():
    """Return what git knows, or in an unpacked archive what is there."""
    if (ROOT / ".git").exists():
        listed = subprocess.run(
            ["git", "ls-files"],  # noqa: S607 - whichever git there is
            cwd=ROOT,
            check=True,
            capture_output=True,
            text=True,
        )
        return {line.partition("/")[0].strip('"') for line in listed.stdout.splitlines()}
    return {path.name for path in ROOT.iterdir()} - LEFT_BEHIND


@pytest.mark.parametrize(
    "file",
    [
        pytest.param(f, id=str(f.relative_to(ROOT)))
        for f in [*MODULES, *ROOT.glob("tests/**/__init__.py")]
        if f.name == "__init__.py"
    ],
)
def test_init_files_are_empty(file):
    assert file.read_bytes() == b""


@pytest.mark.parametrize(
    "file",
    [
        pytest.param(f, id=str(f.relative_to(ROOT)))
        for f in MODULES
        # A migration's file name says what it does.
        if f.name != "__init__.py" and f.parent.name != "versions"
    ],
)
def test_every_module_says_what_it_is_for(file):
    said = ast.get_docstring(ast.parse(file.read_text(encoding="utf-8")))

    assert said
    assert len(said.splitlines()[0]) >= 15


def test_every_folder_of_modules_is_a_package():
    folders = {file.parent for file in MODULES}

    assert [f for f in folders if f.name != "versions" and not (f / "__init__.py").exists()] == []
