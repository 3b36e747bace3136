"""Shop measurements as people type them, at a command or in a case, and what each comes to."""
