"""The benchmark: how fast the program is here, figures beside their budgets and a peer of the same run."""
