"""Case files: read, checked, written whole."""
