"""The joint's mechanics: what a shop measures, worked out as an engineer would sign it.

Pure functions on SI numbers; units are made and read where people type them.
"""
