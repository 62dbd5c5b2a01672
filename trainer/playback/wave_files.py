"""The wave-file player: it writes the versions to a folder, to be listened to with any other program."""

import time
from collections.abc import Callable, Mapping
from pathlib import Path

from trainer.playback.player import Version
from trainer.playback.silent import SilentPlayer
from trainer.sound import Sound
from trainer.sound_files import SoundFileError, write_sound

FILE_NAMES: dict[Version, str] = {
    Version.PLAIN: "plain.wav",
    Version.CHANGED: "changed.wav",
    Version.YOURS: "your-answer.wav",
    Version.ALONE_PLAIN: "alone-plain.wav",
    Version.ALONE_CHANGED: "alone-changed.wav",
}


class WaveFilePlayer(SilentPlayer):
    """Keeps time like the silent player, and keeps the loaded versions as WAV files in ``folder``.

    Each load replaces the files of the one before.

    Raises
    ------
    SoundFileError
        If the folder cannot be made.
    """

    def __init__(self, folder: Path, *, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__(clock=clock)
        self._folder = folder
        self._files: dict[Version, Path] = {}
        self._fault = ""
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as fault:
            raise SoundFileError(f"cannot make the folder '{folder}': {fault.strerror or fault}") from fault

    def load(self, versions: Mapping[Version, Sound], *, dip: bool = False) -> None:
        """Write these versions to the folder; what cannot be written becomes the ``problem``."""
        super().load(versions, dip=dip)
        self._fault = ""
        try:
            self._clear()
        except OSError as fault:
            self._fault = _sentence(fault)
        self._write(versions)

    def add(self, version: Version, sound: Sound) -> None:
        """Write one more version of what is loaded to the folder."""
        super().add(version, sound)
        self._write({version: sound})

    @property
    def files(self) -> dict[Version, Path]:
        """Where the loaded versions are."""
        return dict(self._files)

    @property
    def where(self) -> str:
        """Where to listen, in one sentence; nothing as long as nothing is loaded."""
        if not self._files:
            return ""
        *names, last = (path.name for path in self._files.values())
        listed = f"{', '.join(names)} and {last}" if names else last
        return f"Listen to {listed} in {self._folder.resolve()}."

    @property
    def problem(self) -> str:
        """Why the files could not be written, or nothing."""
        return self._fault

    def _write(self, versions: Mapping[Version, Sound]) -> None:
        try:
            for version, sound in versions.items():
                write_sound(self._folder / FILE_NAMES[version], sound)
                self._files[version] = self._folder / FILE_NAMES[version]
        except (OSError, SoundFileError) as fault:
            self._fault = _sentence(fault)

    def _clear(self) -> None:
        """Remove this player's own files, so that no stale answer lies beside a new rep."""
        while self._files:
            self._files.popitem()[1].unlink(missing_ok=True)


def _sentence(fault: Exception) -> str:
    return f"The sound could not be written: {fault}."
