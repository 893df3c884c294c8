"""Drawings of other programs, read and flattened."""
