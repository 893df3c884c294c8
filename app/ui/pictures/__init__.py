"""Small pictures that say at a glance what the numbers beside them say exactly."""
