"""``leakdx cases``: the cases in the store, one module for each command."""
