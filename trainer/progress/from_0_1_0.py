"""What version 0.1.0 kept of an attempt, read as evidence; frozen: its attempts say the same for good.

That version told what was named from the keys of the fields. For its own three exercises that was right, and what
comes out here moves an ear just as it did there. Of any other exercise it was a guess: here all of the answer has to be
right.
"""

import json
import math
from collections.abc import Mapping
from typing import Any

OCTAVES_HZ = (31.5, 63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0, 16000.0)
SECTIONS = ("front-ensemble", "electronics", "battery", "brass", "woodwinds")
SUBJECTS: dict[str, tuple[str, ...]] = {
    "octave-tone": ("band", "direction"),
    "level": ("which", "direction"),
    "compression": ("which", "speed"),
}
"""The exercises there were, and the fields that name what was changed."""
STARTS = {"octave-tone": 9.0, "level": 6.0, "compression": 9.0}
WAYS = {"boost": 1, "up": 1, "cut": -1, "down": -1}
UNIT = "dB"
OLD_MAPPINGS = ("bands", "right_answer", "given_answer", "options", "marks")
"""The columns that held JSON."""

Plain = Mapping[str, Any]


def texts_of(row: Plain) -> dict[str, str]:
    """Return evidence, and what was said for what, of a row of version 0.1.0 as the texts of columns.

    Its own columns of JSON are texts as well.
    """
    plain = dict(row) | {name: json.loads(row[name]) for name in OLD_MAPPINGS}
    evidence = plain_evidence_of(plain)
    told = [told_of(plain)] if evidence else []
    return {"evidence": _text(evidence), "told": _text(told), "asked": asked_text(plain["options"])}


def _text(plain: object) -> str:
    return json.dumps(plain, ensure_ascii=False)


def asked_text(options: Plain) -> str:
    """Return what was on offer, as text."""
    fields = [
        {"key": key, "options": list(map(_number_or_word, offered))} for key, offered in options.items()
    ]
    return json.dumps(fields, ensure_ascii=False, sort_keys=True)


def _number_or_word(option: Any) -> Any:
    return float(option) if isinstance(option, int) else option


def plain_evidence_of(plain: Plain) -> list[dict[str, Any]]:
    """Return the evidence of an attempt of version 0.1.0 as plain values; none of one that said nothing."""
    bands = {float(hz): float(weight) for hz, weight in plain["bands"].items()}
    known = {hz: weight for hz, weight in bands.items() if hz in OCTAVES_HZ and weight}
    size, unit, exercise = float(plain["size"]), str(plain["unit"]), str(plain["exercise"])
    if size <= 0.0 or not known:
        return []
    options, marks = plain["options"], plain["marks"]
    subject = [key for key in SUBJECTS.get(exercise, tuple(options)) if key in options] or list(options)
    counts = sorted((float(max(1, len(options[key]))) for key in subject), reverse=True)
    return [
        {
            "kind": _kind(plain),
            "size": size,
            "unit": unit,
            "bands": [[hz, weight] for hz, weight in _shared(known, bands).items()] if unit == UNIT else [],
            "named": all(marks.get(key) == 1.0 for key in subject),
            "among": counts or [10.0, 2.0],
            "direction": WAYS.get(str(plain["right_answer"].get("direction")), 0),
            "start": STARTS.get(exercise),
        }
    ]


def _shared(known: Mapping[float, float], bands: Mapping[float, float]) -> Mapping[float, float]:
    """Return weights that sum to 1; to the last bit as they were where no band was left out."""
    whole = math.fsum(known.values())
    return known if len(known) == len(bands) else {hz: weight / whole for hz, weight in known.items()}


def _kind(plain: Plain) -> str:
    named = str(plain["target"] or next(iter(plain["options"].get("which", ())), ""))
    scope = "mix" if named == "mix" else "section" if named in SECTIONS else "stem"
    return f"{plain['exercise']}/{scope}" + ("/quiz" if plain["quiz_item"] else "")


def told_of(plain: Plain) -> dict[str, list[Any]]:
    """Return what was said for what, of the band and of the direction; nothing of options where all were offered."""
    right, given, options = plain["right_answer"], plain["given_answer"], plain["options"]
    told: dict[str, list[Any]] = {}
    if right.get("band") in OCTAVES_HZ:
        offered = [hz for hz in options.get("band", ()) if hz in OCTAVES_HZ]
        told["band"] = [right["band"], given.get("band"), offered if len(offered) < len(OCTAVES_HZ) else []]
    if "direction" in right:
        told["direction"] = [right["direction"], given.get("direction"), []]
    return told
