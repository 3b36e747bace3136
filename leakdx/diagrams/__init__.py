"""The reasoning as pictures."""
