"""Drawcord: the structured cabling of a building, from plan to takeoff."""
