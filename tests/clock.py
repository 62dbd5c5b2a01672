"""A clock for tests: time passes when a test says so, and a millisecond at every look, so that no two are alike."""

from dataclasses import dataclass
from datetime import datetime, timedelta


@dataclass
class Clock:
    """Tells ``now``."""

    now: datetime

    def __call__(self) -> datetime:
        self.now += timedelta(milliseconds=1)
        return self.now

    def pass_time(self, seconds: float) -> None:
        self.now += timedelta(seconds=seconds)
