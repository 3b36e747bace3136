"""A second reading of knowledge/, from the words of the model alone: it shares no code with leakdx.

``reader`` reads the YAML, ``enumeration`` sums over every joint state, ``network`` builds a Bayesian
network for general-purpose libraries, ``shares`` solves base chances its own way, ``sampler`` draws
trucks. What two independent readings agree on is not a slip of one of them.
"""
