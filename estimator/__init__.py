"""House-backup estimator: from a wiring job to parts, labour, price, credit and documents."""

__version__ = "0.1.0"
