"""From an installed copy, without a clone: the wheel is built, installed into an environment of its own, and used."""

import json
import os
import shutil
import subprocess
import sys
import sysconfig
import venv
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.metadata import distribution, packages_distributions
from pathlib import Path
from zipfile import ZipFile

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

import pharmcalc
from pharmcalc.classroom.course_files import course_files
from tests.classroom.building import PROJECT, answered

ASSIGNMENT = "weighing-1"
PURELIB = sysconfig.get_path("purelib")


def build(source: Path, into: Path) -> Path:
    """Build the wheel of a source tree with the build tool that is installed; nothing is fetched."""
    words = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(into)]
    done = subprocess.run(words, cwd=source, capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == 0, done.stderr
    (wheel,) = into.glob("*.whl")
    return wheel


def newer_source(into: Path) -> Path:
    """Copy what a wheel is built from, as a newer version in which a lesson has changed and another is new."""
    into.mkdir()
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(PROJECT / name, into)
    for name in ("pharmcalc", "notebooks", "solutions", "exercises"):
        shutil.copytree(PROJECT / name, into / name, ignore=shutil.ignore_patterns("__pycache__", ".*"))
    head = into / "pharmcalc" / "__init__.py"
    old = f'__version__ = "{pharmcalc.__version__}"'
    assert old in head.read_text(encoding="utf-8")
    head.write_text(head.read_text(encoding="utf-8").replace(old, '__version__ = "99.1"'), encoding="utf-8")
    first = into / "notebooks" / "00_start_here.ipynb"
    changed = json.loads(first.read_text(encoding="utf-8"))
    changed["cells"][0]["source"] += ["\n", "A newer sentence."]
    first.write_text(json.dumps(changed), encoding="utf-8")
    shutil.copy(first, into / "notebooks" / "12_newer.ipynb")
    solution = into / "solutions" / ASSIGNMENT / f"{ASSIGNMENT}.ipynb"
    solution.write_bytes(solution.read_bytes().replace(b"# Weighing 1", b"# Weighing 1, newer"))
    return into


@dataclass(frozen=True)
class Installed:
    """An environment with the wheel in it, and an empty folder to work in."""

    home: Path
    work: Path

    @property
    def python(self) -> Path:
        """The environment's Python."""
        return self.home / "bin" / "python"

    def install(self, wheel: Path) -> None:
        """Install a wheel, and nothing but it."""
        quiet = ["--quiet", "--disable-pip-version-check", "--no-index", "--no-deps", "--upgrade"]
        words = ["pip", "--python", str(self.python), "install", *quiet, str(wheel)]
        subprocess.run([sys.executable, "-m", *words], check=True, timeout=60)

    def run(self, *words: str, folder: str = ".") -> str:
        """Run a program of the environment and return what it printed; it must succeed."""
        env = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
        # nbgrader starts its helper by name, and its templates lie in the environment that the tests run in.
        env["PATH"] = os.pathsep.join([str(self.home / "bin"), sysconfig.get_path("scripts"), env.get("PATH", "")])
        env["JUPYTER_PATH"] = str(Path(sys.prefix) / "share" / "jupyter")
        program = [str(self.home / "bin" / words[0]), *words[1:]]
        done = subprocess.run(
            program, cwd=self.work / folder, env=env, capture_output=True, text=True, check=False, timeout=120
        )
        assert (done.returncode, done.stderr) == (0, "")
        return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the project's wheel once."""
    return build(PROJECT, tmp_path_factory.mktemp("wheel"))


@pytest.fixture
def installed(wheel: Path, tmp_path: Path) -> Iterator[Installed]:
    """Install the wheel into a new environment; of this one only the other packages are seen, not the project."""
    here = Installed(tmp_path / "env", tmp_path / "work")
    venv.create(here.home, symlinks=True)
    here.work.mkdir()
    own = subprocess.run(
        [here.python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"],
        capture_output=True,
        text=True,
        check=True,
    )
    seen = [path for path in sys.path if path.endswith("site-packages") and Path(path).resolve() != PROJECT]
    assert PURELIB in seen
    Path(own.stdout.strip(), "others.pth").write_text("\n".join(seen) + "\n", encoding="utf-8")
    here.install(wheel)
    yield here
    shutil.rmtree(here.home)


def test_a_week_from_a_wheel_and_then_a_newer_one(installed: Installed, tmp_path: Path) -> None:
    """Start, class list, issue, a hand-in, marks; then a newer wheel, and the course follows but for what is in use."""
    where = "import pharmcalc, sys; print(pharmcalc.__file__); print(sys.path)"
    told = installed.run("python", "-c", where)
    assert told.startswith(str(installed.home))
    assert f"'{PROJECT}'" not in told, "the clone is nowhere on the path"
    assert f"Assignments: {', '.join(sorted(path.name for path in (PROJECT / 'solutions').iterdir()))}" in (
        installed.run("pharmcalc", "start", "c")
    )
    root = installed.work / "c"
    assert {name: (root / name).read_bytes() for name in course_files()} == course_files(), "as from a clone"

    (root / "class.csv").write_text("number,surname,given name,email\nA-07,One,Ann,\n", encoding="utf-8")
    assert "1 students · 1 new" in installed.run("pharmcalc", "class", "class.csv", folder="c")
    assert "· issued · 6 tasks" in installed.run("pharmcalc", "issue", ASSIGNMENT, folder="c")
    release = root / "exercises" / ASSIGNMENT / f"{ASSIGNMENT}.ipynb"
    hand_in = answered(json.loads(release.read_text(encoding="utf-8")), "A-07")
    (installed.work / "A-07.ipynb").write_text(json.dumps(hand_in), encoding="utf-8")
    assert "1 taken in" in installed.run("pharmcalc", "take-in", ASSIGNMENT, "../A-07.ipynb", folder="c")
    assert "marked 1/1" in installed.run("pharmcalc", "mark", ASSIGNMENT, folder="c")
    assert (root / "feedback" / "A-07" / ASSIGNMENT / f"{ASSIGNMENT}.html").is_file()

    solution = root / "solutions" / ASSIGNMENT / f"{ASSIGNMENT}.ipynb"
    in_use = solution.read_bytes(), release.read_bytes()
    installed.install(build(newer_source(tmp_path / "newer"), tmp_path / "newer-wheel"))
    told = installed.run("pharmcalc", "upgrade", folder="c")
    assert f"Laid out by pharmcalc {pharmcalc.__version__}, now 99.1" in told
    assert "1 replaced · 1 added · 1 kept as yours" in told
    assert f"{ASSIGNMENT}.ipynb → newer/solutions/" in told
    assert (solution.read_bytes(), release.read_bytes()) == in_use
    assert "A newer sentence." in (root / "lessons" / "00_start_here.ipynb").read_text(encoding="utf-8")
    assert (root / "lessons" / "12_newer.ipynb").is_file()


def declared(requirements: list[str], extras: frozenset[str] = frozenset(), seen: set[str] | None = None) -> set[str]:
    """Return the packages that these requirements need with these extras, and what those need in their turn."""
    found = set() if seen is None else seen
    for one in map(Requirement, requirements):
        needed = one.marker is None or any(one.marker.evaluate({"extra": extra}) for extra in ("", *extras))
        name = canonicalize_name(one.name)
        if needed and name not in found:
            found.add(name)
            declared(distribution(name).requires or [], frozenset(one.extras), found)
    return found


def required(wheel: Path) -> list[str]:
    """Return the lines with which the wheel says what it needs."""
    with ZipFile(wheel) as archive:
        (about,) = (name for name in archive.namelist() if name.endswith(".dist-info/METADATA"))
        head = archive.read(about).decode().partition("\n\n")[0].splitlines()
    return [line.partition(": ")[2] for line in head if line.startswith("Requires-Dist: ")]


@pytest.mark.parametrize(
    ("extra", "rooms"),
    [
        ("lab", ("pharmcalc.notebook", "pharmcalc.widgets")),
        ("class", ("pharmcalc.classroom", "pharmcalc.sheets", "pharmcalc.pages", "pharmcalc.__main__")),
    ],
)
def test_each_extra_is_enough_for_its_rooms(wheel: Path, extra: str, rooms: tuple[str, ...]) -> None:
    """A student installs "lab" and can work; the command line needs "class"; the desk in a notebook needs both."""
    there = declared(required(wheel), frozenset([extra]))
    brought = Path(str(distribution("setuptools").locate_file("setuptools/_vendor")))  # its own copies, for itself
    refused = [
        module
        for module, packages in packages_distributions().items()
        if module != "pharmcalc"
        and not there & set(map(canonicalize_name, packages))
        and not list(brought.glob(f"{module}*"))
    ]
    assert {"lab": "nbgrader", "class": "hypothesis"}[extra] in refused
    program = f"""
import sys
from importlib import import_module
from pkgutil import walk_packages
sys.modules.update(dict.fromkeys({refused!r}))  # Python's own way to say "not installed"
for room in {rooms!r}:
    module = import_module(room)
    for one in walk_packages(getattr(module, "__path__", []), room + "."):
        if not one.name.startswith("pharmcalc.classroom.drawers"):
            import_module(one.name)
"""
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=PROJECT, capture_output=True, text=True, check=False, timeout=60
    )
    assert done.stderr == ""


def test_the_library_alone_needs_only_what_the_wheel_declares(wheel: Path, tmp_path: Path) -> None:
    """With only pint, lark and what these need a task is marked, and the command says what else to install."""
    alone = tmp_path / "alone"
    with ZipFile(wheel) as archive:
        archive.extractall(alone)
    needs = declared(required(wheel))
    assert {"lark", "pint"} <= needs
    assert not needs & {"click", "numpy", "nbgrader", "jinja2"}
    for name in needs:
        for part in {Path(file).parts[0] for file in distribution(name).files or ()} - {"..", "__pycache__"}:
            (alone / part).symlink_to(Path(str(distribution(name).locate_file(part))))
    program = (
        "import pharmcalc.tasks.papers\n"
        "from pharmcalc.tasks.family import family_called\n"
        "from pharmcalc.tasks.house import read_house_rules\n"
        "from pharmcalc.marking import mark_task\n"
        "task = family_called('aliquot-plan').task('q1', 'A-07', read_house_rules())\n"
        "print(mark_task(task, task.answer_lines()).marks)\n"
    )
    marks, asked = (
        subprocess.run(
            [sys.executable, "-S", *words],  # -S: no other folder of packages is seen
            cwd=tmp_path,
            env={"PYTHONPATH": str(alone), "PYTHONDONTWRITEBYTECODE": "1"},
            capture_output=True,
            text=True,
            check=False,
            timeout=60,
        )
        for words in (["-c", program], ["-m", "pharmcalc", "start", "c"])
    )
    assert (marks.stdout, marks.stderr) == ("12\n", "")
    assert (asked.returncode, asked.stdout) == (1, "")
    assert asked.stderr.startswith("The command pharmcalc is for instructors and needs more than is installed")
    assert 'pip install "pharmcalc[class,lab]"' in asked.stderr


def test_the_wheel_carries_what_git_keeps_and_nothing_else(wheel: Path) -> None:
    """Lessons, assignments and exercises as they lie in the project; no record of practice, no leftovers of Jupyter."""
    listed = ["git", "ls-files", "-z", "notebooks", "solutions", "exercises"]
    done = subprocess.run(listed, cwd=PROJECT, capture_output=True, text=True, check=True)
    kept = sorted(name for name in done.stdout.split("\0") if name)
    under = "pharmcalc/course_files/"
    with ZipFile(wheel) as archive:
        carried = {name.removeprefix(under): archive.read(name) for name in archive.namelist() if under in name}
    assert sorted(carried) == kept
    assert all(content == (PROJECT / name).read_bytes() for name, content in carried.items())
