"""What people hand over: workbook and result as JSON."""
