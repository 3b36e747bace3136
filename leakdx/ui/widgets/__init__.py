"""Parts of screens, one a file."""
