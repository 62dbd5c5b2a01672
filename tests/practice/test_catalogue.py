"""The catalogue: finds the exercises, and makes a line of what is broken."""

import sys
from pathlib import Path

import pytest

from trainer.practice.catalogue import load
from trainer.refusal import Refused


def test_the_three_exercises_are_found_and_none_is_broken() -> None:
    catalogue = load()
    assert set(catalogue.exercises) >= {"octave-tone", "level", "compression"}
    assert catalogue.broken == ()


def test_an_unknown_exercise_is_refused_with_those_there_are() -> None:
    with pytest.raises(Refused, match=r"no exercise 'octave'; there are .*octave-tone"):
        load()["octave"]


@pytest.fixture
def plug_ins(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    package = tmp_path / "plug_ins_for_a_test"
    package.mkdir()
    (package / "__init__.py").write_text("")
    (package / "broken.py").write_text("raise RuntimeError('out of order')")
    (package / "empty.py").write_text("")
    (package / "wrong.py").write_text("EXERCISE = 5")
    (package / "good.py").write_text("from exercises.level import EXERCISE")
    (package / "twice.py").write_text("from exercises.level import EXERCISE")
    monkeypatch.syspath_prepend(str(tmp_path))
    return package.name


def test_a_broken_exercise_is_a_line_in_a_list(plug_ins: str) -> None:
    catalogue = load([plug_ins, "no_such_package_at_all"])
    assert list(catalogue.exercises) == ["level"]
    reasons = {broken.module.rpartition(".")[2]: broken.reason for broken in catalogue.broken}
    assert set(reasons) == {"broken", "empty", "wrong", "twice", "no_such_package_at_all"}
    assert "out of order" in reasons["broken"]
    assert "EXERCISE" in reasons["empty"]
    assert "int" in reasons["wrong"]
    assert "already" in reasons["twice"]
    for module in [name for name in sys.modules if name.startswith(plug_ins)]:
        del sys.modules[module]
