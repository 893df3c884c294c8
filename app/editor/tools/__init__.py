"""Drawing tools: plain state machines in model coordinates, driven by pointer and keys."""
