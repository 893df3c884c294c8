"""Plane geometry over shapely."""
