"""A version added while the others play: nothing that sounds is touched by it."""

from collections.abc import Mapping

import numpy as np
import pytest

from tests.playback.music import (
    LOOP_FRAMES,
    VERSIONS,
    expected,
    largest_steps,
    place_of,
    rendered,
    steps_of_loop,
)
from trainer.playback.loop import Loop
from trainer.playback.player import Version
from trainer.sound import Sound

FLIP = 720
OWN_STEPS = steps_of_loop(*VERSIONS.values())
TWO = {key: VERSIONS[key] for key in (Version.PLAIN, Version.CHANGED)}


def playing_two(*, dip: bool = False, versions: Mapping[Version, Sound] = TWO) -> Loop:
    """Return a loop that has been playing for 1.5 s: two versions of three, where not said otherwise."""
    loop = Loop()
    loop.load(versions, dip=dip)
    loop.set_level(0.0)
    loop.play()
    rendered(loop, 1.5)
    return loop


def test_what_sounds_goes_on_bit_for_bit() -> None:
    loop = playing_two()
    loop.flip(Version.CHANGED)
    rendered(loop, 0.1)
    place = place_of(loop)
    loop.add(Version.YOURS, VERSIONS[Version.YOURS])
    heard = rendered(loop, 0.9)
    assert (heard == expected(Version.CHANGED, place, len(heard))).all()
    assert loop.sounding is loop.heard is Version.CHANGED
    assert loop.is_playing


def test_a_crossfade_on_its_way_is_not_disturbed() -> None:
    """Frame for frame the crossfade of a loop that had all three from the start."""
    two, three = playing_two(), playing_two(versions=VERSIONS)
    heard = []
    for loop in (two, three):
        loop.flip(Version.CHANGED)
        first = rendered(loop, 0.005)
        if loop is two:
            loop.add(Version.YOURS, VERSIONS[Version.YOURS])
        heard.append(np.concatenate([first, rendered(loop, 0.1)]))
    assert (heard[0] == heard[1]).all()


@pytest.mark.parametrize("dip", [False, True])
def test_the_added_version_is_flipped_to_at_the_same_place(dip: bool) -> None:
    loop = playing_two(dip=dip)
    place = place_of(loop)
    loop.add(Version.YOURS, VERSIONS[Version.YOURS])
    loop.flip(Version.YOURS)
    heard = rendered(loop, 0.8)
    settled = 2 * FLIP + 960
    assert (heard[settled:] == expected(Version.YOURS, place, len(heard))[settled:]).all()
    assert (largest_steps(heard) <= OWN_STEPS * 1.001).all()


def test_a_version_added_before_the_first_note_and_one_added_while_stopped_are_there() -> None:
    loop = Loop()
    loop.load({Version.PLAIN: VERSIONS[Version.PLAIN]})
    loop.add(Version.CHANGED, VERSIONS[Version.CHANGED])
    loop.set_level(0.0)
    rendered(loop, 0.1)
    loop.add(Version.YOURS, VERSIONS[Version.YOURS])
    for version in (Version.CHANGED, Version.YOURS):
        loop.flip(version)
        loop.play()
        rendered(loop, 1.5)
        place = place_of(loop)
        assert (rendered(loop, 0.1) == expected(version, place, 4_800)).all()


def test_loading_and_adding_in_one_breath_still_fades_between() -> None:
    loop = playing_two()
    place = place_of(loop)
    silence = Sound.silence(100)
    loop.load({Version.PLAIN: silence})
    loop.add(Version.CHANGED, silence)
    loop.flip(Version.CHANGED)
    loop.play()
    heard = rendered(loop, 0.2)
    assert heard[:20] == pytest.approx(expected(Version.PLAIN, place, 20), abs=1e-3), "the fade begins"
    assert (largest_steps(heard) <= OWN_STEPS).all()
    assert not heard[2_880:].any()


REFUSED = {
    "nothing is loaded to add": (None, Version.YOURS, VERSIONS[Version.YOURS]),
    "'changed' is loaded already": (TWO, Version.CHANGED, VERSIONS[Version.CHANGED]),
    f"needs {LOOP_FRAMES} frames at 48000 Hz": (TWO, Version.YOURS, Sound.silence(LOOP_FRAMES - 1)),
    "not 36777 at 44100 Hz": (TWO, Version.YOURS, Sound.silence(LOOP_FRAMES, rate_hz=44_100)),
    "of 3 channels": (TWO, Version.YOURS, Sound.silence(LOOP_FRAMES, channels=3)),
    "not finite": (TWO, Version.YOURS, Sound.of(np.full((LOOP_FRAMES, 2), np.nan))),
}


@pytest.mark.parametrize("message", REFUSED)
def test_what_cannot_be_added_is_refused_and_changes_nothing(message: str) -> None:
    loaded, version, sound = REFUSED[message]
    loop = Loop()
    if loaded:
        loop.load(loaded)
    before = loop.asked
    with pytest.raises(ValueError, match=message):
        loop.add(version, sound)
    assert loop.asked.versions.keys() == before.versions.keys()
    assert not rendered(loop, 0.1).any()
