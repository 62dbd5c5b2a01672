"""Sound files, checked against others' readers and writers: scipy.io.wavfile, Python's wave, RFC 2361."""

import io
import struct
import wave
from pathlib import Path

import numpy as np
import pytest
from scipy.io import wavfile

from trainer import sound_files
from trainer.sound import Sound
from trainer.sound_files import SoundFileError, read_sound, write_sound

WAVE_FORMAT_PCM = 1
WAVE_FORMAT_IEEE_FLOAT = 3


@pytest.fixture
def noise() -> Sound:
    return Sound.of(np.random.default_rng(1).uniform(-0.9, 0.9, size=(4_800, 2)))


def format_chunk(path: Path) -> tuple[int, int, int, int]:
    """Return format tag, channels, rate and bits of a WAV file's header."""
    header = path.read_bytes()[:64]
    assert (header[:4], header[8:16]) == (b"RIFF", b"WAVEfmt ")
    tag, channels, rate_hz, _, _, bits = struct.unpack("<HHIIHH", header[20:36])
    return tag, channels, rate_hz, bits


@pytest.mark.parametrize("rate_hz", [44_100, 48_000, 96_000])
@pytest.mark.parametrize("channels", [1, 2, 6])
def test_what_is_written_is_read_back_bit_for_bit(tmp_path: Path, rate_hz: int, channels: int) -> None:
    samples = np.random.default_rng(2).normal(size=(500, channels))
    write_sound(tmp_path / "a.wav", Sound.of(samples, rate_hz))
    again = read_sound(tmp_path / "a.wav")
    assert (again.samples == samples.astype(np.float32)).all()
    assert again.rate_hz == rate_hz


def test_a_written_file_is_ieee_float_of_32_bits(tmp_path: Path, noise: Sound) -> None:
    """RFC 2361, WAVE_FORMAT_IEEE_FLOAT (0x0003)."""
    write_sound(tmp_path / "a.wav", noise)
    assert format_chunk(tmp_path / "a.wav") == (WAVE_FORMAT_IEEE_FLOAT, 2, 48_000, 32)


@pytest.mark.filterwarnings("ignore:Chunk .non-data. not understood")
def test_scipy_reads_the_same_samples(tmp_path: Path, noise: Sound) -> None:
    """scipy.io.wavfile has a WAV reader of its own."""
    write_sound(tmp_path / "a.wav", noise)
    rate_hz, samples = wavfile.read(tmp_path / "a.wav")
    assert rate_hz == 48_000
    assert (samples == noise.samples).all()


def test_24_bits_are_read_by_pythons_wave_module_to_half_a_step(tmp_path: Path, noise: Sound) -> None:
    """The wave module of Python's library reads whole numbers only; 24 bits step by 2 ** -23."""
    write_sound(tmp_path / "a.wav", noise, bits=24)
    assert format_chunk(tmp_path / "a.wav") == (WAVE_FORMAT_PCM, 2, 48_000, 24)
    with wave.open(str(tmp_path / "a.wav")) as file:
        assert (file.getsampwidth(), file.getnchannels(), file.getframerate()) == (3, 2, 48_000)
        bytes_of = np.frombuffer(file.readframes(file.getnframes()), np.uint8).reshape(-1, 3)
    padded = np.pad(bytes_of, ((0, 0), (1, 0)))
    samples = padded.copy().view("<i4").reshape(-1, 2) / 2.0**31
    assert np.abs(samples - noise.samples).max() <= 2.0**-23


@pytest.mark.parametrize(
    ("dtype", "full"), [(np.int16, 2.0**15), (np.int32, 2.0**31), (np.float32, 1.0), (np.float64, 1.0)]
)
def test_files_that_scipy_writes_are_read_at_full_scale_1(tmp_path: Path, dtype: type, full: float) -> None:
    """scipy.io.wavfile has a WAV writer of its own."""
    samples = np.array([[0.5, -0.25], [-1.0, 0.125]])
    wavfile.write(tmp_path / "a.wav", 44_100, (samples * full).astype(dtype))
    assert (read_sound(tmp_path / "a.wav").samples == samples).all()


