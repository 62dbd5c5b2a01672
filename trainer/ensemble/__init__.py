"""Music to stems: the parts of the ensemble, a composer, the voices, the room, and the shows made of them.

Pitches are MIDI note numbers (A4 = 69 = 440 Hz), times in a score are in beats from the start of the loop.
"""
