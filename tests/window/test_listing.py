"""Listings: every row is reached, whatever the text size, and the keys stay on one."""

import pytest

from trainer.window.listing import Listing, PageLength

SCALES = (1.0, 1.75)


def listing(count: int, *, at: int = 0) -> Listing:
    made = Listing(PageLength(14, 8))
    made.hold(count, at)
    return made


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("count", [1, 8, 14, 15, 150])
def test_turning_pages_shows_every_row_once(count: int, scale: float) -> None:
    rows = listing(count)
    shown = list(rows.shown(scale))
    while rows.has_page(1, scale):
        rows.turn(1, scale)
        shown += rows.shown(scale)
    assert shown == list(range(count))


@pytest.mark.parametrize("scale", SCALES)
def test_stepping_down_turns_the_page_at_its_end(scale: float) -> None:
    rows = listing(150)
    for number in range(1, 150):
        rows.step(1)
        assert rows.at == number
        assert number in rows.shown(scale)


def test_past_the_ends_it_stays_on_the_last_row_and_the_first() -> None:
    rows = listing(20)
    rows.turn(5, 1.0)
    assert rows.at == 19
    rows.turn(-1, 1.0)
    assert rows.at == 0
    rows.step(-1)
    assert rows.at == 0
    rows.step(100)
    assert rows.at == 19


def test_a_shorter_list_takes_the_keys_back_into_it() -> None:
    rows = listing(20, at=19)
    rows.hold(3, rows.at)
    assert rows.at == 2
    rows.hold(0)
    assert (rows.at, list(rows.shown(1.0)), rows.pages(1.0)) == (0, [], 1)
