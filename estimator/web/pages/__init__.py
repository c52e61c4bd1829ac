"""Pages for the browser."""
