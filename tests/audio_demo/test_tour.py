"""The tour: its files, their levels, and whether what changed is what the captions say."""

from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pyloudnorm
import pytest
from scipy import signal

from audio_demo.examples import EXAMPLES, Example, only
from audio_demo.files import CAPTIONS, files_of, write_tour
from audio_demo.playing import BETWEEN_S, FLIPS, STAY_S, play_tour
from audio_demo.tour import COUNT, SEED, SHOW, Stop, Tour
from tests.fakes import RecordingPlayer
from trainer.assembly import Assembly
from trainer.dsp.octave_bands import NOMINAL_HZ, band_levels_db, band_powers_over_time
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.parts import PARTS
from trainer.ensemble.shows import Show
from trainer.practice.catalogue import load
from trainer.refusal import Refused
from trainer.sound import Sound
from trainer.sound_files import read_sound


@dataclass
class KeepingShow:
    """A show that makes each excerpt once."""

    show: Show
    made: dict[int, Excerpt] = field(default_factory=dict)

    @property
    def key(self) -> str:
        return self.show.key

    @property
    def title(self) -> str:
        return self.show.title

    def excerpt(self, seed: int) -> Excerpt:
        if seed not in self.made:
            self.made[seed] = self.show.excerpt(seed)
        return self.made[seed]


@pytest.fixture(scope="module")
def show() -> KeepingShow:
    return KeepingShow(Assembly(environ={}).show(SHOW))


@pytest.fixture(scope="module")
def stops(show: KeepingShow) -> list[Stop]:
    return list(Tour(show, load()).stops())


@pytest.fixture(scope="module")
def folder(stops: list[Stop], tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("tour")
    write_tour("the tour", stops, path)
    return path


def stop_of(name: str, stops: list[Stop]) -> Stop:
    return next(stop for stop in stops if stop.name == name and stop.hall != "the sections")


def shift_db(stop: Stop) -> np.ndarray:
    """Return by how many dB each octave band stands higher in the changed version."""
    assert stop.changed is not None
    return np.asarray(band_levels_db(stop.changed) - band_levels_db(stop.plain))


def test_every_part_has_something_to_do(show: KeepingShow) -> None:
    score = show.excerpt(SEED).score
    assert score is not None
    for part in PARTS:
        assert len(score.notes_of(part.key)) >= 6, part.key


def test_the_stops_are_numbered_and_as_many_as_announced(stops: list[Stop]) -> None:
    assert [stop.number for stop in stops] == list(range(1, COUNT + 1))
    assert COUNT == 20 + 5 + 3 + 6


def test_every_file_is_there_finite_and_in_the_captions(stops: list[Stop], folder: Path) -> None:
    captions = (folder / CAPTIONS).read_text(encoding="utf-8")
    named = {name for stop in stops for name, _ in files_of(stop)}
    assert {path.name for path in folder.glob("*.wav")} == named
    assert len(named) == COUNT + len(EXAMPLES)
    for name in named:
        assert name in captions
        sound = read_sound(folder / name)
        assert sound.rate_hz == 48_000
        assert np.isfinite(sound.samples).all()
        assert np.abs(sound.samples).max() > 1e-4, name


def test_plain_and_changed_are_in_step(folder: Path) -> None:
    for plain in folder.glob("*-plain.wav"):
        before, after = read_sound(plain), read_sound(folder / plain.name.replace("plain", "changed"))
        assert before.frames == after.frames
        a, b = before.samples[:, 0], after.samples[:, 0]
        correlated = signal.correlate(a, b, method="fft")
        lag = int(np.argmax(correlated)) - (len(b) - 1)
        assert abs(lag) <= 8, plain.name


def test_no_true_peak_is_over_the_ceiling(folder: Path) -> None:
    """EBU R 128: -1 dBTP; measured four times oversampled by scipy's own resampler (BS.1770-5, annex 2)."""
    for path in folder.glob("*.wav"):
        samples = read_sound(path).samples
        if np.abs(samples).max() < 0.25:
            continue  # 12 dB below full scale: no interpolated peak comes near the ceiling
        peak = np.abs(signal.resample_poly(samples, 4, 1, axis=0)).max()
        assert 20.0 * np.log10(peak) <= -0.95, path.name


def test_the_mixes_have_programme_loudness(folder: Path) -> None:
    """EBU R 128: -23 LUFS, by the pyloudnorm library; played twice, since it does not know of loops."""
    for path in folder.glob("*-mix-*.wav"):
        sound = read_sound(path)
        twice = np.concatenate([sound.samples, sound.samples])
        assert pyloudnorm.Meter(sound.rate_hz).integrated_loudness(twice) == pytest.approx(-23.0, abs=0.3)


def test_stems_and_sections_sum_to_the_mix(stops: list[Stop]) -> None:
    """What `captions.txt` promises: one gain, in step."""
    mix = stop_of("mix-gym", stops).plain.samples
    for hall in ("the stems", "the sections"):
        together = sum(stop.plain.samples.astype(np.float64) for stop in stops if stop.hall == hall)
        assert np.abs(together - mix).max() < 1e-4


def test_the_rooms_are_the_same_music_differently_heard(stops: list[Stop]) -> None:
    gym, stadium, dry = (stop_of(f"mix-{room}", stops).plain.samples for room in ("gym", "stadium", "dry"))
    assert gym.shape == stadium.shape == dry.shape
    for one, other in ((gym, stadium), (stadium, dry), (gym, dry)):
        assert np.abs(one - other).max() > 0.01


@pytest.mark.parametrize(
    ("name", "band_hz", "sign"),
    [
        ("mallets-under-the-synth", 500.0, +1.0),
        ("two-kilohertz-mix", 2000.0, +1.0),
        ("thin-bass-drums", 125.0, -1.0),
    ],
)
def test_the_captioned_band_is_the_one_that_moves_most(
    name: str, band_hz: float, sign: float, stops: list[Stop]
) -> None:
    stop = stop_of(name, stops)
    shift = sign * shift_db(stop)
    assert NOMINAL_HZ[int(np.argmax(shift))] == band_hz
    assert shift.max() >= 1.0
    words = f"{band_hz / 1000:g} kHz" if band_hz >= 1000 else f"{band_hz:g} Hz"
    assert f"{words}, {'boost' if sign > 0 else 'cut'}" in stop.caption[0]
    assert f"{words}, one octave wide" in stop.caption[2]


def test_the_boost_of_the_whole_mix_is_as_large_as_captioned(stops: list[Stop]) -> None:
    """A one-octave bell of 9 dB lifts its band by 6 to 9 dB beside the bands two octaves away."""
    shift = shift_db(stop_of("two-kilohertz-mix", stops))
    beside = np.mean(shift[[NOMINAL_HZ.index(500.0), NOMINAL_HZ.index(8000.0)]])
    assert 5.5 <= shift[NOMINAL_HZ.index(2000.0)] - beside <= 9.0


def test_the_hot_subs_are_six_decibels_up(stops: list[Stop]) -> None:
    """Changed less plain is the sub again: as loud as itself for +6 dB (a factor of 1.995), -0.04 dB."""
    stop = stop_of("hot-subs", stops)
    assert stop.changed is not None
    sub = stop_of("sub", stops)
    added = Sound(stop.changed.samples - stop.plain.samples)
    low = [NOMINAL_HZ.index(band_hz) for band_hz in (31.5, 63.0)]
    apart_db = (band_levels_db(added) - band_levels_db(sub.plain))[low]
    assert np.ptp(apart_db) < 0.2
    assert apart_db == pytest.approx(20.0 * np.log10(10.0 ** (6.0 / 20.0) - 1.0), abs=1.5)


@pytest.mark.parametrize(
    ("name", "bands_hz", "least_db"),
    [("clamped-narrator", (500.0, 1000.0, 2000.0), 0.8), ("flat-snares", (4000.0, 8000.0, 16000.0), 2.0)],
)
def test_the_compressed_ones_lose_their_dynamics(
    name: str, bands_hz: tuple[float, ...], least_db: float, stops: list[Stop]
) -> None:
    """What a compressor is for: the range of levels shrinks, here in the bands its target sounds in."""
    stop = stop_of(name, stops)
    assert stop.changed is not None
    lost_db = spread_db(stop.plain) - spread_db(stop.changed)
    assert np.mean([lost_db[NOMINAL_HZ.index(band_hz)] for band_hz in bands_hz]) > least_db


def spread_db(sound: Sound) -> np.ndarray:
    """Return how far the 20th and the 95th percentile of each band's level in 30 ms lie apart."""
    levels_db = 10.0 * np.log10(band_powers_over_time(sound, window_s=0.03, hop_s=0.01) + 1e-12)
    low, high = np.percentile(levels_db, [20.0, 95.0], axis=0)
    return np.asarray(high - low)


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.name)
def test_every_fault_has_a_caption_of_three_lines(example: Example, stops: list[Stop]) -> None:
    stop = stop_of(example.name, stops)
    done, listen, undo = stop.caption
    assert done.startswith("What was done: ")
    assert listen.startswith("Listen for ")
    assert undo.startswith("To undo it: ")


