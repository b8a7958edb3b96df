"""What was decided: the design, the parts it is made of, edits, and the file."""
