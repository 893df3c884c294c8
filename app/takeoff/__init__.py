"""Quantities: what must be ordered."""
