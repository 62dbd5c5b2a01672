"""Lending: the same notes while they are wanted, and an end in the middle when they are not."""

from collections.abc import Iterator
from itertools import count

import numpy as np
import pytest

from tests.noise_show import NoiseShow
from trainer.ensemble.bank import NoteBank
from trainer.ensemble.lending import GivenUp, LentBank, lent
from trainer.ensemble.shows import generated_shows

NOTE = np.ones((8, 2), np.float32)


def test_a_lent_bank_keeps_its_notes_in_the_bank_it_is_lent_from() -> None:
    bank = NoteBank()
    lending = LentBank(bank, is_over=lambda: False)
    assert lending.keep("table", lambda: NOTE) is NOTE
    note = lending.note("note", lambda: NOTE)
    assert bank.note("note", lambda: np.zeros((1, 2), np.float32)) is note
    assert (bank.made, len(bank)) == (2, 2)


def test_a_show_is_stopped_in_the_middle_of_an_excerpt() -> None:
    bank = NoteBank()
    show = generated_shows(bank)["indoor-percussion"]
    asked: Iterator[int] = count()
    with pytest.raises(GivenUp):
        lent(show, is_over=lambda: next(asked) >= 5).excerpt(1)
    assert next(asked) == 6
    assert 0 < bank.made <= 5
    assert show.bank is bank


def test_a_show_of_another_kind_is_lent_as_it_is() -> None:
    show = NoiseShow()
    assert lent(show, is_over=lambda: True) is show


def test_a_lent_bank_makes_a_note_again_that_is_too_short() -> None:
    """As the bank it is lent from does: the longer one is kept there."""
    bank = NoteBank()
    lending = LentBank(bank, is_over=lambda: False)
    assert lending.note("note", lambda: NOTE, at_least=8).frames == 8
    assert lending.note("note", lambda: np.ones((16, 2), np.float32), at_least=9).frames == 16
    assert bank.note("note", lambda: NOTE, at_least=8).frames == 16
