"""The commands, one module each with ``run(args) -> int``; loaded only when called, since a start must be quick."""
