"""What a user asks for, one function each, with progress and cancel, for both faces."""
