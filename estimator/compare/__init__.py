"""Ways to get the job done, side by side. Not built yet; the result lists none."""
