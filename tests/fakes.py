"""Stand-ins with behaviour, for the tests of other rooms; tested in ``tests/test_fakes.py`` themselves."""

from collections.abc import Mapping, Sequence

from trainer.playback.player import Asked, Version
from trainer.playback.wish import Wish
from trainer.sound import Sound


class RecordingPlayer:
    """A player without sound or clock: it remembers what was asked, and time passes when a test says so.

    It refuses what every player refuses. ``calls`` holds the names of what was asked, in order; ``flips`` the
    versions that were flipped to; ``loads`` what was loaded, ``adds`` what was added. ``positions_s`` scripts
    what ``position_s`` says, one value a look, the last one for ever; without a script the place moves by
    :meth:`pass_time`. What is asked for is heard ``latency_s`` later; :meth:`lose` takes its device away.
    """

    def __init__(
        self, *, positions_s: Sequence[float] = (), problem: str = "", latency_s: float = 0.0
    ) -> None:
        self.calls: list[str] = []
        self.flips: list[Version] = []
        self.loads: list[dict[Version, Sound]] = []
        self.adds: list[tuple[Version, Sound]] = []
        self.levels_db: list[float] = []
        self.dips: list[bool] = []
        self.is_closed = False
        self.is_lost = False
        self.problem = problem
        self.listened_s = 0.0
        self._script_s = list(positions_s)
        self._wish = Wish()
        self._place_s = 0.0
        self._latency_s = latency_s
        self._heard = Version.PLAIN
        self._until_heard_s = 0.0

    def load(self, versions: Mapping[Version, Sound], *, dip: bool = False) -> None:
        self._ask("load", self._wish.load(versions, dip=dip))
        self.loads.append(dict(versions))
        self.dips.append(dip)
        self._place_s = 0.0

    def add(self, version: Version, sound: Sound) -> None:
        self._ask("add", self._wish.add(version, sound))
        self.adds.append((version, sound))

    def play(self) -> None:
        self._ask("play", self._wish.play())

    def stop(self) -> None:
        self._ask("stop", self._wish.stop())

    def restart(self) -> None:
        self._ask("restart", self._wish.restart())
        self._place_s = 0.0

    def flip(self, version: Version) -> None:
        self._ask("flip", self._wish.flip(version))
        self.flips.append(version)

    def set_level(self, level_db: float) -> None:
        self._ask("set_level", self._wish.set_level(level_db))
        self.levels_db.append(level_db)

    def close(self) -> None:
        self._ask("close", self._wish.close())
        self.is_closed = True

    @property
    def where(self) -> str:
        return "" if not self.loads else "Listen to nothing at all."

    @property
    def is_playing(self) -> bool:
        return self._wish.playing

    @property
    def sounding(self) -> Version:
        return self._wish.version

    @property
    def heard(self) -> Version:
        return self.sounding if self._until_heard_s <= 0.0 else self._heard

    @property
    def heard_position_s(self) -> float:
        return self.position_s

    @property
    def asked(self) -> Asked:
        return self._wish.asked

    @property
    def position_s(self) -> float:
        if len(self._script_s) > 1:
            return self._script_s.pop(0)
        return self._script_s[0] if self._script_s else self._place_s

    def pass_time(self, duration_s: float) -> None:
        """Let time pass: the place moves round the loop while it plays, and what was asked for is heard."""
        self._until_heard_s -= duration_s
        programme = self._wish.programme
        if self.is_playing and programme is not None:
            self._place_s = (self._place_s + duration_s) % (programme.frames / programme.rate_hz)
            self.listened_s += duration_s

    def lose(self, problem: str = "The sound device was removed.") -> None:
        """Let the device be gone."""
        self.is_lost = True
        self.problem = problem

    def _ask(self, name: str, wish: Wish) -> None:
        if wish.version is not self.sounding:
            self._heard, self._until_heard_s = self.heard, self._latency_s
        self._wish = wish
        self.calls.append(name)
