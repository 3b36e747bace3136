"""Measurements typed place by place: what is asked in which order, what it comes to meanwhile, and what is written."""
