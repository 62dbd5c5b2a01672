"""What is kept with an excerpt: worked out once, let go with it."""

import gc
import weakref

import pytest

from tests.noise_show import NoiseShow, noise_excerpt
from trainer.ensemble.excerpt import Excerpt
from trainer.practice.per_excerpt import kept_per_excerpt

ASKED: list[tuple[int, str, int]] = []


@kept_per_excerpt
def parts_of(excerpt: Excerpt, target: str, *, times: int = 1) -> tuple[str, ...]:
    ASKED.append((excerpt.seed, target, times))
    if target == "nobody":
        raise ValueError("there is nobody")
    return excerpt.parts_in(target) * times


def test_it_is_worked_out_once_for_each_excerpt_and_arguments() -> None:
    ASKED.clear()
    one, other = NoiseShow().excerpt(1), NoiseShow().excerpt(2)
    for _ in range(3):
        assert parts_of(one, "mix") == one.parts
        assert parts_of(one, "mix", times=2) == one.parts * 2
        assert parts_of(other, "brass") == ("trumpets",)
    assert ASKED == [(1, "mix", 1), (1, "mix", 2), (2, "brass", 1)]


def test_an_error_is_raised_every_time() -> None:
    for _ in range(2):
        with pytest.raises(ValueError, match="nobody"):
            parts_of(NoiseShow().excerpt(1), "nobody")


def test_an_excerpt_that_nobody_holds_is_let_go_with_what_was_kept_of_it() -> None:
    excerpt = noise_excerpt.__wrapped__(77)
    parts_of(excerpt, "mix")
    seen = weakref.ref(excerpt)
    del excerpt
    gc.collect()
    assert seen() is None
