"""The schema as it is today, for queries; the migrations make it, a test holds the two together."""

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Double,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    literal_column,
)

from trainer.progress.rows import MAPPINGS, NUMBERS, QUESTION, TEXTS

METADATA = MetaData()

ATTEMPTS = Table(
    "attempts",
    METADATA,
    Column("uid", String(32), primary_key=True),
    Column("at_us", BigInteger, nullable=False),
    *(Column(name, Text, nullable=False) for name in (*TEXTS, "seed", *MAPPINGS)),
    *(Column(name, Double, nullable=False) for name in NUMBERS),
    Column("right", Boolean, nullable=False),
    Column("flips", Integer, nullable=False),
    Column(QUESTION, String(32), nullable=False),
)
"""One row an attempt, append-only: nothing here is ever updated or deleted. ``at_us`` is UTC since 1970."""

QUESTIONS = Table(
    "questions",
    METADATA,
    Column("digest", String(32), primary_key=True),
    Column("asked", Text, nullable=False),
)
"""What was on offer, once for all attempts at it: its digest, and the fields as JSON."""

ANY_LEARNER = ATTEMPTS.c.learner.concat(literal_column("''"))
"""The learner, said so that no index by learner is taken: what reads most of the table is twice as quick without."""

SETTINGS = Table(
    "settings",
    METADATA,
    Column("learner", Text, primary_key=True),
    Column("key", Text, primary_key=True),
    Column("value", Text, nullable=False),
)
"""A learner's own settings: a key and a JSON value each."""

TALLIES = Table(
    "tallies",
    METADATA,
    Column("learner", Text, primary_key=True),
    Column("day", Integer, primary_key=True),
    Column("exercise", Text, primary_key=True),
    Column("band_hz", Double, primary_key=True),
    Column("asked", Double, nullable=False),
    Column("right", Double, nullable=False),
)
"""Sums over the attempts, by UTC day since 1970; derived, and kept in the transaction that adds them."""

EAR_DAYS = Table(
    "ear_days",
    METADATA,
    Column("learner", Text, primary_key=True),
    Column("day", Integer, primary_key=True),
    Column("made_by", Text, nullable=False),
    Column("state", Text, nullable=False),
)
"""What a learner's ear was like at the end of a day (UTC, since 1970); derived, and taken away where the log
before it changes. ``made_by`` is what it hangs on beside the log."""

RECORDS = Table(
    "records",
    METADATA,
    Column("kind", Text, primary_key=True),
    Column("key", Text, primary_key=True),
    Column("at_us", BigInteger, nullable=False),
    Column("body", Text, nullable=False),
)
"""What staff keep: members, the plan, quizzes; JSON under a kind and a key, the later one holds."""

SCHEMA_VERSION = Table(
    "schema_version",
    METADATA,
    Column("version", Integer, primary_key=True),
    Column("applied_us", BigInteger, nullable=False),
)
"""The ledger: which migrations were applied, and when."""
