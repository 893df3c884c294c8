"""Plain primitives, symbols and font metrics."""
