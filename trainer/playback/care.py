"""Care for the ears: what is said about listening levels, and when a break is suggested."""

LEVEL_STEP_DB = 3.0
"""How far one press turns the listening level."""
BREAK_AFTER_S = 20 * 60.0
"""After so much listening a break is suggested (common practice, no source)."""
CAUTION = (
    "Keep it at a comfortable level: start low and turn up with +. No program can know how loud it is at your "
    "ear; local rules and a hearing professional come before anything said here. Take a break every twenty "
    "minutes."
)
GUIDANCE = (
    "As general guidance, NIOSH recommends no more than 85 dBA over an eight-hour day and WHO–ITU H.870 no more "
    "than 80 dBA over forty hours a week; halve the time for every 3 dB more."
)
