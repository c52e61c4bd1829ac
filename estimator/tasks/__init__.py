"""Background work. Not built yet; every request is answered at once."""
