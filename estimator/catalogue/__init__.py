"""What suppliers sell: reading price lists, matching parts to items, planning the purchase."""
