"""Where frames should stand."""
