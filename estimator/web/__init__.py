"""REST service and pages over the use cases."""
