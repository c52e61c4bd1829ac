"""From the design to what it takes: every part with its quantity, every task with its hours."""
