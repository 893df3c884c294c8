"""The document, its history, the selection, commands and tools. No Qt."""
