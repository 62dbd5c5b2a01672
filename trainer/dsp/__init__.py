"""What is done to sound and measured in it: pure functions, a Sound in, a Sound or a number out."""
