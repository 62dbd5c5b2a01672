"""The device player's dealings with SDL: no device, lost devices, faults, one at a time."""

import faulthandler
import gc
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from tests.playback.music import VERSIONS
from trainer.playback import device
from trainer.playback.audio_system import AudioSystem, name_to_open
from trainer.playback.default_device import default_device_name, driver_name, sdl_library
from trainer.playback.device import DevicePlayer, device_names, device_report, open_player, prepare_process
from trainer.playback.player import NoDevice
from trainer.playback.sdl import audio, pygame


class ShiftedClock:
    """The computer's clock, which a test can move on."""

    def __init__(self) -> None:
        self.ahead_s = 0.0

    def __call__(self) -> float:
        return time.perf_counter() + self.ahead_s


@pytest.fixture(autouse=True)
def hang_guard() -> Iterator[None]:
    faulthandler.dump_traceback_later(30, exit=True)
    yield
    faulthandler.cancel_dump_traceback_later()


@pytest.fixture
def clock() -> ShiftedClock:
    return ShiftedClock()


@pytest.fixture
def disk(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[Path]:
    """Let SDL write to a file of this test; close afterwards what a failed test has left open."""
    monkeypatch.setenv("SDL_AUDIODRIVER", "disk")
    monkeypatch.setenv("SDL_DISKAUDIOFILE", str(tmp_path / "heard.raw"))
    yield tmp_path / "heard.raw"
    for left_open in list(device._open_players):
        left_open.close()


@pytest.fixture
def player(disk: Path, clock: ShiftedClock) -> Iterator[DevicePlayer]:
    opened = open_player(chunk_frames=512, environ={"SDL_DISKAUDIOFILE": str(disk)}, clock=clock)
    yield opened
    opened.close()


def wait_until(condition: Callable[[], bool]) -> None:
    deadline_s = time.monotonic() + 10.0
    while not condition():
        assert time.monotonic() < deadline_s, "waited in vain"
        time.sleep(0.001)


NO_DEVICE = {
    "nonsense": "The sound device cannot be opened: Audio target 'nonsense' not available.",
    "dummy": "SDL's audio driver is 'dummy', which plays to nobody.",
}


@pytest.mark.parametrize("driver", NO_DEVICE)
def test_without_a_device_that_is_heard_there_is_no_player(
    driver: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SDL_AUDIODRIVER", driver)
    with pytest.raises(NoDevice) as refused:
        open_player()
    assert str(refused.value) == NO_DEVICE[driver]
    assert device_report().problem == NO_DEVICE[driver]
    assert device_report().opened == ""


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="ALSA is Linux's")
def test_without_a_sound_card_there_is_no_player(monkeypatch: pytest.MonkeyPatch) -> None:
    """ALSA with an empty configuration knows no card, whatever this machine has."""
    monkeypatch.setenv("SDL_AUDIODRIVER", "alsa")
    monkeypatch.setenv("ALSA_CONFIG_PATH", "/dev/null")
    with pytest.raises(NoDevice, match=r"^There is no sound device on this machine[^.]*\.$"):
        open_player()


def test_naming_a_device_does_not_make_a_dummy_heard(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SDL_AUDIODRIVER", "dummy")
    with pytest.raises(NoDevice, match="plays to nobody"):
        open_player(device_name="System audio output device")


def test_a_device_that_cannot_be_opened_is_named(disk: Path) -> None:
    with pytest.raises(NoDevice, match=r"^The sound device '.*missing.*' cannot be opened: .*\.$"):
        open_player(device_name=str(disk.parent / "missing" / "heard.raw"))
    open_player().close()


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="ALSA is Linux's")
def test_a_named_device_that_is_gone_is_named_and_there_is_no_player(monkeypatch: pytest.MonkeyPatch) -> None:
    """ALSA with an empty configuration knows no card, whatever this machine has."""
    monkeypatch.setenv("SDL_AUDIODRIVER", "alsa")
    monkeypatch.setenv("ALSA_CONFIG_PATH", "/dev/null")
    message = r"^The sound device 'Desk' is not there; the sound devices there are: none\.$"
    with pytest.raises(NoDevice, match=message):
        open_player(device_name="Desk")


SYSTEM = AudioSystem("alsa", ("Screen", "Desk"), "Desk")


@pytest.mark.parametrize(
    ("asked", "system", "opened"),
    [
        ("Screen", SYSTEM, "Screen"),
        (None, SYSTEM, "Desk"),
        (None, AudioSystem("alsa", ("Screen", "Desk")), "Screen"),
        (None, AudioSystem("alsa", ("Screen", "Desk"), "Headphones"), "Screen"),
        (None, AudioSystem("disk", ("System audio output device",)), "sounds.raw"),
        ("mine.raw", AudioSystem("disk", ("System audio output device",)), "mine.raw"),
    ],
)
def test_the_named_device_is_opened_else_the_default_else_the_first(
    asked: str | None, system: AudioSystem, opened: str
) -> None:
    assert name_to_open(asked, system, {"SDL_DISKAUDIOFILE": "sounds.raw"}) == opened


def test_a_device_that_is_not_there_is_refused_with_those_that_are() -> None:
    with pytest.raises(NoDevice) as refused:
        name_to_open("Radio", SYSTEM, {})
    assert str(refused.value) == (
        "The sound device 'Radio' is not there; the sound devices there are: 'Screen', 'Desk'."
    )


def test_the_devices_are_named_beside_an_open_player_and_without_one(disk: Path) -> None:
    """SDL's disk driver lists one device, by the name SDL gives to what it cannot name."""
    listed = ("System audio output device",)
    assert device_names() == listed
    assert not disk.exists(), "nothing is opened for the question"
    with pytest.raises(RuntimeError, match="not initialised"):
        audio.get_audio_device_names(False)
    player = open_player()
    assert device_names() == listed
    before = player.rendered_frames
    wait_until(lambda: player.rendered_frames > before)
    player.close()


@pytest.mark.parametrize("driver", ["nonsense", "dummy"])
def test_no_device_is_named_where_nobody_would_hear_it(driver: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SDL_AUDIODRIVER", driver)
    assert device_names() == ()


def test_only_one_player_holds_the_device(player: DevicePlayer) -> None:
    with pytest.raises(NoDevice, match="already in use by this program"):
        open_player()
    player.close()
    open_player().close()


@pytest.mark.usefixtures("disk")
def test_audio_that_somebody_else_started_does_not_make_closing_hang() -> None:
    """SDL counts who started its audio: closing has to bring the count to nothing, or it waits for ever."""
    pygame.mixer.init()
    player = open_player()
    player.load(VERSIONS)
    player.play()
    player.close()
    with pytest.raises(RuntimeError, match="not initialised"):
        audio.get_audio_device_names(False)


def test_the_removal_of_this_device_becomes_a_problem_and_it_plays_on(player: DevicePlayer) -> None:
    player.load(VERSIONS)
    player.play()
    this = audio_id(player)
    player.notice(SimpleNamespace(type=pygame.AUDIODEVICEADDED, which=this, iscapture=0))
    player.notice(SimpleNamespace(type=pygame.AUDIODEVICEREMOVED, which=this + 1, iscapture=0))
    player.notice(SimpleNamespace(type=pygame.AUDIODEVICEREMOVED, which=this, iscapture=1))
    player.notice(SimpleNamespace(type=pygame.KEYDOWN))
    assert player.problem == ""
    player.notice(SimpleNamespace(type=pygame.AUDIODEVICEREMOVED, which=this, iscapture=0))
    assert (
        player.problem == f"The sound device '{player.device_name}' was removed: nothing is heard any more."
    )
    place_s = player.position_s
    wait_until(lambda: player.position_s != place_s)


def remove(player: DevicePlayer) -> None:
    player.notice(SimpleNamespace(type=pygame.AUDIODEVICEREMOVED, which=audio_id(player), iscapture=0))


def test_a_removed_device_is_lost_and_closed_without_waiting_for_a_fade(
    player: DevicePlayer, monkeypatch: pytest.MonkeyPatch
) -> None:
    player.load(VERSIONS)
    player.play()
    wait_until(lambda: player.position_s > 0.0)
    assert not player.is_lost
    remove(player)
    assert player.is_lost
    waits_s: list[float] = []
    with monkeypatch.context() as patch:
        patch.setattr(device.time, "sleep", waits_s.append)
        player.close()
    assert waits_s == []
    assert player.problem == "The sound device is closed."
    assert player.is_lost


def test_a_lost_device_can_be_opened_again(player: DevicePlayer, disk: Path) -> None:
    remove(player)
    player.close()
    again = open_player(device_name=str(disk))
    assert not again.is_lost
    assert again.problem == ""
    wait_until(lambda: again.rendered_frames > 0)
    again.close()


def test_a_player_that_is_only_closed_is_not_lost(player: DevicePlayer, clock: ShiftedClock) -> None:
    player.close()
    clock.ahead_s += 60.0
    assert not player.is_lost


def audio_id(player: DevicePlayer) -> int:
    return int(player._device.deviceid)


def test_a_device_that_has_left_the_list_becomes_a_problem(disk: Path, clock: ShiftedClock) -> None:
    """Without a window there are no events: SDL's list of devices is looked through instead."""
    listed = "System audio output device"
    player = open_player(device_name=listed, clock=clock)
    assert disk.exists(), "the only device that SDL's disk driver lists"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(audio, "get_audio_device_names", lambda _iscapture: ["another device"])
        assert player.problem == ""
        clock.ahead_s += 2.5
        assert player.is_lost
        assert "was removed" in player.problem
    player.close()


def test_a_device_that_asks_no_more_becomes_a_problem(player: DevicePlayer, clock: ShiftedClock) -> None:
    wait_until(lambda: player.rendered_frames > 0)
    assert player.problem == ""
    pygame.mixer.quit()
    assert not player.is_lost
    clock.ahead_s += 3.1
    assert player.is_lost
    assert player.problem == f"The sound device '{player.device_name}' has stopped asking for sound."


def test_a_fault_in_the_renderer_is_silence_and_a_problem(
    player: DevicePlayer, disk: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def break_down(out: np.ndarray) -> None:
        out[:] = 0.5
        raise ZeroDivisionError("no such music")

    monkeypatch.setattr(player, "render", break_down)
    wait_until(lambda: player.problem != "")
    assert "fault in this program: ZeroDivisionError('no such music')" in player.problem
    player.close()
    assert not np.fromfile(disk, np.float32).any()


def test_a_closed_player_says_so(player: DevicePlayer) -> None:
    player.close()
    assert player.problem == "The sound device is closed."


def test_sound_that_had_to_be_cut_becomes_a_problem(player: DevicePlayer) -> None:
    player.load({key: type(sound).of(3.0 * sound.samples) for key, sound in VERSIONS.items()})
    player.set_level(0.0)
    player.play()
    wait_until(lambda: player.clipped_frames > 0)
    assert player.problem.startswith("The sound was cut at the ceiling in ")


def test_the_report_names_what_was_opened(disk: Path) -> None:
    report = device_report()
    assert report.system.driver == "disk"
    assert report.opened == str(disk)
    assert report.problem == ""
    assert report.pygame_version == pygame.version.ver
    player = open_player()
    assert device_report() == report, "also beside an open player, which it leaves open"
    assert player.problem == ""
    player.close()


@pytest.mark.usefixtures("disk")
def test_sdl_is_found_and_asked() -> None:
    """The library found answers with the driver that the environment asks for."""
    library = sdl_library(Path(pygame.__file__).parent)
    assert library is not None
    player = open_player()
    assert driver_name(library) == "disk"
    assert default_device_name(library) == "", "the disk driver knows no default device"
    player.close()
    assert driver_name(library) == ""


def test_where_sdl_cannot_be_found_nothing_is_known() -> None:
    assert driver_name(None) == ""
    assert default_device_name(None) == ""


def test_a_prepared_process_hands_over_quickly_and_collects_less() -> None:
    before_s = sys.getswitchinterval()
    try:
        prepare_process()
        assert sys.getswitchinterval() == pytest.approx(0.0005)
        assert gc.get_freeze_count() > 1_000
    finally:
        gc.unfreeze()
        sys.setswitchinterval(before_s)
