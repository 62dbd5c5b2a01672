"""Simulated learners against the filter of thresholds: worlds, peers, seasons, and what must be reached."""
