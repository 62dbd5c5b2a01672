"""The composer: a seed becomes a loop of music for the whole ensemble.

Times inside the composer are whole ticks, 24 to the beat (``events``). A plan (``plan``) settles tempo,
bars, phrases and chords; grammars (``grammars``, ``rhythm``) divide bars into rhythms; one module for each
family of instruments writes its parts from the music they share (``music``); ``dynamics`` shapes them and
``writing`` joins them.
"""

from trainer.ensemble.composer.writing import compose

__all__ = ["compose"]
