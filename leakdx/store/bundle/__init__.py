"""Bundles: cases with their photos, what was shown of them, and the knowledge behind it, in one zip file."""
