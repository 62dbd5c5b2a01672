"""What is asked and how it is marked: changes, the exercise interface, dealing, grading, the block."""
