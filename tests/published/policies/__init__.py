"""Ways to choose checks and to stop, beside the best that is possible and beside one another."""
