"""Drawcord: the structured cabling of a building, from plan to takeoff."""

__version__ = "0.1.0"
