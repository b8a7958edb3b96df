"""The steps of the building, in words and numbers, and the pages that show them."""
