"""The watch over a device's calls: gaps longer than the buffers bridge."""

import pytest

from trainer.playback.watch import Watch


def watch(*calls_s: float) -> Watch:
    made = Watch(buffer_s=0.1, opened_at_s=0.0)
    for at_s in calls_s:
        made.called(at_s=at_s)
    return made


@pytest.mark.parametrize(
    ("calls_s", "late"),
    [
        ((), 0),
        ((0.1, 0.2, 0.3), 0),
        ((0.1, 0.1, 0.29, 0.3), 0),
        ((0.1, 0.31, 0.41), 1),
        ((0.1, 0.4, 0.5, 0.8), 2),
        ((2.0, 2.1), 0),  # a device may take its time to start
    ],
)
def test_a_call_after_more_than_two_buffers_is_late(calls_s: tuple[float, ...], late: int) -> None:
    assert watch(*calls_s).late == late


def test_a_device_has_stopped_after_three_seconds_without_a_call() -> None:
    assert not watch().has_stopped(at_s=2.9)
    assert watch().has_stopped(at_s=3.1)
    assert not watch(1.0).has_stopped(at_s=3.9)
    assert watch(1.0).has_stopped(at_s=4.1)
