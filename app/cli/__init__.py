"""The same jobs without a window."""
