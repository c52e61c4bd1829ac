"""``python -m estimator`` is the command line."""

from estimator.cli import main

main()
