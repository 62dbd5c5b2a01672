"""The voices: one for every part of the ensemble, each a table row of how a note of it is made."""
