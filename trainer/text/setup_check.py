"""The check and the calibration of a setup in a terminal: quiet sounds, lines in, lines out."""

from dataclasses import dataclass

from numpy.random import Generator

from trainer.playback.care import CAUTION, GUIDANCE
from trainer.playback.player import Player, Version
from trainer.practice.setup_check import Trial, Verdict, sound_of, trials, verdict_of
from trainer.progress.setups import Calibration
from trainer.refusal import Refused
from trainer.sound import Sound
from trainer.text.lines import Ask, Say, turned, typed

LEVEL_KEYS = "+ - listening level · Enter it is comfortable · q quit"
TRIAL_KEYS = "Enter the moment you hear something · n nothing · r once more · q quit"
HOW_IT_GOES = (
    "Now quiet sounds, one by one, each rising from silence and beginning again after ten seconds. Press Enter\n"
    "the moment you hear one, or n after it has come round and you have heard nothing. Some of them are silence."
)
NIOSH_LIMIT_DB, NIOSH_HOURS, EXCHANGE_DB = 85.0, 8.0, 3.0
"""NIOSH criteria document 98-126: 85 dBA for eight hours, half the time for every 3 dB more."""


@dataclass
class SetupCheck:
    """A check, or a calibration, line by line; ``level_db`` is the listening level, kept up to date."""

    player: Player
    ask: Ask
    say: Say
    rng: Generator
    level_db: float

    def set_level(self, noise: Sound) -> None:
        """Have the listening level set from the quietest up, to a steady noise as loud as the music."""
        self.say(CAUTION)
        self.say(GUIDANCE)
        self.player.load({Version.PLAIN: noise})
        self.player.set_level(self.level_db)
        self.player.play()
        while said := self._line(f"[{self.level_db:.0f} dB] {LEVEL_KEYS}\n> "):
            level_db = turned(self.level_db, said)
            if level_db is None:
                self.say(f"{said!r} is none of: {LEVEL_KEYS}")
                continue
            self.level_db = level_db
            self.player.set_level(level_db)
        self.player.stop()

    def run(self) -> Verdict:
        """Go through all the sounds; return what was heard tells. `Leave` where somebody stops."""
        self.say(HOW_IT_GOES)
        order = trials(self.rng)
        heard = []
        for number, trial in enumerate(order, 1):
            heard.append((trial, self._heard(trial, f"{number} of {len(order)}")))
        self.player.stop()
        return verdict_of(heard)

    def _heard(self, trial: Trial, where: str) -> float | None:
        """Return where in its loop a sound was heard, in seconds; None for not at all."""
        self.player.load({Version.PLAIN: sound_of(trial, self.rng)})
        self.player.play()
        while True:
            said = self._line(f"{where} · {TRIAL_KEYS}\n> ")
            at_s = self.player.heard_position_s
            if self.player.problem:
                raise Refused(self.player.problem)
            if said == "":
                return at_s
            if said == "n":
                return None
            if said == "r":
                self.player.restart()
            else:
                self.say(f"{said!r} is none of: {TRIAL_KEYS}")

    def calibrate(self, noise: Sound) -> Calibration:
        """Have the level read off a sound level meter at the ear."""
        self.set_level(noise)
        self.player.play()
        try:
            while True:
                said = self._line("What does the meter read at your ear, in dB (slow)? q quits\n> ")
                weighting = self._line("Weighted A or C? Enter if you cannot tell\n> ").upper()
                try:
                    return Calibration(self.level_db, _decibels(said), weighting)
                except Refused as why:
                    self.say(f"{why}.")
        finally:
            self.player.stop()

    def _line(self, prompt: str) -> str:
        return typed(self.ask, prompt)


def _decibels(typed: str) -> float:
    try:
        return float(typed.removesuffix("a").removesuffix("c").removesuffix("db").replace(",", "."))
    except ValueError:
        raise Refused(f"{typed!r} is no number of decibels; a meter reads something like 72.5") from None


def reading_words(calibration: Calibration) -> str:
    """Return what a reading means for how long one may listen, as general guidance."""
    if calibration.weighting != "A":
        return "Only an A-weighted reading says for how long that is safe; this one is kept beside the setup."
    hours = NIOSH_HOURS / 2.0 ** ((calibration.reads_db - NIOSH_LIMIT_DB) / EXCHANGE_DB)
    long = f"{hours:.0f} hours" if hours >= 2.0 else f"{60.0 * hours:.0f} minutes"
    return (
        f"As general guidance: NIOSH 98-126 allows {long} a day at {calibration.reads_db:.0f} dBA, all of the day's "
        "noise counted; WHO–ITU H.870 asks for less. Local rules and a hearing professional come first."
    )
