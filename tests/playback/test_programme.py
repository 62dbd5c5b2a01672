"""What may be loaded together, and what is refused at the door."""

import numpy as np
import pytest

from trainer.playback.player import Version
from trainer.playback.programme import programme_of
from trainer.sound import Sound


def test_a_mono_sound_goes_to_both_sides() -> None:
    programme = programme_of({Version.CHANGED: Sound.of([0.1, 0.2, 0.3])})
    assert programme.versions == (Version.CHANGED,)
    assert programme.frames == 3
    plain, changed, *others = programme.samples
    assert plain is None
    assert others == [None, None, None]
    assert changed is not None
    assert changed == pytest.approx(np.array([[0.1, 0.1], [0.2, 0.2], [0.3, 0.3]]))


REFUSED = {
    "at least one version": {},
    "one length": {Version.PLAIN: Sound.silence(10), Version.CHANGED: Sound.silence(11)},
    "one rate": {Version.PLAIN: Sound.silence(10), Version.CHANGED: Sound.silence(10, rate_hz=44_100)},
    "'plain' has 0 frames": {Version.PLAIN: Sound.silence(0)},
    "10 frames of 3 channels": {Version.PLAIN: Sound.silence(10, channels=3)},
    "'your answer' holds samples that are not finite": {Version.YOURS: Sound.of([0.0, np.nan])},
}


@pytest.mark.parametrize("message", REFUSED)
def test_versions_that_cannot_play_together_are_refused(message: str) -> None:
    with pytest.raises(ValueError, match=message):
        programme_of(REFUSED[message])
