"""Design to columns and rows, and to primitives."""
