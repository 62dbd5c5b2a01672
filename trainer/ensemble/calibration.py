"""Calibrating the mixdown: what the strips' gains must be for every part to stand where it should.

Run ``python -m trainer.ensemble.calibration`` after a voice has changed its level, and copy the gains it
prints into ``mixdown.STRIPS``.
"""

import sys
from collections.abc import Iterable

import numpy as np

from trainer.dsp.loudness import integrated_loudness_lufs
from trainer.ensemble.bank import NoteBank
from trainer.ensemble.composer import compose
from trainer.ensemble.mixdown import MIX_LUFS, STRIPS, Strip
from trainer.ensemble.parts import LINE_UP_BY_KEY
from trainer.ensemble.shows import stems_of

SEEDS = range(9000, 9008)
"""Seeds of scores that are only listened to here."""


def stem_loudness_lufs(seeds: Iterable[int], *, bank: NoteBank) -> dict[str, list[float]]:
    """Return every part's loudness as the strips stand, seed by seed."""
    heard: dict[str, list[float]] = {part: [] for part in STRIPS}
    for seed in seeds:
        score = compose(np.random.default_rng(seed), line_up=LINE_UP_BY_KEY["field-show"])
        for part, stem in stems_of(score, bank=bank, seed=seed).items():
            heard[part].append(integrated_loudness_lufs(stem, loop=True))
    return heard


def calibrated_gain_db(strip: Strip, heard_lufs: Iterable[float]) -> float:
    """Return the gain that brings a part, heard with the strip as it is, to its place in the mix."""
    wanted_lufs = MIX_LUFS + strip.loudness_lu
    return strip.gain_db + wanted_lufs - float(np.mean(list(heard_lufs)))


def main() -> None:
    """Print the gain every strip should have, and how far each part's loudness varies."""
    for part, heard in stem_loudness_lufs(SEEDS, bank=NoteBank()).items():
        gain_db = calibrated_gain_db(STRIPS[part], heard)
        sys.stdout.write(f"{part:18s} gain {gain_db:6.1f} dB, varies by {np.std(heard):.1f} dB\n")


if __name__ == "__main__":
    main()
