"""What is remembered and what it says: the store of attempts, and the figures drawn from it."""
