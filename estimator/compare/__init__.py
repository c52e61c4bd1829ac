"""Ways to get the job done, side by side: do it oneself, hire, or only cords."""
