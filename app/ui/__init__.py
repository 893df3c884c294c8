"""The window: canvas, panels, tables, dialogs. The only place that knows Qt."""
