"""Grammars: how a bar of rhythm may divide, one table for each way of playing.

A symbol stands for a length (``LENGTHS``) and divides into the symbols of one of its rows. A row that is a
single mark ends the division:

``!`` accent, ``.`` tap or plain note, ``-`` rest, ``_`` the note before goes on.

Ways of playing differ by replacing rows of a table, never by code.
"""

from trainer.ensemble.composer.dice import Table

Grammar = dict[str, Table[str]]

LENGTHS = {
    "four": 96,  # a bar of 4/4
    "three": 72,  # a bar of 3/4
    "half": 48,
    "long": 36,  # a dotted quarter
    "beat": 24,
    "dotted": 18,  # a dotted eighth
    "broad": 16,  # a quarter triplet
    "eighth": 12,
    "third": 8,  # an eighth triplet
    "sixteenth": 6,
    "sixth": 4,  # a sextuplet
}
"""In ticks of a twenty-fourth of a beat."""

STICKS: Grammar = {
    "four": ((6, "half half"), (1.2, "long long beat"), (0.8, "beat half beat"), (0.8, "long beat long")),
    "three": ((5, "half beat"), (2, "beat half"), (1.5, "long long")),
    "half": ((7, "beat beat"), (1.2, "dotted dotted eighth"), (1, "eighth beat eighth"), (0.8, "broad " * 3)),
    "long": ((3, "beat eighth"), (2, "eighth beat"), (1.5, "dotted dotted")),
    "beat": (
        (3, "eighth eighth"), (4, "sixteenth " * 4), (1.6, "third " * 3),
        (0.7, "sixth " * 6), (1, "dotted sixteenth"), (1, "sixteenth eighth sixteenth"),
        (0.6, "!"), (0.4, "-"),
    ),
    "dotted": ((2, "eighth sixteenth"), (2, "sixteenth eighth"), (2, "sixteenth " * 3), (1, "!")),
    "broad": ((2, "third third"), (1.5, "!"), (0.5, ".")),
    "eighth": ((2.2, "."), (1.8, "!"), (1, "-"), (2.5, "sixteenth sixteenth")),
    "third": ((5, "."), (2, "!"), (0.8, "-")),
    "sixteenth": ((5, "."), (2.3, "!"), (1.1, "-")),
    "sixth": ((6, "."), (1.3, "!"), (0.3, "-")),
}  # fmt: skip
"""Battery rhythm at its plainest; the ways below lean on it."""

STICK_WAYS: Table[Grammar] = (
    (3, STICKS),
    (3, STICKS | {  # driving sixteenths
        "half": ((8, "beat beat"), (1.5, "dotted dotted eighth")),
        "beat": ((7, "sixteenth " * 4), (2, "eighth eighth"), (0.5, "sixth " * 6)),
        "sixteenth": ((5, "."), (2.6, "!"), (0.6, "-")),
    }),
    (2, STICKS | {  # rolling triplets
        "half": ((6, "beat beat"), (2, "broad " * 3)),
        "beat": ((6, "third " * 3), (2.5, "sixth " * 6), (0.8, "!"), (0.7, "eighth eighth")),
    }),
    (2, STICKS | {  # broken: against the beat
        "four": ((3, "half half"), (2.5, "long long beat"), (2, "long beat long"), (1, "beat half beat")),
        "half": ((3, "beat beat"), (3, "dotted dotted eighth"), (2.5, "eighth beat eighth")),
        "beat": ((3, "sixteenth eighth sixteenth"), (3, "dotted sixteenth"), (2, "eighth eighth"), (1, "-")),
    }),
    (1.5, STICKS | {  # open: room between the strokes
        "beat": ((4, "eighth eighth"), (2, "!"), (1.5, "-"), (1.5, "dotted sixteenth"), (1, "third " * 3)),
        "eighth": ((2.5, "!"), (1.5, "."), (1.5, "-"), (0.7, "sixteenth sixteenth")),
    }),
)  # fmt: skip

TUNE: Grammar = {
    "four": ((5, "half half"), (2, "long long beat"), (1, "beat half beat"), (0.7, "long beat long")),
    "three": ((4, "half beat"), (2, "beat half"), (1, "long long")),
    "half": ((4, "beat beat"), (1.3, "!"), (1.5, "long eighth"), (1, "eighth beat eighth"),
             (1, "broad " * 3)),
    "long": ((3, "!"), (2, "beat eighth"), (1, "eighth beat")),
    "beat": (
        (4, "eighth eighth"), (2.5, "!"), (1, "."), (1.2, "dotted sixteenth"), (0.6, "-"), (0.5, "_"),
        (0.8, "eighth sixteenth sixteenth"), (0.6, "third " * 3),
    ),
    "dotted": ((4, "!"), (1, "eighth sixteenth")),
    "broad": ((3, "!"), (1, ".")),
    "eighth": ((6, "."), (1.5, "!"), (0.8, "-"), (0.9, "_")),
    "third": ((5, "."), (1, "!")),
    "sixteenth": ((1, "."),),
}  # fmt: skip
"""Melodies: longer notes, ties over the beat."""

STABS: Grammar = TUNE | {
    "four": ((3, "half half"), (3, "long long beat"), (2, "beat half beat")),
    "half": ((3, "beat beat"), (2, "eighth beat eighth"), (2, "dotted dotted eighth"), (1, "-")),
    "long": ((3, "beat eighth"), (2, "!"), (1, "eighth beat")),
    "beat": ((3, "eighth eighth"), (1.5, "!"), (1.5, "-"), (1, "dotted sixteenth")),
    "dotted": ((2, "!"), (1, "-"), (1, "eighth sixteenth")),
    "eighth": ((2, "!"), (2.2, "-"), (1.5, ".")),
    "sixteenth": ((3, "."), (1, "-")),
}
"""Short chords between rests: brass punctuation, mallet comping, kick drum and bass."""

SUSTAINS: Grammar = TUNE | {
    "four": ((3, "half half"), (2, "long long beat")),
    "half": ((5, "!"), (1.5, "beat beat"), (1, "_")),
    "long": ((4, "!"), (1, "beat eighth")),
    "beat": ((4, "!"), (1, "."), (1, "_")),
}
"""Held chords."""
