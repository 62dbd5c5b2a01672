"""Lending: a show for work that may be given up in the middle, so that nobody waits for music no longer wanted."""

from collections.abc import Callable, Hashable
from dataclasses import replace

from trainer.ensemble.bank import KeptNote, NoteBank
from trainer.ensemble.shows import GeneratedShow, Show
from trainer.ensemble.voices.voice import Audio


class GivenUp(Exception):
    """What was being made is no longer wanted."""


class LentBank(NoteBank):
    """Another bank's notes until they are no longer wanted; then it raises `GivenUp` at the next that is asked for."""

    def __init__(self, bank: NoteBank, *, is_over: Callable[[], bool]) -> None:
        super().__init__(bank.cap_bytes)
        self._bank = bank
        self._is_over = is_over

    def _kept_or_made(
        self, key: Hashable, make: Callable[[], Audio | KeptNote], at_least: int = 0
    ) -> Audio | KeptNote:
        if self._is_over():
            raise GivenUp
        return self._bank._kept_or_made(key, make, at_least)


def lent(show: Show, *, is_over: Callable[[], bool]) -> Show:
    """Return the show as it is, but for its excerpts: one that is being made when ``is_over`` raises `GivenUp`.

    A show that does not play note by note is returned itself, and is not stopped.
    """
    if isinstance(show, GeneratedShow):
        return replace(show, bank=LentBank(show.bank, is_over=is_over))
    return show
