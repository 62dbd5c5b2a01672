"""The text front end: a drill in a terminal, over the same block and player as every shell."""
