"""What a loop says was heard, against the frames it rendered: the music tells its version and its place."""

from collections.abc import Callable

import numpy as np
import pytest

from tests.playback.music import LOOP_FRAMES, expected, playing, rendered
from trainer.playback.loop import Loop
from trainer.playback.player import Version
from trainer.playback.trail import LONGEST, Mark, Trail
from trainer.sound import RATE_HZ, Samples

FLIP = 720
"""15 ms at 48 kHz."""
SETTLED = 2_880
"""60 ms, the longest fade but the first."""


def pure(heard: Samples, frame: int, mark: Mark, first: int) -> bool:
    """Say whether a frame rendered is the music of a mark, bit for bit."""
    place = round(mark.place_at(frame))
    return bool((heard[frame - first] == expected(mark.version, place, 1)[0]).all())


Step = Callable[[Loop], None]
SESSION: tuple[Step, ...] = (
    lambda loop: loop.flip(Version.CHANGED),
    lambda loop: loop.flip(Version.YOURS),
    lambda loop: loop.restart(),
    lambda loop: loop.flip(Version.ALONE_CHANGED),
    lambda loop: loop.flip(Version.ALONE_PLAIN),
    lambda loop: loop.flip(Version.PLAIN),
    lambda loop: loop.stop(),
    lambda loop: loop.flip(Version.YOURS),
    lambda loop: loop.play(),
    lambda loop: loop.restart(),
)


@pytest.mark.parametrize("dip", [False, True])
@pytest.mark.parametrize("buffer_frames", [512, 2_048])
def test_every_frame_is_the_version_and_the_place_that_the_trail_says(buffer_frames: int, dip: bool) -> None:
    """Bit for bit, in every stretch of a session that neither fades nor is silent; three seams and a restart."""
    loop = playing(dip=dip)
    first, parts = loop.rendered_frames, []
    checked: set[Version] = set()
    for step in SESSION:
        step(loop)
        parts.append(rendered(loop, 0.3, buffer_frames=buffer_frames))
        heard = np.concatenate(parts)
        end = loop.rendered_frames
        for frame in range(end - len(parts[-1]) + 2 * SETTLED, end, 97):
            mark = loop._trail.at(frame)
            if loop.is_playing:
                assert pure(heard, frame, mark, first)
                checked.add(mark.version)
            else:
                assert mark.loop_frames == 0
                assert not heard[frame - first].any()
    assert checked == set(Version)


def test_a_flip_is_heard_from_where_its_crossfade_begins() -> None:
    loop = playing()
    rendered(loop, 0.01)
    before = loop.rendered_frames
    loop.flip(Version.CHANGED)
    assert (loop.sounding, loop.heard) == (Version.CHANGED, Version.PLAIN)
    rendered(loop, 0.02)
    assert loop.heard is Version.CHANGED
    assert loop._trail.at(before - 1).version is Version.PLAIN
    assert loop._trail.at(before).version is Version.CHANGED


def test_with_a_dip_the_new_version_is_heard_from_the_end_of_the_silence() -> None:
    loop = playing(dip=True)
    before = loop.rendered_frames
    loop.flip(Version.CHANGED)
    rendered(loop, 0.2)
    silence = 960  # 20 ms
    assert loop._trail.at(before + FLIP + silence - 1).version is Version.PLAIN
    assert loop._trail.at(before + FLIP + silence).version is Version.CHANGED


def test_a_flip_asked_for_while_something_new_fades_in_is_heard_when_it_comes() -> None:
    loop = playing()
    loop.load({Version.YOURS: playing().asked.versions[Version.YOURS]})
    rendered(loop, 0.01, buffer_frames=480)
    assert loop.heard is Version.PLAIN, "still fading out"
    rendered(loop, 0.1, buffer_frames=480)
    assert loop.heard is Version.YOURS


def test_the_place_goes_round_the_loop_and_stands_where_it_was_stopped() -> None:
    loop = playing()
    rendered(loop, LOOP_FRAMES / RATE_HZ)
    loop.stop()
    rendered(loop, 0.5)
    stood = loop.position_s * RATE_HZ
    assert loop._trail.at(loop.rendered_frames).place_at(loop.rendered_frames + 5_000) == pytest.approx(stood)
    assert loop.heard_position_s == loop.position_s


def test_a_trail_keeps_no_mark_for_what_simply_goes_on_and_forgets_the_oldest() -> None:
    trail = Trail()
    for frame in range(0, 10_000, 100):
        trail.leave(Mark(frame, (frame + 7) % 990, 990, Version.PLAIN))
    assert trail.at(9_999) == Mark(0, 7, 990, Version.PLAIN)
    assert trail.at(9_999).place_at(9_999) == (9_999 + 7) % 990
    for frame in range(10_000, 10_000 + 10 * LONGEST):
        trail.leave(Mark(frame, 0, 990, tuple(Version)[frame % 2]))
    assert trail.at(10_000 + 10 * LONGEST).frame == 10_000 + 10 * LONGEST - 1
    assert trail.at(0).frame == 10_000 + 9 * LONGEST, "the oldest one there is"