def test_the_same_sound_makes_the_same_bytes_at_any_time(
    noise: Sound, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What libsndfile dates, its PEAK chunk, is dated 0: its bytes 12 to 16 are the time."""
    wav = sound_files.wav_bytes(noise, bits=32)
    peak = wav.index(b"PEAK")
    assert peak < wav.index(b"data")
    assert wav[peak + 12 : peak + 16] == bytes(4)
    monkeypatch.setattr(sound_files, "_without_date", bytes)
    dated = sound_files.wav_bytes(noise, bits=32)
    assert dated[peak + 12 : peak + 16] != bytes(4), "libsndfile dates no more: _without_date can go"
    assert dated[: peak + 12] + dated[peak + 16 :] == wav[: peak + 12] + wav[peak + 16 :]


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(SoundFileError, match=r"there is no file '.*gone\.wav'"):
        read_sound(tmp_path / "gone.wav")


def test_a_folder_is_no_sound_file(tmp_path: Path) -> None:
    with pytest.raises(SoundFileError, match="is a folder"):
        read_sound(tmp_path)


@pytest.mark.parametrize("name", ["words.wav", "words.flac", "words.raw", "words.txt"])
@pytest.mark.parametrize("content", [b"", b"these are words, not waves " * 50])
def test_what_is_not_audio_is_refused_whatever_it_is_called(
    tmp_path: Path, name: str, content: bytes
) -> None:
    (tmp_path / name).write_bytes(content)
    with pytest.raises(SoundFileError, match=f"'.*{name}' is not audio that can be read here"):
        read_sound(tmp_path / name)


def test_a_file_without_frames_holds_no_sound(tmp_path: Path) -> None:
    wavfile.write(tmp_path / "a.wav", 48_000, np.zeros((0, 2), np.float32))
    with pytest.raises(SoundFileError, match="its length is zero"):
        read_sound(tmp_path / "a.wav")


@pytest.mark.parametrize("value", [np.nan, np.inf])
def test_a_file_with_numbers_that_are_not_finite_is_refused(tmp_path: Path, value: float) -> None:
    wavfile.write(tmp_path / "a.wav", 48_000, np.array([0.0, value], np.float32))
    with pytest.raises(SoundFileError, match="not finite"):
        read_sound(tmp_path / "a.wav")


@pytest.mark.parametrize("place", ["missing/a.wav", "file/a.wav", "folder"])
def test_a_place_that_cannot_be_written_is_named(tmp_path: Path, noise: Sound, place: str) -> None:
    (tmp_path / "file").write_bytes(b"")
    (tmp_path / "folder").mkdir()
    before = sorted(tmp_path.rglob("*"))
    with pytest.raises(SoundFileError, match=f"cannot write '.*{place}': "):
        write_sound(tmp_path / place, noise)
    assert sorted(tmp_path.rglob("*")) == before


def test_a_write_that_fails_midway_leaves_the_old_file_and_no_other(
    tmp_path: Path, noise: Sound, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full disk, played by a write that stops halfway."""
    write_sound(tmp_path / "a.wav", noise)
    before = (tmp_path / "a.wav").read_bytes()

    def stop_halfway(path: Path, content: bytes) -> int:
        with io.open(path, "wb") as file:  # noqa: UP020 - the builtin is what is being replaced
            file.write(content[: len(content) // 2])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", stop_halfway)
    with pytest.raises(SoundFileError, match="No space left on device"):
        write_sound(tmp_path / "a.wav", Sound.silence(100))
    assert (tmp_path / "a.wav").read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == ["a.wav"]


def test_a_new_file_takes_the_place_of_the_old_one(tmp_path: Path, noise: Sound) -> None:
    write_sound(tmp_path / "a.wav", noise)
    write_sound(tmp_path / "a.wav", Sound.silence(10))
    assert read_sound(tmp_path / "a.wav").frames == 10
    assert [path.name for path in tmp_path.iterdir()] == ["a.wav"]


def test_24_bits_refuse_what_they_would_clip(tmp_path: Path) -> None:
    with pytest.raises(SoundFileError, match=r"would reach 1\.5"):
        write_sound(tmp_path / "a.wav", Sound.of([0.0, 1.5]), bits=24)
    write_sound(tmp_path / "a.wav", Sound.of([0.0, 1.5]))
    assert read_sound(tmp_path / "a.wav").samples.max() == 1.5
