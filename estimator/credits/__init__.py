"""Tax credits: dated rules, the facts of the claim, and what follows from both."""
