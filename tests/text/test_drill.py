"""The drill in a terminal, at the reveal: what can be heard then, by which key, and what it says."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from exercises import compression, octave_tone
from tests.fakes import RecordingPlayer
from tests.noise_show import NoiseShow
from trainer.playback.player import Player, Version
from trainer.playback.wave_files import WaveFilePlayer
from trainer.practice.alone import only_words, target_alone
from trainer.practice.block import Block
from trainer.practice.deal import Rep, deal
from trainer.practice.exercise import Exercise, Focus
from trainer.practice.rep_code import RepSpec
from trainer.practice.sitting import Sitting
from trainer.sound_files import read_sound
from trainer.text.answering import Answering
from trainer.text.drill import TextDrill

NOW = datetime(2030, 9, 2, 18, tzinfo=UTC)


class AtTheDevice(RecordingPlayer):
    """A recording player that claims to sound at a device."""

    @property
    def where(self) -> str:
        return ""


class OneRep:
    """The one rep of a block."""

    is_ready = True

    def __init__(self, rep: Rep) -> None:
        self._rep = rep

    def __next__(self) -> Rep:
        return self._rep


def rep_on(scope: str, exercise: Exercise = compression.EXERCISE) -> Rep:
    focus = Focus(8.0, scope=scope)  # type: ignore[arg-type]
    return deal(RepSpec(exercise.key, "noise", 4, focus), exercise, NoiseShow())


def drilled(rep: Rep, player: Player, *typed: str) -> list[str]:
    """Return what a terminal showed in a block of one rep: prompts, then what was typed, and all that was said."""
    lines, shown = iter(typed), []

    def ask(prompt: str) -> str | None:
        said = next(lines, None)
        shown.append(f"{prompt.splitlines()[0]} <{said}>")
        return said

    uids: Iterator[int] = iter(range(1, 9))
    sitting = Sitting(
        f"{0:032x}", "Heron", (rep.exercise.key,), "noise", count=1, seed=1, size=None, begun_at=NOW
    )
    block = Block(
        sitting,
        reps=OneRep(rep),
        remember=lambda _: None,
        now=lambda: NOW,
        new_uid=lambda: f"{next(uids):032x}",
    )
    TextDrill(block, Answering(player, ask, shown.append, -20.0), now=lambda: NOW).run()
    return shown


def after_reveal(shown: list[str]) -> list[str]:
    return shown[1 + next(n for n, line in enumerate(shown) if line.startswith("Rep code: ")) :]


def test_w_lets_only_the_target_be_heard_plain_and_changed_and_goes_back_again() -> None:
    rep, player = rep_on("section"), AtTheDevice()
    shown = drilled(rep, player, "", "w", "g", "p", "w", "c", "p", "c", "w", "w", "y", "")
    only = only_words(rep.change)
    assert only.startswith("only the ")
    there = f"Enter next rep · p plain · c changed · w {only} · + - listening level · q quit"
    back = there.replace(only, "the whole mix again")
    assert after_reveal(shown)[:9] == [
        f"[sounding now: changed] {there} <p>",
        f"[sounding now: plain] {there} <w>",
        f"[sounding now: plain alone] {back} <c>",
        f"[sounding now: changed alone] {back} <p>",
        f"[sounding now: plain alone] {back} <c>",
        f"[sounding now: changed alone] {back} <w>",
        f"[sounding now: changed] {there} <w>",
        f"[sounding now: changed alone] {back} <y>",
        f"'y' is none of: {back}",
    ]
    before = shown[: -len(after_reveal(shown))]
    assert not any(only in line or " w " in line for line in before), "nothing is told before the answer"
    assert any(line.startswith("'w' is no answer") for line in before)
    alone = target_alone(rep)
    assert alone is not None
    assert [version for version, _ in player.adds] == [Version.ALONE_PLAIN, Version.ALONE_CHANGED]
    for (_, sound), wanted in zip(player.adds, alone, strict=True):
        assert (sound.samples == wanted.samples).all()
    assert len(player.loads) == 1, "what sounds is not begun again"


def test_of_the_whole_mix_nothing_is_heard_alone() -> None:
    rep, player = rep_on("mix", octave_tone.EXERCISE), AtTheDevice()
    shown = after_reveal(drilled(rep, player, "g", "w", ""))
    keys = "Enter next rep · p plain · c changed · + - listening level · q quit"
    assert shown[:2] == [f"[sounding now: plain] {keys} <w>", f"'w' is none of: {keys}"]
    assert player.adds == []


def test_a_wrong_answer_can_be_heard_beside_it() -> None:
    rep, player = rep_on("stem", octave_tone.EXERCISE), AtTheDevice()
    band = next(one for one in rep.question.fields[0].options if one != rep.answer["band"])
    shown = after_reveal(drilled(rep, player, f"{band:g} boost", "w", "y", "w", ""))
    sounding = [line.split("]")[0] for line in shown if line.startswith("[")]
    versions = ("plain", "plain alone", "your answer", "changed alone")
    assert sounding == [f"[sounding now: {version}" for version in versions]
    assert all("y your answer" in line for line in shown if line.startswith("["))


@pytest.mark.parametrize("scope", ["section", "stem"])
def test_without_a_device_it_is_written_beside_the_others(scope: str, tmp_path: Path) -> None:
    rep = rep_on(scope)
    shown = after_reveal(drilled(rep, WaveFilePlayer(tmp_path), "g", "w", ""))
    assert shown[0] == (
        f"Listen to plain.wav, changed.wav, alone-plain.wav and alone-changed.wav in {tmp_path.resolve()}."
    )
    alone = target_alone(rep)
    assert alone is not None
    for name, sound in zip(("alone-plain.wav", "alone-changed.wav"), alone, strict=True):
        assert (read_sound(tmp_path / name).samples == sound.samples).all()
