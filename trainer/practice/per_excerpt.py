"""What is worked out of an excerpt once, and kept for as long as the excerpt itself is."""

from collections.abc import Callable, Hashable
from functools import wraps
from typing import Any, Concatenate, ParamSpec, TypeVar
from weakref import WeakKeyDictionary

from trainer.ensemble.excerpt import Excerpt

P = ParamSpec("P")
R = TypeVar("R")


def kept_per_excerpt(work: Callable[Concatenate[Excerpt, P], R]) -> Callable[Concatenate[Excerpt, P], R]:
    """Return a function that does its work once for each excerpt and arguments.

    What it returns must not hold the excerpt, or neither is ever let go. An error is not kept.
    """
    kept: WeakKeyDictionary[Excerpt, dict[Hashable, Any]] = WeakKeyDictionary()

    @wraps(work)
    def once(excerpt: Excerpt, /, *args: P.args, **kwargs: P.kwargs) -> R:
        found = kept.setdefault(excerpt, {})
        key = args, tuple(sorted(kwargs.items()))
        if key not in found:
            found[key] = work(excerpt, *args, **kwargs)
        result: R = found[key]
        return result

    return once
