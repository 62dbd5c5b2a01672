"""What is done to sound and measured in it: pure functions, a Sound in, a Sound or a number out.

scipy takes longer to import than all else together, and pedalboard a while; they are imported in the functions that
call them, so that a program can ask for a name here, or show a window, without waiting.
"""
