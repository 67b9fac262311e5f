"""What is installed is what stands in the tree, under names that nobody else has."""

from __future__ import annotations

import os
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> set[str]:
    """Return the names in a wheel made of a copy of the tracked folders."""
    source = tmp_path_factory.mktemp("source")
    for name in ("polypocket", "posts", "shared", "pyproject.toml", "README.md", "LICENSE"):
        subprocess.run(["cp", "-r", ROOT / name, source / name], check=True)
    target = tmp_path_factory.mktemp("wheel")
    command = [
        sys.executable,
        "-m",
        "pip",
        "wheel",
        "-q",
        "--no-deps",
        "--no-build-isolation",
        "-w",
        target,
        source,
    ]
    subprocess.run(command, check=True, capture_output=True)
    (path,) = target.glob("*.whl")
    return set(zipfile.ZipFile(path).namelist())


def test_wheel_holds_the_tree(wheel: set[str]) -> None:
    expected = {
        f"polypocket/{path.relative_to(ROOT / 'polypocket')}" for path in (ROOT / "polypocket").rglob("*.py")
    }
    expected |= {f"polypocket_posts/{path.name}" for path in (ROOT / "posts").glob("*.py")}
    shared = (path for pattern in ("*.py", "*.toml") for path in (ROOT / "shared").rglob(pattern))
    expected |= {f"polypocket_shared/{path.relative_to(ROOT / 'shared')}" for path in shared}
    expected |= {f"polypocket/sheet/page/{path.name}" for path in (ROOT / "polypocket/sheet/page").iterdir()}
    expected.add("polypocket/py.typed")
    assert {name for name in wheel if ".dist-info/" not in name} == expected


def test_entry_points_name_the_posts_that_there_are() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    entries = project["entry-points"]["polypocket.posts"]
    modules = {path.stem for path in (ROOT / "posts").glob("*.py")} - {"__init__"}
    assert {value.split(":")[0].removeprefix("polypocket_posts.") for value in entries.values()} == modules


def test_help_loads_neither_geometry_nor_numbers() -> None:
    code = (
        "import sys; sys.argv = ['polypocket', '--help']\n"
        "from polypocket.cli import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "heavy = {'shapely', 'numpy', 'pydantic', 'jinja2', 'reportlab', 'ezdxf'} & set(sys.modules)\n"
        "assert not heavy, heavy"
    )
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True)


def test_write_does_not_load_what_it_does_not_use(tmp_path: Path) -> None:
    job = ROOT / "shared" / "jobs" / "valve_stem_block.toml"
    code = (
        "import sys\n"
        f"sys.argv = ['polypocket', 'write', {str(job)!r}, '--machine', 'knee-mill-3-axis', '-o', 'block.nc']\n"
        "from polypocket.cli import main\n"
        "main()\n"
        "unused = {'json', 'jinja2', 'rich', 'reportlab', 'ezdxf', 'numpy.ma'}\n"
        "ours = ('dryrun.compensation', 'plan.place', 'reader.sheet', 'sheet')\n"
        "loaded = unused | {f'polypocket.{each}' for each in ours}\n"
        "assert not loaded & set(sys.modules), loaded & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, cwd=tmp_path)


def test_every_subpackage_says_what_it_is() -> None:
    for init in (ROOT / "polypocket").rglob("__init__.py"):
        assert init.read_text().startswith('"""'), init


def test_what_all_names_is_there() -> None:
    """Every ``__all__`` is sorted and names what the module has."""
    code = (
        "import importlib, pathlib, sys\n"
        "root = pathlib.Path(sys.argv[1])\n"
        "for path in sorted((root / 'polypocket').rglob('*.py')):\n"
        "    name = '.'.join(path.relative_to(root).with_suffix('').parts).removesuffix('.__init__')\n"
        "    if name.endswith('__main__'): continue\n"
        "    module = importlib.import_module(name)\n"
        "    exported = getattr(module, '__all__', [])\n"
        "    missing = [each for each in exported if not hasattr(module, each)]\n"
        "    assert not missing, (name, missing)\n"
    )
    subprocess.run([sys.executable, "-c", code, ROOT], check=True)


@pytest.mark.parametrize(("given", "taken"), [(None, "1"), ("3", "3")])
def test_no_threads_are_started_for_linear_algebra(given: str | None, taken: str) -> None:
    """Unless somebody asks for them; a run in a process of its own, since numpy is loaded once."""
    code = (
        "import os, sys\n"
        "from polypocket.cli import main\n"
        "assert 'numpy' not in sys.modules\n"
        "sys.argv = ['polypocket', '--version']\n"
        "try:\n    main()\nexcept SystemExit:\n    print(os.environ['OPENBLAS_NUM_THREADS'])"
    )
    environment = {key: value for key, value in os.environ.items() if key != "OPENBLAS_NUM_THREADS"}
    if given is not None:
        environment["OPENBLAS_NUM_THREADS"] = given
    run = subprocess.run(
        [sys.executable, "-c", code], check=True, capture_output=True, text=True, env=environment
    )
    assert run.stdout.split()[-1] == taken
