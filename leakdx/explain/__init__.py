"""The answer in words: why, and the voices of technician and customer."""
