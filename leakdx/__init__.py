"""leakdx: an expert system for the wet carrier-to-housing joint of a heavy drive axle."""

__version__ = "0.1.0"
