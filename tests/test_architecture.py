"""The walls of the house (DEVELOPERS.md, "The rooms"): who may import whom, one door a heavy library."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent

ROOMS = (
    "trainer",  # the package's own names: conventions and the version
    "trainer.units",
    "trainer.refusal",
    "trainer.sound",
    "trainer.sound_files",
    "trainer.dsp",
    "trainer.ensemble",
    "trainer.practice",
    "trainer.progress",
    "trainer.season",
    "trainer.reports",
    "trainer.playback",
    "trainer.assembly",
    "trainer.window",
    "trainer.text",
    "trainer.bench",
    "trainer.command",
    "trainer.__main__",
)
"""From the ground up: a room imports only rooms before it, and itself."""

DOORS = {
    "pedalboard": ("trainer/dsp/pedals.py", "trainer/bench"),
    "soundfile": ("trainer/sound_files.py",),
    "pygame": ("trainer/playback", "trainer/window"),
    "sqlalchemy": ("trainer/progress",),
    "matplotlib": ("trainer/reports",),
    "fpdf": ("trainer/reports",),
    "click": ("trainer/command", "audio_demo/command.py"),
}
"""The rooms (or modules) a heavy library may be imported in."""

EXERCISES_MAY_IMPORT = (
    "trainer.units",
    "trainer.refusal",
    "trainer.sound",
    "trainer.dsp",
    "trainer.ensemble",
    "trainer.practice.exercise",
    "trainer.practice.alignment",
    "trainer.practice.change",
    "trainer.practice.fields",
    "trainer.practice.list_field",
    "trainer.practice.control_field",
    "trainer.practice.values",
    "trainer.practice.band_scale",
    "trainer.practice.evidence",
    "trainer.practice.bells",
    "trainer.practice.naming",
    "trainer.practice.listening",
    "trainer.practice.per_excerpt",
    "trainer.practice.audibility",
)


def python_files(*folders: str) -> list[Path]:
    found = [path for folder in folders for path in sorted((ROOT / folder).rglob("*.py"))]
    assert found, f"no Python files under {folders}: the test looks in the wrong place"
    return found


def imported_by(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.relative_to(ROOT)}:{node.lineno} imports relatively"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def module_name(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(part for part in parts if part != "__init__")


def room_of(module: str) -> str:
    if module == "trainer.__version__":
        return "trainer"
    fitting = [
        room for room in ROOMS if module == room or (module.startswith(f"{room}.") and room != "trainer")
    ]
    return max(fitting, key=len, default="")


@pytest.mark.parametrize("path", python_files("trainer"), ids=module_name)
def test_a_room_imports_only_rooms_below_it(path: Path) -> None:
    here = room_of(module_name(path))
    assert here, f"{module_name(path)} stands in no room: add it to ROOMS"
    for module in imported_by(path):
        assert not module.startswith(("exercises", "audio_demo", "tests")), f"{path} imports {module}"
        if module == "trainer" or module.startswith("trainer."):
            there = room_of(module)
            assert there, f"{module} stands in no room"
            assert ROOMS.index(there) <= ROOMS.index(here), f"{module_name(path)} imports {module}"


@pytest.mark.parametrize("path", python_files("exercises"), ids=module_name)
def test_an_exercise_imports_only_what_an_exercise_needs(path: Path) -> None:
    for module in imported_by(path):
        if module.startswith("trainer"):
            assert module.startswith(EXERCISES_MAY_IMPORT), f"{module_name(path)} imports {module}"


@pytest.mark.parametrize("path", python_files("trainer", "exercises", "audio_demo"), ids=module_name)
def test_only_the_scale_itself_and_what_measures_sound_know_the_ten_bands_by_name(path: Path) -> None:
    place = path.relative_to(ROOT).as_posix()
    if not place.startswith(("trainer/dsp/", "trainer/practice/band_scale.py")):
        assert "trainer.dsp.octave_bands.NOMINAL_HZ" not in imported_by(path)


@pytest.mark.parametrize("path", python_files("trainer", "exercises", "audio_demo"), ids=module_name)
def test_each_heavy_library_has_one_door(path: Path) -> None:
    place = path.relative_to(ROOT).as_posix()
    for module in imported_by(path):
        library = module.split(".")[0]
        if library in DOORS:
            assert place.startswith(DOORS[library]), f"{place} imports {module}"


def test_the_top_level_is_the_fixed_one() -> None:
    visible = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    fixed = {
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "pyproject.toml",
        "trainer",
        "exercises",
        "tests",
        "audio_demo",
    }
    made = {name for name in visible if name in {"build", "dist", "sounds"} or name.endswith(".egg-info")}
    assert visible - made <= fixed
