"""Screens, one a file."""
