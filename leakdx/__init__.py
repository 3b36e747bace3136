"""leakdx: an expert system for the wet carrier-to-housing joint of a heavy drive axle."""