def test_only_those_who_rehearse_are_heard(show: KeepingShow) -> None:
    assert only(show.excerpt(SEED), playing=("battery", "sub")).parts == (
        "sub", "snare-line", "tenor-line", "bass-drum-line",
    )  # fmt: skip


def test_a_folder_that_cannot_be_written_to_is_refused(stops: list[Stop], tmp_path: Path) -> None:
    with pytest.raises(Refused, match=r"01-marimba\.wav"):
        write_tour("the tour", stops[:1], tmp_path / "missing")


# Playing.


def test_the_tour_is_played_stop_by_stop_and_ends_in_silence(stops: list[Stop]) -> None:
    player, said = RecordingPlayer(), list[str]()
    play_tour(stops[-2:], player, say=said.append, sleep=player.pass_time, level_db=-20.0)
    assert player.calls[0] == "set_level"
    assert player.levels_db == [-20.0]
    assert len(player.loads) == 2
    assert player.flips == list(FLIPS) * 2
    assert player.listened_s == pytest.approx(2 * (1 + len(FLIPS)) * STAY_S)
    assert BETWEEN_S > 0.06
    assert not player.is_playing
    assert any("What was done" in line for line in said)


def test_ctrl_c_fades_the_sound_out(stops: list[Stop]) -> None:
    player = RecordingPlayer()

    def interrupted(_duration_s: float) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        play_tour(stops[:3], player, say=lambda _line: None, sleep=interrupted, level_db=-20.0)
    assert player.calls[-1] == "stop"
    assert not player.is_playing


def test_a_broken_device_ends_the_tour_with_its_reason(stops: list[Stop]) -> None:
    player, said = RecordingPlayer(problem="The device is gone."), list[str]()
    play_tour(iter(stops), player, say=said.append, sleep=player.pass_time, level_db=-20.0)
    assert said[-1] == "The device is gone."
    assert len(player.loads) == 1
