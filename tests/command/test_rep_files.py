"""``yardline rep`` and ``stems``: what is in the files, and that the question does not hold the answer."""

import json
from pathlib import Path

import numpy as np
import pytest
import soundfile

from tests.command.conftest import Run
from tests.listener import hear_tone
from trainer.sound_files import read_sound


@pytest.fixture
def tone(run: Run, tmp_path: Path) -> Path:
    out = tmp_path / "rep"
    ended = run("rep", "octave-tone", "--seed", "7", "--size", "6", "--on", "mix", "--out", str(out))
    assert (ended.code, ended.err) == (0, "")
    return out


def test_a_rep_is_two_sounds_a_question_and_an_answer(tone: Path, run: Run, tmp_path: Path) -> None:
    assert {path.name for path in tone.iterdir()} == {"plain.wav", "changed.wav", "rep.json", "answer.json"}
    for name in ("plain.wav", "changed.wav"):
        info = soundfile.info(tone / name)
        assert (info.samplerate, info.channels, info.subtype, info.format) == (48_000, 2, "FLOAT", "WAV")
        assert 6.0 <= info.duration <= 14.0
    question = json.loads((tone / "rep.json").read_text(encoding="utf-8"))
    answer = json.loads((tone / "answer.json").read_text(encoding="utf-8"))
    assert [field["key"] for field in question["fields"]] == ["band", "direction"]
    assert len(question["fields"][0]["options"]) == 10
    assert set(answer["answer"]) == {"band", "direction"}
    assert (answer["size"], answer["unit"]) == (6.0, "dB")
    assert answer["bands"] == {f"{answer['answer']['band']:g}": 1.0}
    heard = hear_tone(read_sound(tone / "plain.wav"), read_sound(tone / "changed.wav"))
    assert heard is not None
    assert {"band": heard.band_hz, "direction": heard.direction} == answer["answer"]
    again = tmp_path / "again"
    assert run("rep", "--code", question["rep_code"], "--out", str(again)).code == 0
    for name in ("plain.wav", "changed.wav", "rep.json", "answer.json"):
        assert (again / name).read_bytes() == (tone / name).read_bytes()


def test_the_question_does_not_depend_on_the_answer(tone: Path, run: Run, tmp_path: Path) -> None:
    """Two reps on the mix of the same kind: their questions are the same but for the code."""
    other = tmp_path / "other"
    run("rep", "octave-tone", "--seed", "8", "--size", "12", "--on", "mix", "--out", str(other))
    questions = [json.loads((folder / "rep.json").read_text(encoding="utf-8")) for folder in (tone, other)]
    codes = [question.pop("rep_code") for question in questions]
    assert codes[0] != codes[1]
    assert questions[0] == questions[1]


@pytest.mark.parametrize(
    ("exercise", "asked"), [("level", "Which section"), ("compression", "Which section")]
)
def test_a_rep_is_asked_on_the_widest_scope_unless_another_is_named(
    run: Run, tmp_path: Path, exercise: str, asked: str
) -> None:
    show = ("--show", "indoor-percussion")
    assert run("rep", exercise, *show, "--out", str(tmp_path / "a")).code == 0
    assert asked in json.loads((tmp_path / "a" / "rep.json").read_text(encoding="utf-8"))["question"]
    assert run("rep", exercise, "--on", "stem", *show, "--out", str(tmp_path / "b")).code == 0
    assert "Which stem" in json.loads((tmp_path / "b" / "rep.json").read_text(encoding="utf-8"))["question"]


def test_stems_are_written_with_the_mix_they_make(run: Run, tmp_path: Path) -> None:
    out = tmp_path / "stems"
    assert run("stems", "--show", "indoor-percussion", "--seed", "3", "--out", str(out)).code == 0
    sounds = {path.stem: read_sound(path) for path in out.glob("*.wav")}
    assert len(sounds) == 16
    assert len({sound.frames for sound in sounds.values()}) == 1
    dry = np.sum([sound.samples for name, sound in sounds.items() if name != "mix"], axis=0)
    assert np.corrcoef(dry[:, 0], sounds["mix"].samples[:, 0])[0, 1] > 0.7
