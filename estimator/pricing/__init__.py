"""From the purchase plan and the hours to a price whose totals can be rebuilt by hand."""
