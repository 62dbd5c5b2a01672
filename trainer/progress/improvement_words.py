"""What became of an ear since week 1, in words: on the whole first, then band by band; better and worse alike."""

from collections.abc import Sequence

from trainer.progress.ear_words import TOO_EARLY
from trainer.progress.figures.improvement import FEWEST_IN_WEEK_1, SURE, Change, Improvement, TooEarly

WEEK_DAYS = 7
SINCE = "Since week 1"
ERROR = f"chance of error at most {1.0 - SURE:.0%}".replace("%", " %")
SURELY = 0.99


def improvement_words(found: Improvement | TooEarly) -> str:
    """Return what can be told of the change since week 1, as one sentence."""
    if isinstance(found, TooEarly):
        return f"{SINCE}: {_why_too_early(found)}."
    return f"{SINCE}: {_on_the_whole(found)}{_by_band(found)}."


def bands_words(bands_hz: Sequence[float]) -> str:
    """Return octave bands as words: "63, 125 and 250 Hz, 1 and 2 kHz"."""
    low = [f"{band_hz:g}" for band_hz in bands_hz if band_hz < 1000.0]
    high = [f"{band_hz / 1000.0:g}" for band_hz in bands_hz if band_hz >= 1000.0]
    groups = ((low, "Hz"), (high, "kHz"))
    return ", ".join(f"{listed(names)} {unit}" for names, unit in groups if names)


def chance_words(chance: float) -> str:
    """Return a chance in words; none is ever told as certain."""
    return f"more than {100 * SURELY:.0f} %" if chance > SURELY else f"{100 * chance:.0f} %"


def _why_too_early(found: TooEarly) -> str:
    days, answers = found.days_missing, found.answers_missing
    if answers and not _is_week_1(found):
        there_were = FEWEST_IN_WEEK_1 - answers
        return f"too few answers to compare with: week 1 held {there_were}, and it takes {FEWEST_IN_WEEK_1}"
    to_go = f"{days} more {_plural('day', days)}"
    if answers:
        to_go += f", and {answers} more {_plural('answer', answers)} in week 1"
    return f"{TOO_EARLY}, {to_go} to go"


def _is_week_1(found: TooEarly) -> bool:
    return found.days_missing > WEEK_DAYS


def _on_the_whole(found: Improvement) -> str:
    """Return the statement of the mean of all bands, with its chance and its size."""
    overall = found.overall
    if found.is_smaller:
        low, high = 1.0 - overall.interval.high, 1.0 - overall.interval.low
        return f"smaller on the whole {_sized(low, high, overall.chance)}"
    if found.is_larger:
        low, high = overall.interval.low - 1.0, overall.interval.high - 1.0
        return f"larger on the whole {_sized(low, high, 1.0 - overall.chance)}"
    return f"no change on the whole can be told (smaller {_with_chance(overall)})"


def _sized(low: float, high: float, chance: float) -> str:
    return f"with a chance of {chance_words(chance)}, by about {100 * low:.0f}–{100 * high:.0f} %"


def _with_chance(change: Change) -> str:
    return f"with a chance of {chance_words(change.chance)}"


def _by_band(found: Improvement) -> str:
    ways = (("smaller", found.smaller_hz), ("larger", found.larger_hz))
    told = [f"{way} {_where(bands_hz, found)}" for way, bands_hz in ways if bands_hz]
    return f"; {', '.join(told)} ({ERROR})" if told else ""


def _where(bands_hz: Sequence[float], found: Improvement) -> str:
    return "in every band" if len(bands_hz) == len(found.bands) else f"at {bands_words(bands_hz)}"


def listed(names: Sequence[str]) -> str:
    """Return some names in words: "brass, battery and front"."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _plural(word: str, count: int) -> str:
    return word if count == 1 else f"{word}s"
