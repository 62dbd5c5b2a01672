"""Refusals: what a user gave cannot be used; the one exception whose words are meant for them."""


class Refused(ValueError):
    """Bad input: the message is one clear sentence: what came, what was allowed, the likely slip."""
